"""What the page keeps at hand between two looks: drafted blocks, worked choices and painted pictures."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from hashlib import blake2s
from threading import Lock
from typing import TypeVar

import cv2
import numpy as np
from numpy.typing import NDArray

from blocks.library import block_names, open_block
from palettes.viewing import Viewing
from preview.frame import Frame, prepare_frame
from preview.keeping import PaintCache
from preview.readings import EdgeReading
from preview.views import side_by_side
from preview.views_roles import roles_key
from swatches.swatch import Swatch
from ui.bench import Drafted, Worked, draft_making, roles_of, stand_upright, work_out
from ui.choice import Choice, choice_query
from ui.closer_looks import look_closer
from ui.first_choice import first_choice
from ui.kinds import KindReading, read_kinds
from ui.looks import look, look_at_block, look_at_cloth
from ui.mistakes import Mistake
from ui.near_view import NearPart
from ui.quilt_choice import make_making
from ui.shelf import Shelf

__all__ = ["Workroom", "screen_png", "screen_ppi", "taken_ppi"]

_Made = TypeVar("_Made")

_CLOTH_SIDE_PX = 144
_BLOCK_SIDE_PX = 112
_KEPT_BYTES = 384 * 2**20
_NEAR_BYTES = 160 * 2**20
_KEPT_CLOTHS = 16
"""Swatches that are kept as they were read: a large one takes some 40 MB."""
_SCREEN_PX = 1600
_TAKEN_PX = 6000
"""No side of a picture is longer."""

_SCREEN_PPI = 100.0
_TAKEN_PPI = (300.0, 200.0, 150.0, 100.0, 75.0, 50.0, 30.0)


def screen_ppi(drafted: Drafted) -> float:
    """The picture on the page: finer than most screens show a 12-inch block, coarser for a quilt."""
    return min(_SCREEN_PPI, _SCREEN_PX / _longer_in(drafted))


def taken_ppi(drafted: Drafted) -> float:
    """The picture that is taken away: 300 ppi, what a print at true size asks for; less for a quilt."""
    fitting = (ppi for ppi in _TAKEN_PPI if ppi * _longer_in(drafted) <= _TAKEN_PX)
    return next(fitting, _TAKEN_PX / _longer_in(drafted))


def _longer_in(drafted: Drafted) -> float:
    return float(max(drafted.draft.finished_width_in, drafted.draft.finished_height_in))


class _ChangedError(Exception):
    """Something is asked for as it was seen; it is not kept, and its cloth has changed meanwhile."""


class Workroom:
    """One for a running page. Everything kept is found again by the choice it was made for.

    Several threads may ask at once. A picture is asked for by an address that was handed out before, while
    cloth may be taken out of the stash at any moment: `seen`, the stamp in that address, asks for it as its
    cloth was then, if that is still kept. Otherwise, and without it, all is as the cloth is now.
    """

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._painted = PaintCache(limit_bytes=_KEPT_BYTES)
        self._near = PaintCache(limit_bytes=_NEAR_BYTES)
        self._drafted = lru_cache(maxsize=16)(_draft)
        self._upright = lru_cache(maxsize=8)(_stand)
        self.block_png = lru_cache(maxsize=256)(self._block_png)
        # What is made of cloth is kept with a stamp: cloth may be changed while the page is open.
        self._cloths = lru_cache(maxsize=_KEPT_CLOTHS)(self._find)
        self._worked_before = lru_cache(maxsize=16)(self._worked)
        self._working = Lock()
        self._readings = lru_cache(maxsize=16)(self._read)
        self._kinds = lru_cache(maxsize=16)(self._read_kinds)
        self._cloth_pngs = lru_cache(maxsize=512)(self._cloth_png)
        self._picture_pngs = lru_cache(maxsize=12)(self._picture_png)
        self._frame = lru_cache(maxsize=4)(_frame)
        self._weighed = lru_cache(maxsize=8)(self._weighed_png)

    def drafted(self, choice: Choice) -> Drafted:
        """What the choice sews, without its cloth."""
        return self._drafted(choice.bare())

    def roles(self, choice: Choice) -> dict[str, str]:
        """The roles that the choice needs cloth for, with what each is for."""
        return roles_of(self.drafted(choice))

    def first_choice(self, choice: Choice) -> Choice:
        """The same with our own first choice of cloth for every role that has none, and none for others."""
        roles, chosen = self.roles(choice), choice.cloth_keys()
        ours = first_choice(choice.block, roles)
        cloths = {role: chosen.get(role) or self.shelf.key_of(ours[role]) for role in roles}
        return Choice(
            choice.block, tuple(cloths.items()), choice.seam_in, choice.width_in, choice.upright, choice.quilt
        )

    def worked(self, choice: Choice, *, seen: str | None = None) -> Worked:
        """The choice worked out; two threads that ask for the same one wait for each other."""
        return self._of_choice(choice, seen, lambda stamp: self._worked_at(choice, stamp))

    def stamp(self, choice: Choice) -> str:
        """Stands for the cloths of a choice as they are now; "" where the stash has none of them.

        It belongs in every address of a picture, so that a browser asks anew after a cloth was changed.
        """
        stamps = self.shelf.stamps()
        return "".join(stamps.get(key, "") for key in dict.fromkeys(key for _, key in choice.cloths))

    def named(self, choice: Choice) -> str:
        """The choice with its cloths as they are now, in a few letters: another one for any other."""
        told = choice_query(choice, seen=self.stamp(choice))
        return blake2s(told.encode(), digest_size=8).hexdigest()

    def cloth_stamp(self, key: str) -> str:
        """The same for one cloth."""
        return self.shelf.stamps().get(key, "")

    def shelf_version(self) -> str:
        """Another one whenever cloth was put into the stash, changed or taken out, by whatever program."""
        stamps = self.shelf.stamps()
        return blake2s(repr(sorted(stamps.items())).encode(), digest_size=8).hexdigest()

    def readings(self, choice: Choice) -> tuple[EdgeReading, ...]:
        """Every edge of a block as it reads, the weakest first."""
        return self._readings(choice, self.stamp(choice))

    def kinds(self, choice: Choice) -> tuple[KindReading, ...]:
        """Every kind of edge of a quilt as it reads, the weakest first."""
        return self._kinds(choice, self.stamp(choice))

    def cloth_png(self, key: str, *, seen: str | None = None) -> bytes:
        """The small picture of a cloth, even of one that was taken out of the stash and lies aside.

        Raises: Mistake for no such cloth.
        """
        return _as_seen(seen, lambda: self.cloth_stamp(key), lambda stamp: self._cloth_pngs(key, stamp))

    def picture_png(self, choice: Choice, view: str, *, seen: str | None = None) -> bytes:
        """The picture of a choice as the page shows it."""
        return self._of_choice(choice, seen, lambda stamp: self._picture_pngs(choice, view, stamp))

    def weighed_png(self, choice: Choice, viewing: Viewing, view: str, *, seen: str | None = None) -> bytes:
        """The picture of a choice in any view, looked at in any way, as fine as the page shows it.

        Raises: Mistake for the edges of a quilt, or for "seen" where nothing is unusual.
        """
        return self._of_choice(choice, seen, lambda stamp: self._weighed(choice, viewing, view, stamp))

    def readings_in(self, choice: Choice, viewing: Viewing) -> tuple[EdgeReading, ...]:
        """Every edge of a block as it reads, looked at in any way."""
        return self.worked(choice).readings(viewing=viewing, cache=self._painted)

    def near_png(self, choice: Choice, view: str, part: NearPart, *, seen: str | None = None) -> bytes:
        """A part of the picture, drawn from the cloth at a resolution of its own.

        Raises: FrameError for a part that leaves the picture.
        """
        worked = self.worked(choice, seen=seen)
        frame = prepare_frame(worked.drafted.scene, ppi=part.ppi, window_px=part.window_px)
        with self._near.lock:
            shown = look(worked, view=view, ppi=part.ppi, frame=frame, cache=self._near)
            # Cloth made ready at this resolution is kept, for the next part; the part itself is not.
            self._near.forget(frame.token)
        return screen_png(shown)

    def picture(self, choice: Choice, *, view: str, ppi: float) -> NDArray[np.uint8]:
        """The picture of a choice, painted afresh or partly kept from the last one."""
        return self._paint(self.worked(choice), view, ppi)

    def fresh_picture(self, choice: Choice, *, view: str, ppi: float) -> NDArray[np.uint8]:
        """The picture of a choice at a resolution that is asked for once: nothing of it is kept."""
        return look(self.worked(choice), view=view, ppi=ppi)

    def fetch_small_pictures(self) -> None:
        """Makes the small picture of every cloth and block ahead of need."""
        for entry in self.shelf.entries():
            self.cloth_png(entry.key)
        for name in block_names():
            self.block_png(name)

    def _of_choice(self, choice: Choice, seen: str | None, make: Callable[[str], _Made]) -> _Made:
        return _as_seen(seen, lambda: self.stamp(choice), make)

    def _paint(self, worked: Worked, view: str, ppi: float) -> NDArray[np.uint8]:
        frame = self._frame(worked.drafted, ppi)
        with self._painted.lock:
            return look(worked, view=view, ppi=ppi, frame=frame, cache=self._painted)

    def _worked_at(self, choice: Choice, stamp: str) -> Worked:
        with self._working:
            return self._worked_before(choice, stamp)

    def _find(self, key: str, stamp: str) -> Swatch:
        if stamp != self.cloth_stamp(key):
            raise _ChangedError
        return self.shelf.find(key)

    def _worked(self, choice: Choice, stamp: str) -> Worked:
        if stamp != self.stamp(choice):
            raise _ChangedError
        roles = {role: self._cloth(key, role=role) for role, key in choice.cloths}
        drafted = self.drafted(choice)
        if choice.upright:
            drafted = self._upright(drafted, tuple(role for role, cloth in roles.items() if cloth.one_way))
        return work_out(drafted, roles=roles)

    def _cloth(self, key: str, *, role: str) -> Swatch:
        try:
            return self._cloths(key, self.cloth_stamp(key))
        except Mistake as error:
            raise Mistake(
                f"The cloth that was chosen for {role} is no longer at hand.",
                mend="Choose another cloth for it.",
            ) from error

    def _read(self, choice: Choice, _stamp: str) -> tuple[EdgeReading, ...]:
        return self.worked(choice).readings(cache=self._painted)

    def _read_kinds(self, choice: Choice, _stamp: str) -> tuple[KindReading, ...]:
        return read_kinds(self.worked(choice), cache=self._painted)

    def _weighed_png(self, choice: Choice, viewing: Viewing, view: str, stamp: str) -> bytes:
        worked = self._worked_at(choice, stamp)
        frame = self._frame(worked.drafted, screen_ppi(worked.drafted))
        with self._painted.lock:
            shown = look_closer(worked, view=view, frame=frame, viewing=viewing, cache=self._painted)
        return screen_png(side_by_side([shown, roles_key(frame)]) if view == "roles" else shown)

    def _picture_png(self, choice: Choice, view: str, stamp: str) -> bytes:
        worked = self._worked_at(choice, stamp)
        return screen_png(self._paint(worked, view, screen_ppi(worked.drafted)))

    def _cloth_png(self, key: str, stamp: str) -> bytes:
        aside = None if stamp else self.shelf.lying_aside(key)
        return screen_png(look_at_cloth(aside or self._cloths(key, stamp), side_px=_CLOTH_SIDE_PX))

    def _block_png(self, name: str) -> bytes:
        if name not in block_names():
            raise Mistake("There is no such block.", mend="Choose a built-in block.")
        return screen_png(look_at_block(open_block(name), shelf=Shelf(None), side_px=_BLOCK_SIDE_PX))


def _as_seen(seen: str | None, now: Callable[[], str], make: Callable[[str], _Made]) -> _Made:
    """What is made at the stamp that was seen, if that is the one of now or is still kept; else of now."""
    stamp = now() if seen is None else seen
    while True:
        try:
            return make(stamp)
        except _ChangedError:
            stamp = now()


def _draft(bare: Choice) -> Drafted:
    making = make_making(bare.block, width_in=bare.width_in, quilt=bare.quilt)
    return draft_making(making, seam_in=bare.seam_in)


def _stand(drafted: Drafted, roles: tuple[str, ...]) -> Drafted:
    return stand_upright(drafted, roles=roles)


def _frame(drafted: Drafted, ppi: float) -> Frame:
    return prepare_frame(drafted.scene, ppi=ppi)


def screen_png(picture_srgb8: NDArray[np.uint8]) -> bytes:
    """A PNG for the screen: lossless, and packed lightly because it travels no farther than this machine."""
    done, packed = cv2.imencode(
        ".png", cv2.cvtColor(picture_srgb8, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_PNG_COMPRESSION, 1]
    )
    if not done:
        raise RuntimeError("the picture could not be packed as PNG")
    return packed.tobytes()
