"""How much of every pixel each outline covers: the exact area, found by walking the outlines only.

The signed-area accumulation that font rasterisers use, kept sparse and done for all outlines at once:
each line is cut at pixel rows and columns, every scrap adds its height ("cover") and the area to its
right to one cell, and a running sum along each row turns cells into coverage. Work and memory grow with
the length of the outlines in pixels, not with the area they enclose.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

__all__ = ["SLIVER", "Coverage", "cover_outlines", "cover_pixels"]

SLIVER = 2e-5
"""A smaller share of a pixel is rounding, not cloth: a tenth of a grey level, even of white on black."""

_LEVEL_PX = 1e-12
"""A line that rises by less is level: its slope would be rounding and nothing else."""

_Ints = NDArray[np.int64]
_Floats = NDArray[np.float64]
Ring = NDArray[np.float64]
"""(n, 2) corners in pixels, clockwise as seen for an outer boundary, the other way round for a hole."""


@dataclass(frozen=True, slots=True, eq=False)
class Coverage:
    """Whole runs of pixels, and pixels shared, sorted by owner and then by place.

    A pixel's place is row * width + column. Runs never cross a row.
    """

    run_owner: _Ints
    run_start: _Ints
    run_length: _Ints
    part_owner: _Ints
    part_place: _Ints
    part_weight: _Floats


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Stretches of boundary within one row of pixels each."""

    owner: _Ints
    row: _Ints
    x_above: _Floats
    x_below: _Floats
    height: _Floats
    """More than 0 where cover begins, less where it ends."""


@dataclass(frozen=True, slots=True, eq=False)
class _Scraps:
    """Stretches of boundary within one pixel each."""

    owner: _Ints
    row: _Ints
    column: _Ints
    cover: _Floats
    """Signed height: what the boundary adds to every pixel further right."""
    area: _Floats
    """What it adds to its own pixel."""


@dataclass(frozen=True, slots=True, eq=False)
class _Cells:
    """One entry for each (owner, row, column) that a boundary passes, sorted so."""

    line: _Ints
    """owner * height + row."""
    column: _Ints
    after: _Floats
    """Coverage of the pixels to the right, up to the next cell of the line."""
    weight: _Floats


def cover_pixels(rings: Sequence[tuple[int, Ring]], *, width_px: int, height_px: int) -> Coverage:
    """The pixels of a (height, width) grid that closed outlines cover, and by how much of their area.

    Each ring comes with its owner (from 0); rings of one owner add up, holes take away. What lies
    outside the grid is left out.
    """
    points = [ring for _, ring in rings]
    return cover_outlines(
        np.concatenate([*points, np.empty((0, 2))]),
        first=np.append(0, np.cumsum([len(ring) for ring in points], dtype=np.int64)),
        owner=np.array([owner for owner, _ in rings], np.int64),
        width_px=width_px,
        height_px=height_px,
    )


def cover_outlines(points: Ring, *, first: _Ints, owner: _Ints, width_px: int, height_px: int) -> Coverage:
    """The same for rings in one column of corners: ring i has those from first[i] up to first[i + 1]."""
    lines = _cut_at_rows(points, first=first, owner=owner, height_px=height_px)
    cells = _sum_cells(_cut_at_columns(lines), width_px=width_px, height_px=height_px)
    return _to_coverage(cells, width_px=width_px, height_px=height_px)


def _cut_at_rows(points: Ring, *, first: _Ints, owner: _Ints, height_px: int) -> _Lines:
    """Every line that is not level, cut at the pixel rows."""
    following = np.arange(1, len(points) + 1)
    following[first[1:] - 1] = first[:-1]
    owner, start, end = np.repeat(owner, np.diff(first)), points, points[following]
    rises = end[:, 1] < start[:, 1]
    top, bottom = np.where(rises[:, None], end, start), np.where(rises[:, None], start, end)
    # Only lines that rise or fall through the grid matter; level ones enclose nothing by themselves.
    kept = (bottom[:, 1] - top[:, 1] > _LEVEL_PX) & (bottom[:, 1] > 0) & (top[:, 1] < height_px)
    owner, top, bottom, rises = owner[kept], top[kept], bottom[kept], rises[kept]
    slope = (bottom[:, 0] - top[:, 0]) / (bottom[:, 1] - top[:, 1])
    high, low = np.maximum(top[:, 1], 0.0), np.minimum(bottom[:, 1], float(height_px))
    first = np.floor(high).astype(np.int64)
    which, step = _spread(np.ceil(low).astype(np.int64) - first)
    row = first[which] + step
    y_above, y_below = np.maximum(high[which], row), np.minimum(low[which], row + 1)
    x_top, y_top, lean = top[which, 0], top[which, 1], slope[which]
    x_above = x_top + (y_above - y_top) * lean
    x_below = np.where(y_below == bottom[which, 1], bottom[which, 0], x_top + (y_below - y_top) * lean)
    # With y running down, a clockwise outline rises along its left side: that is where cover begins.
    height = np.where(rises[which], 1.0, -1.0) * (y_below - y_above)
    return _Lines(owner[which], row, x_above, x_below, height)


