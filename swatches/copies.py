"""Where copies of a tile are seen in a photograph, and what they are together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.middle import middle

__all__ = ["Copies", "Pull", "joined"]

_EDGE_IN = 0.15
_AT_ONCE = 1 << 20
"""Numbers of the working values that stay in the processor's cache."""
_REACH_PX = 3.0
"""So far beyond the photograph's edge a cubic still finds something of it."""

Map = NDArray[np.float32]
_NO_MAP: Map = np.empty(0, np.float32)
"""Beside a map that says both ways where to look."""
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Copies:
    """Where the same piece of print is seen in a photograph, and how its copies are joined."""

    cloth_lin: Map
    sides_in: NDArray[np.float64]
    """Sides (2, 2) of one copy on the cloth."""
    starts_in: NDArray[np.float64]
    """Where each begins (n, 2)."""
    size_px: tuple[int, int]
    """Width and height of the tile they become."""
    ppi: float
    """Of the photograph."""
    whole: bool
    """Whether each is seen whole: then their median, which drops lint and noise, is the tile, else a mean."""

    def sample(
        self, picture: Map, start_in: NDArray[np.float64], *, pad_px: int = 0, outside: float | None = None
    ) -> Map:
        """One copy, sampled from a picture of the cloth along its own grain, and `pad_px` pixels round it."""
        wide, high = self.size_px
        step, first = self.to_photo(start_in)
        made = cv2.warpAffine(
            picture,
            np.column_stack([step, first - step @ np.array([pad_px, pad_px])]),
            (wide + 2 * pad_px, high + 2 * pad_px),
            flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE if outside is None else cv2.BORDER_CONSTANT,
            borderValue=outside or 0.0,
        )
        return np.asarray(made, dtype=np.float32)

    def to_photo(self, start_in: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """The map from the pixels of one copy to those of the photograph, both counted from centres."""
        wide, high = self.size_px
        step = np.array([self.sides_in[0] / wide, self.sides_in[1] / high]).T * self.ppi
        return step, np.asarray(start_in) * self.ppi + step @ np.array([0.5, 0.5]) - 0.5

    def fading(self) -> Map:
        """How much each pixel of the photograph counts: smoothly less towards its edges."""
        edge = max(3, ceil(_EDGE_IN * self.ppi))

        def fade(count: int) -> Map:
            far = np.minimum(np.arange(count) + 0.5, count - np.arange(count) - 0.5) / edge
            ramp = np.clip(far, 0, 1)
            return np.asarray(ramp * ramp * (3 - 2 * ramp) + 1e-5, dtype=np.float32)

        rows, columns = self.cloth_lin.shape[:2]
        return np.outer(fade(rows), fade(columns)).astype(np.float32)

    def coarser(self, times: int) -> Copies:
        """The same of the photograph with so many times fewer pixels each way."""
        if times == 1:
            return self
        rows, columns = (side // times * times for side in self.cloth_lin.shape[:2])
        small = cv2.resize(
            self.cloth_lin[:rows, :columns], (columns // times, rows // times), interpolation=cv2.INTER_AREA
        )
        wide, high = (max(1, round(side / times)) for side in self.size_px)
        return replace(
            self, cloth_lin=np.asarray(small, dtype=np.float32), size_px=(wide, high), ppi=self.ppi / times
        )


@dataclass(frozen=True, slots=True, eq=False)
class Pull:
    """How far the cloth of one copy lies off, on a coarse grid that reaches beyond the tile."""

    grid: Map
    """(rows, columns, 2), in steps of the grid across and down."""
    first: tuple[float, float]
    """Where on it the tile begins."""
    sides: tuple[float, float]
    """How many steps the tile is wide and high."""

    @property
    def furthest(self) -> float:
        """The most that it is anywhere, as a share of the tile's side."""
        # One bound for all ways is many times as fast to find as one for each.
        return cv2.norm(self.grid, cv2.NORM_INF) / min(self.sides)

    def through(self, step: Floats, tile_px: tuple[int, int]) -> Pull:
        """The same in pixels of the photograph, to which `step` (2, 2) leads from those of the tile."""
        per_px = np.array(self.sides) / tile_px
        return replace(self, grid=(self.grid @ (step / per_px).T.astype(np.float32)))

    def at(
        self, start: tuple[int, int], size: tuple[int, int], *, every: int, tile_px: tuple[int, int]
    ) -> Map:
        """What the grid says of `size` pixels of a tile of so many, every so manieth from a first one."""
        # Exactly the tile's own pixels: copies beside each other must go on without a step.
        per_px = [steps / px for steps, px in zip(self.sides, tile_px, strict=True)]
        begin = [self.first[i] + (start[i] + 0.5) * per_px[i] - 0.5 for i in (0, 1)]
        to_grid = np.array([[every * per_px[0], 0, begin[0]], [0, every * per_px[1], begin[1]]])
        flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
        found = cv2.warpAffine(self.grid, to_grid, size, flags=flags, borderMode=cv2.BORDER_REPLICATE)
        return np.asarray(found, dtype=np.float32)


def joined(copies: Copies, pulls: Sequence[Pull | None], *, every: int = 1) -> tuple[Map, float]:
    """The tile, and the mean difference of the copies from it; of every so manieth pixel each way."""
    wide, high = copies.size_px
    columns, rows = (np.arange(every // 2, side, every) for side in (wide, high))
    placed = [_Placed.of(copies, *each) for each in zip(copies.starts_in, pulls, strict=True)]
    fading = None if copies.whole else copies.fading()
    tile = np.empty((len(rows), len(columns), 3), np.float32)
    apart = 0.0
    band = max(1, _AT_ONCE // (tile[0].size * (len(placed) if copies.whole else 3)))
    for top in range(0, len(rows), band):
        part = _Part(columns, rows[top : top + band], every)
        if fading is None:
            tile[top : top + band], off = _middle_of(copies.cloth_lin, placed, part)
        else:
            tile[top : top + band], off = _mean_of(copies.cloth_lin, fading, placed, part)
        apart += off
    return tile, apart / tile.size


@dataclass(frozen=True, slots=True, eq=False)
class _Part:
    """Some pixels of the tile: where its columns and rows are crossed."""

    columns: NDArray[np.intp]
    rows: NDArray[np.intp]
    every: int


@dataclass(frozen=True, slots=True, eq=False)
class _Placed:
    """One copy: how the tile's pixels map to the photograph, and in which of them it is seen."""

    step: Floats
    first: Floats
    pull: Pull | None
    size_px: tuple[int, int]
    box: tuple[int, int, int, int]

    @classmethod
    def of(cls, copies: Copies, start_in: Floats, pull: Pull | None) -> _Placed:
        step, first = copies.to_photo(start_in)
        rows, columns = copies.cloth_lin.shape[:2]
        low, far = -_REACH_PX, _REACH_PX - 1
        corners = np.array([[low, low], [columns + far, low], [columns + far, rows + far], [low, rows + far]])
        at = (corners - first) @ np.linalg.inv(step).T
        least, most = at.min(axis=0), at.max(axis=0)
        wide, high = copies.size_px
        if pull is not None:
            furthest = pull.furthest * max(wide, high)
            least, most = least - furthest, most + furthest
            pull = pull.through(step, copies.size_px)
        box = (
            max(0, floor(least[0])),
            max(0, floor(least[1])),
            min(wide, ceil(most[0]) + 1),
            min(high, ceil(most[1]) + 1),
        )
        return cls(step, first, pull, copies.size_px, box)

    def seen_in(self, part: _Part) -> tuple[slice, slice]:
        """Which of the rows and columns may show something of it."""
        left, top, right, bottom = self.box
        return (
            slice(*np.searchsorted(part.rows, (top, bottom))),
            slice(*np.searchsorted(part.columns, (left, right))),
        )

    def places(self, part: _Part, where: tuple[slice, slice]) -> Map:
        """Where in the photograph those pixels lie (rows, columns, 2)."""
        rows, columns = part.rows[where[0]], part.columns[where[1]]
        across = (np.outer(columns, self.step[:, 0]) + self.first).astype(np.float32)[None]
        down = np.outer(rows, self.step[:, 1]).astype(np.float32)[:, None]
        if self.pull is None:
            return across + down
        start, size = (int(columns[0]), int(rows[0])), (len(columns), len(rows))
        at = self.pull.at(start, size, every=part.every, tile_px=self.size_px)
        at += across
        at += down
        return at


def _middle_of(cloth_lin: Map, placed: Sequence[_Placed], part: _Part) -> tuple[Map, float]:
    """The median of all copies, which drops lint and noise."""
    whole = (slice(None), slice(None))
    stack = [
        np.asarray(
            cv2.remap(
                cloth_lin, each.places(part, whole), _NO_MAP, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE
            ),
            dtype=np.float32,
        )
        for each in placed
    ]
    found = middle(stack)
    off = sum(cv2.norm(copy, found, cv2.NORM_L1) for copy in stack) / len(stack)
    return np.maximum(found, 0), off


def _mean_of(cloth_lin: Map, fading: Map, placed: Sequence[_Placed], part: _Part) -> tuple[Map, float]:
    """The mean, in which each pixel counts less towards the photograph's edge."""
    total, squares, weights = (
        np.zeros((len(part.rows), len(part.columns), channels), np.float32) for channels in (3, 3, 1)
    )
    for each in placed:
        where = each.seen_in(part)
        if not weights[where].size:
            continue
        at = each.places(part, where)
        weight = np.maximum(
            cv2.remap(fading, at, _NO_MAP, cv2.INTER_CUBIC, borderMode=cv2.BORDER_CONSTANT), 0
        )
        copy = cv2.remap(cloth_lin, at, _NO_MAP, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
        counted = np.asarray(copy * weight[..., None], dtype=np.float32)
        total[where] += counted
        squares[where] += counted * copy
        weights[where] += weight[..., None]
    weights = np.maximum(weights, 1e-6)
    mean = total / weights
    varied = np.sqrt(np.maximum(squares / weights - mean * mean, 0))
    return np.maximum(mean, 0), float(varied.sum(dtype=np.float64))
