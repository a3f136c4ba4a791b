"""The light of every sample of a frame: one gather of 16-bit linear cloth for each role's cloth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import blake2b

import cv2
import numpy as np
from numpy.typing import NDArray

from preview.frame import Frame
from preview.keeping import PaintCache
from preview.laying import SAMPLE_ROW, Laid, lay_cloth
from preview.tiles import Tile, prefilter
from preview.wear import Wear, identity_of
from swatches.swatch import Swatch

__all__ = ["ClothGroup", "Stretch", "group_by_cloth", "prepare_group", "sample_light"]

_ROWS_AT_ONCE = 64
"""Rows of samples handled at a time: their light then stays in the processor's cache."""


@dataclass(frozen=True, slots=True, eq=False)
class ClothGroup:
    """Patches in one cloth that are laid and painted together."""

    swatch: Swatch
    owners: NDArray[np.int64]
    places: NDArray[np.float64]
    """(n, 4) rows, from each patch's cut piece to the cloth."""

    def only(self, chosen: NDArray[np.bool_]) -> ClothGroup:
        """Some of its patches."""
        return self if chosen.all() else ClothGroup(self.swatch, self.owners[chosen], self.places[chosen])


@dataclass(frozen=True, slots=True, eq=False)
class Stretch:
    """Samples that follow each other: those of whole pixels, then those of parts of shared pixels."""

    first: int
    """Number of the first sample within the laid cloth."""
    lin16: NDArray[np.uint16]
    """(n, 4) linear light times 65535; the fourth channel means nothing. Good until the next stretch."""
    four_place: NDArray[np.int64]
    """Where in the picture, divided by four, the first samples go, four at a time."""
    lone_place: NDArray[np.int64]
    """Where the samples after them go, one at a time."""
    slot: NDArray[np.int64]
    """Which slots of the frame's parts the other samples are."""

    @property
    def whole_place(self) -> NDArray[np.int64]:
        """Where all but the parts go, one at a time."""
        fours = (self.four_place[:, None] * 4 + np.arange(4)).ravel()
        return np.concatenate([fours, self.lone_place])


def group_by_cloth(frame: Frame, wear: Wear) -> list[ClothGroup]:
    """The patches that the frame shows, by role and cloth."""
    groups = []
    for whole in wear.groups:
        owners = whole[frame.present[whole]]
        if len(owners):
            groups.append(ClothGroup(wear.swatches[wear.swatch_of[owners[0]]], owners, wear.places[owners]))
    return groups


def prepare_group(frame: Frame, group: ClothGroup, *, cache: PaintCache) -> tuple[Laid, Tile]:
    """Where the group's samples lie on its cloth, and that cloth at the frame's resolution."""
    identity = identity_of(group.swatch)
    tile = cache.get(
        ("tile", *identity, frame.ppi),
        lambda: prefilter(group.swatch, ppi=frame.ppi),
        weigh=lambda made: made.lin16.nbytes,
    )
    # 160 bits tell groups apart; the columns themselves would make long keys.
    name = blake2b(group.owners.tobytes() + group.places.tobytes(), digest_size=20).digest()
    laid = cache.get(
        ("laid", frame.token, *identity, name),
        lambda: lay_cloth(frame, tile, owners=group.owners, places=group.places),
        weigh=lambda made: made.kept_bytes,
    )
    return laid, tile


def sample_light(laid: Laid, tile: Tile) -> Iterator[Stretch]:
    """The light of all samples of one laid cloth, a stretch at a time, all in one small buffer."""
    fours = 4 * len(laid.four_place)
    whole = fours + len(laid.lone_place)
    count = whole + len(laid.slot)
    buffer = np.empty((_ROWS_AT_ONCE, SAMPLE_ROW, 4), np.uint16)
    for row in range(0, len(laid.x_px), _ROWS_AT_ONCE):
        rows = slice(row, row + _ROWS_AT_ONCE)
        x_px = laid.x_px[rows]
        taken = cv2.remap(
            tile.lin16,
            x_px,
            laid.y_px[rows],
            cv2.INTER_LINEAR,
            dst=buffer[: len(x_px)],
            borderMode=cv2.BORDER_REPLICATE,
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
            # Stretches begin at multiples of four.
            laid.four_place[first // 4 : min(last, fours) // 4],
            laid.lone_place[max(first - fours, 0) : max(min(last, whole) - fours, 0)],
            laid.slot[max(first - whole, 0) : max(last - whole, 0)],
        )