def _cut_at_columns(lines: _Lines) -> _Scraps:
    low, high = np.minimum(lines.x_above, lines.x_below), np.maximum(lines.x_above, lines.x_below)
    first = np.floor(low).astype(np.int64)
    which, step = _spread(np.maximum(np.ceil(high).astype(np.int64), first + 1) - first)
    column = first[which] + step
    left, right = np.maximum(low[which], column), np.minimum(high[which], column + 1)
    width = (high - low)[which]
    upright = width == 0
    part = np.where(upright, 1.0, (right - left) / np.where(upright, 1.0, width))
    cover = lines.height[which] * part
    return _Scraps(
        lines.owner[which], lines.row[which], column, cover, cover * (column + 1 - (left + right) / 2)
    )


def _sum_cells(scraps: _Scraps, *, width_px: int, height_px: int) -> _Cells:
    kept = scraps.column < width_px
    column, cover = scraps.column[kept], scraps.cover[kept]
    # Whatever lies left of the grid covers the whole of column 0 and onward.
    area = np.where(column < 0, cover, scraps.area[kept])
    line = scraps.owner[kept] * height_px + scraps.row[kept]
    cell, place = np.unique(line * width_px + np.maximum(column, 0), return_inverse=True)
    covers = _totals(place, cover, len(cell))
    line, column = np.divmod(cell, width_px)
    total = np.cumsum(covers)
    fresh = np.flatnonzero(np.diff(line, prepend=-1))
    carried = np.repeat((total - covers)[fresh], np.diff(fresh, append=len(line)))
    after: _Floats = total - carried
    return _Cells(line, column, after, after - covers + _totals(place, area, len(cell)))


def _totals(place: _Ints, amount: _Floats, count: int) -> _Floats:
    return np.bincount(place, weights=amount, minlength=count).astype(np.float64)


def _to_coverage(cells: _Cells, *, width_px: int, height_px: int) -> Coverage:
    owner, row = np.divmod(cells.line, height_px)
    place = row * width_px + cells.column
    same_line = np.diff(cells.line, append=-1) == 0
    next_column = np.where(same_line, np.roll(cells.column, -1), width_px)
    gap = next_column - cells.column - 1
    owners = np.concatenate([owner, owner])
    starts = np.concatenate([place, place + 1])
    lengths = np.concatenate([np.ones_like(gap), gap])
    weights = np.concatenate([cells.weight, cells.after])
    seen = (lengths > 0) & (weights > SLIVER)
    owners, starts, lengths, weights = owners[seen], starts[seen], lengths[seen], weights[seen]
    order = np.lexsort((starts, owners))
    owners, starts, lengths, weights = owners[order], starts[order], lengths[order], weights[order]
    whole = weights > 1 - SLIVER
    # A level boundary that runs through a row of pixels leaves a long run of equally shared ones.
    which, step = _spread(lengths[~whole])
    return Coverage(
        owners[whole],
        starts[whole],
        lengths[whole],
        owners[~whole][which],
        starts[~whole][which] + step,
        weights[~whole][which],
    )


def _spread(counts: NDArray[Any]) -> tuple[_Ints, _Ints]:
    """For counts (2, 3): which (0, 0, 1, 1, 1) and step (0, 1, 0, 1, 2)."""
    which = np.repeat(np.arange(len(counts)), counts)
    first = np.cumsum(counts) - counts
    return which, np.arange(len(which)) - first[which]
