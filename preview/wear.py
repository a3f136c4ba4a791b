"""Which cloth every patch wears and how it lies there, as columns that painting and repainting compare."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from swatches.swatch import Swatch

__all__ = ["Dressed", "Wear", "identity_of", "make_wear"]

_MARKS = 24
"""Rows and columns of pixels that mark a cloth in caches."""


@dataclass(frozen=True, slots=True, eq=False)
class Wear:
    """Columns in the order of the patches, and the patches grouped by role and cloth."""

    swatches: tuple[Swatch, ...]
    """Each cloth once."""
    swatch_of: NDArray[np.int64]
    """The index of each patch's cloth."""
    places: NDArray[np.float64]
    """(patches, 4) rows (cos, sin, dx, dy): from the cut piece to the cloth."""
    groups: tuple[NDArray[np.int64], ...]
    """Patches of one role in one cloth: swapping a role's cloth touches one group."""

    def __len__(self) -> int:
        return len(self.swatch_of)


class Dressed(Protocol):
    """A block or a quilt with cloth on: an Audition or a QuiltAudition."""

    @property
    def wear(self) -> Wear:
        """What is painted."""


def make_wear(roles: Sequence[str], swatches: Sequence[Swatch], places: NDArray[np.float64]) -> Wear:
    """The columns for patches of these roles, cloths and places."""
    index: dict[tuple[object, ...], int] = {}
    kept: list[Swatch] = []
    known: dict[int, int] = {}
    for swatch in swatches:
        if id(swatch) in known:
            continue
        number = index.setdefault(identity_of(swatch), len(kept))
        if number == len(kept):
            kept.append(swatch)
        known[id(swatch)] = number
    swatch_of = np.array([known[id(swatch)] for swatch in swatches], np.int64)
    found: dict[tuple[str, int], list[int]] = {}
    for owner, key in enumerate(zip(roles, swatch_of.tolist(), strict=True)):
        found.setdefault(key, []).append(owner)
    groups = tuple(np.array(owners, np.int64) for owners in found.values())
    return Wear(tuple(kept), swatch_of, places.reshape(-1, 4), groups)


def identity_of(swatch: Swatch) -> tuple[object, ...]:
    """Stands for a cloth in caches: a correction by eye keeps the key, so a few of its pixels are in it."""
    rows, columns = (max(1, side // _MARKS) for side in swatch.tile_srgb8.shape[:2])
    marks = crc32(np.ascontiguousarray(swatch.tile_srgb8[::rows, ::columns]).tobytes())
    return swatch.key, swatch.ppi, swatch.repeats, swatch.tile_srgb8.shape, marks
