"""A quilt with a cloth for every patch and a place on that cloth for every piece, in columns."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion
from blocks.quilt import Quilt
from preview.audition import MissingPlace, check_roles, photo_notes
from preview.fitting import fit_on_photo
from preview.repeating import row_of
from preview.scene import Scene, scene_of
from preview.wear import Wear, make_wear
from swatches.swatch import Swatch

__all__ = ["QuiltAudition", "dress_quilt"]


@dataclass(frozen=True, slots=True, eq=False)
class QuiltAudition:
    """What the picture of a quilt is made from. Build it with dress_quilt."""

    quilt: Quilt
    scene: Scene
    """Give it to prepare_frame: it is worked out once for all windows and resolutions."""
    wear: Wear
    notes: tuple[str, ...]
    """What the maker should know about the picture, one sentence each."""


def dress_quilt(
    quilt: Quilt,
    *,
    roles: Mapping[str, Swatch],
    places: Mapping[int, Motion],
    overrides: Mapping[int, Swatch] | None = None,
    scene: Scene | None = None,
) -> QuiltAudition:
    """The quilt in these cloths; arguments as for make_audition, patches and pieces numbered as in the quilt.

    `scene` is the quilt's own, if it is at hand from another audition.
    Raises: UnknownRole, MissingCloth, UnknownPatch, MissingPlace, each naming everything at fault.
    """
    scene = scene or scene_of(quilt)
    singles = dict(overrides or {})
    numbers = scene.numbers.tolist()
    check_roles(scene.roles, numbers, roles=roles, singles=singles)
    used = np.unique(scene.pieces).tolist()
    lost = tuple(piece for piece in used if piece not in places)
    if lost:
        raise MissingPlace(lost)
    cloths = [singles.get(n) or roles[role] for n, role in zip(numbers, scene.roles, strict=True)]
    rows = np.zeros((max(used) + 1, 4))
    rows[used] = [row_of(places[piece]) for piece in used]
    lies = rows[scene.pieces]
    notes: tuple[str, ...] = ()
    if any(not cloth.repeats for cloth in {id(cloth): cloth for cloth in cloths}.values()):
        notes = _fit_photos(quilt, cloths, places, lies)
    return QuiltAudition(quilt, scene, make_wear(scene.roles, cloths, lies), notes)


def _fit_photos(
    quilt: Quilt, cloths: list[Swatch], places: Mapping[int, Motion], lies: NDArray[np.float64]
) -> tuple[str, ...]:
    """Moves the pieces of photographed cloths onto the photographs, in `lies`; what does not fit is told."""
    pieces = list(quilt.pieces())
    too_big: dict[str, list[int]] = {}
    for repeat in quilt.repeats:
        for patch in quilt.patches(repeat):
            cloth = cloths[patch.number - 1]
            if cloth.repeats:
                continue
            place, fits = fit_on_photo(
                places[patch.piece], cloth=cloth, piece=pieces[patch.piece], patch=patch
            )
            lies[patch.number - 1] = row_of(place)
            if not fits:
                too_big.setdefault(cloth.name, []).append(patch.number)
    return photo_notes(too_big)
