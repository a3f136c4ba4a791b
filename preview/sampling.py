"""The light of every sample of a frame: one gather of 16-bit linear cloth for each role's cloth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion
from preview.audition import Audition
from preview.frame import Frame
from preview.keeping import PaintCache
from preview.laying import SAMPLE_ROW, Laid, lay_cloth
from preview.tiles import Tile, prefilter
from swatches.swatch import Swatch

__all__ = ["ClothGroup", "Stretch", "group_by_cloth", "prepare_group", "sample_light"]

_ROWS_AT_ONCE = 256
"""Rows of samples handled at a time: their light then stays in the processor's cache."""


@dataclass(frozen=True, slots=True, eq=False)
class ClothGroup:
    """Patches of one role in one cloth; `key` changes with anything that their pixels depend on."""

    key: tuple[object, ...]
    swatch: Swatch
    owners: tuple[int, ...]
    places: tuple[Motion, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Samples that follow each other: those of whole pixels, then those of parts of shared pixels."""

    first: int
    """Number of the first sample within the laid cloth."""
    lin16: NDArray[np.uint16]
    """(n, 4) linear light times 65535; the fourth channel means nothing."""
    whole_place: NDArray[np.int64]
    """Where in the picture the first samples go."""
    part: NDArray[np.int64]
    """Which parts of the frame the other samples are."""


def group_by_cloth(frame: Frame, audition: Audition) -> list[ClothGroup]:
    """The patches by role and cloth: changing the cloth of a role then touches one group."""
    found: dict[tuple[object, ...], list[int]] = {}
    for owner, patch in enumerate(frame.draft.patches):
        found.setdefault((patch.role, *_identity(audition.cloth_of(patch))), []).append(owner)
    groups = []
    for name, owners in found.items():
        patches = [frame.draft.patches[owner] for owner in owners]
        places = tuple(audition.place_of(patch) for patch in patches)
        key = (*name, tuple(owners), places)
        groups.append(ClothGroup(key, audition.cloth_of(patches[0]), tuple(owners), places))
    return groups


def _identity(swatch: Swatch) -> tuple[object, ...]:
    return swatch.key, swatch.ppi, swatch.repeats, swatch.tile_srgb8.shape


def prepare_group(frame: Frame, group: ClothGroup, *, cache: PaintCache) -> tuple[Laid, Tile]:
    """Where the group's samples lie on its cloth, and that cloth at the frame's resolution."""
    tile = cache.get(
        ("tile", *_identity(group.swatch), frame.ppi),
        lambda: prefilter(group.swatch, ppi=frame.ppi),
        weigh=lambda made: made.lin16.nbytes,
    )
    laid = cache.get(
        ("laid", frame.token, group.key),
        lambda: lay_cloth(frame, tile, owners=group.owners, places=group.places),
        weigh=lambda made: made.kept_bytes,
    )
    return laid, tile


def sample_light(laid: Laid, tile: Tile) -> Iterator[Stretch]:
    """The light of all samples of one laid cloth, a stretch at a time."""
    whole, count = len(laid.whole_place), len(laid.whole_place) + len(laid.part)
    for row in range(0, len(laid.x_px), _ROWS_AT_ONCE):
        rows = slice(row, row + _ROWS_AT_ONCE)
        taken = cv2.remap(
            tile.lin16, laid.x_px[rows], laid.y_px[rows], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
        first = row * SAMPLE_ROW
        lin16 = np.asarray(taken, np.uint16).reshape(-1, 4)[: count - first]
        last = first + len(lin16)
        if len(laid.beyond):
            low, high = np.searchsorted(laid.beyond, (first, last))
            lin16[laid.beyond[low:high] - first] = laid.beyond_lin16[low:high, None]
        yield Stretch(
            first,
            lin16,
            laid.whole_place[first : min(last, whole)],
            laid.part[max(first - whole, 0) : max(last - whole, 0)],
        )
