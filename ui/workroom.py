"""What the page keeps at hand between two looks: drafted blocks, worked choices and painted pictures."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from blocks.library import block_names, open_block
from preview.frame import Frame, prepare_frame
from preview.keeping import PaintCache
from preview.readings import EdgeReading
from ui.bench import Drafted, Worked, draft, roles_of, work_out
from ui.choice import Choice
from ui.first_choice import first_choice
from ui.looks import look, look_at_cloth
from ui.mistakes import Mistake
from ui.shelf import Shelf

__all__ = ["Workroom"]

_CLOTH_SIDE_PX = 144
_KEPT_BYTES = 384 * 2**20


class Workroom:
    """One for a running page. Everything kept is found again by the choice it was made for.

    Several threads may ask at once.
    """

    def __init__(self, shelf: Shelf) -> None:
        self.shelf = shelf
        self._painted = PaintCache(limit_bytes=_KEPT_BYTES)
        self.drafted = lru_cache(maxsize=16)(self._drafted)
        self._worked_before = lru_cache(maxsize=16)(self._worked)
        self._working = Lock()
        self.readings = lru_cache(maxsize=16)(self._readings)
        self.cloth_png = lru_cache(maxsize=512)(self._cloth_png)
        self.picture_png = lru_cache(maxsize=12)(self._picture_png)
        self._frame = lru_cache(maxsize=4)(self._make_frame)

    def first_choice(self, block: str, *, seam_in: Fraction) -> Choice:
        """The block in our own first choice of cloth."""
        roles = roles_of(self.drafted(block, seam_in))
        chosen = {role: self.shelf.find(name).key for role, name in first_choice(block, roles).items()}
        return Choice(block, tuple(chosen.items()), seam_in)

    def worked(self, choice: Choice) -> Worked:
        """The choice worked out; two threads that ask for the same one wait for each other."""
        with self._working:
            return self._worked_before(choice)

    def picture(self, choice: Choice, *, view: str, ppi: float) -> NDArray[np.uint8]:
        """The picture of a choice, painted afresh or partly kept from the last one."""
        frame = self._frame(choice.block, choice.seam_in, ppi)
        with self._painted.lock:
            return look(self.worked(choice), view=view, ppi=ppi, frame=frame, cache=self._painted)

    def fresh_picture(self, choice: Choice, *, view: str, ppi: float) -> NDArray[np.uint8]:
        """The picture of a choice at a resolution that is asked for once: nothing of it is kept."""
        return look(self.worked(choice), view=view, ppi=ppi)

    def fetch_cloths(self) -> None:
        """Makes the small picture of every cloth ahead of need: demo cloth takes a moment to be drawn."""
        for entry in self.shelf.entries():
            self.cloth_png(entry.key)

    def _drafted(self, block: str, seam_in: Fraction) -> Drafted:
        # Only built-in blocks: an address must not make the page open files.
        if block not in block_names():
            raise Mistake("There is no such block.", mend=f"Choose one of: {', '.join(block_names())}.")
        return draft(open_block(block), seam_in=seam_in)

    def _worked(self, choice: Choice) -> Worked:
        roles = {role: self.shelf.find(key) for role, key in choice.cloths}
        return work_out(self.drafted(choice.block, choice.seam_in), roles=roles)

    def _readings(self, choice: Choice) -> tuple[EdgeReading, ...]:
        return self.worked(choice).readings(cache=self._painted)

    def _make_frame(self, block: str, seam_in: Fraction, ppi: float) -> Frame:
        return prepare_frame(self.drafted(block, seam_in).draft, ppi=ppi)

    def _picture_png(self, choice: Choice, view: str, ppi: float) -> bytes:
        return _png(self.picture(choice, view=view, ppi=ppi))

    def _cloth_png(self, key: str) -> bytes:
        return _png(look_at_cloth(self.shelf.find(key), side_px=_CLOTH_SIDE_PX))


def _png(picture_srgb8: NDArray[np.uint8]) -> bytes:
    """A PNG for the screen: lossless, and packed lightly because it travels no farther than this machine."""
    done, packed = cv2.imencode(
        ".png", cv2.cvtColor(picture_srgb8, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_PNG_COMPRESSION, 1]
    )
    if not done:
        raise RuntimeError("the picture could not be packed as PNG")
    return packed.tobytes()
