"""A 24-patch chart found in a photograph by itself: even squares in rows, whose colours say which way up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin
from swatches.chart import ChartError, read_chart
from swatches.chart_cells import Grid, even_squares, square_grids
from swatches.chart_colours import COLUMNS, ROWS, chart_light
from swatches.chart_outline import Outline, outline_chart
from swatches.resampling import map_points

__all__ = ["FoundChart", "find_chart", "from_dark_skin"]

_LONGEST_PX = 2000
_SHRUNK = (1.0, 0.5, 0.25)
_STEPS = (9.0, 16.0, 26.0)
_BEYOND = 3
"""So many columns or rows of patches may have escaped at a side."""
_LEAST_SEEN = 8
_SURE = 0.75
_CLEAR_OF_OTHERS = 0.2
_LEAST_CONFIRMED = 12
_MOST_OFF = 0.08
_BLACK = 0.012

Point = tuple[float, float]
Corners = tuple[Point, Point, Point, Point]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class FoundChart:
    """Outer corners of the field of patches, round from dark skin, in pixels."""

    corners_px: Corners
    likeness: float
    """How like the chart's its colours lie: correlation, 1 at best, of the least alike of three measures."""


@dataclass(frozen=True, slots=True, eq=False)
class _Match:
    likeness: float
    to_photo: Floats
    """Column and row of the chart, whole at the middles of patches, to pixels of the whole photograph."""


def find_chart(photo_srgb8: NDArray[np.uint8]) -> FoundChart:
    """The 24-patch chart that a photograph shows, whichever way it lies.

    A place is taken only if the colours of all 24 patches lie as the chart's do, which no other turn and no
    shift by a patch comes near to. Raises: ChartError when none is so plain.
    """
    longest = max(photo_srgb8.shape[:2])
    for shrunk in _SHRUNK:
        picture, factors = _sized(photo_srgb8, min(1.0, _LONGEST_PX / longest) * shrunk)
        light = srgb8_to_lin(picture)
        for step in _STEPS:
            for grid in square_grids(even_squares(picture, most_step=step)):
                match = _matched(light, grid)
                fine = None if match is None else _confirmed(light, match)
                if fine is not None:
                    return _found(photo_srgb8, *fine, factors)
    raise ChartError(
        "No 24-patch chart was found in the picture",
        mend="Photograph it whole, larger and evenly lit, or mark its four corners.",
    )


def from_dark_skin(photo_srgb8: NDArray[np.uint8], corners_px: Sequence[Point]) -> Corners:
    """The four marked corners in the chart's own order, round from dark skin, wherever the marking began.

    Raises: PointError; ChartError for other than four, or when no order shows the chart's colours.
    """
    marked = list(corners_px)
    orders = [marked[i:] + marked[:i] for i in range(4)]
    orders += [order[::-1] for order in orders]
    read = np.stack([read_chart(photo_srgb8, order) for order in orders])
    likeness = _likeness(read)
    best = int(np.argmax(likeness))
    if likeness[best] < _SURE:
        raise ChartError(
            "The marked patches do not lie as a 24-patch chart's do",
            mend="Mark the outer corners of its field of patches, round from the dark skin patch.",
        )
    one, two, three, four = orders[best]
    return one, two, three, four


def _sized(photo: NDArray[np.uint8], part: float) -> tuple[NDArray[np.uint8], Floats]:
    """The picture made smaller, and by how much along x and y."""
    rows, columns = photo.shape[:2]
    size = (max(1, round(columns * part)), max(1, round(rows * part)))
    small = photo if part >= 1 else cv2.resize(photo, size, interpolation=cv2.INTER_AREA)
    return np.asarray(small, dtype=np.uint8), np.array([columns / size[0], rows / size[1]])


def _matched(light: NDArray[np.float32], grid: Grid) -> _Match | None:
    """The one place and turn of the chart on a grid; None unless it is plain, and plainly the only one."""
    columns, rows = (sorted(part) for part in zip(*grid.cells, strict=True))
    low = (columns[0] - _BEYOND, rows[0] - _BEYOND)
    size = (columns[-1] - low[0] + _BEYOND + 1, rows[-1] - low[1] + _BEYOND + 1)
    colours = _sampled(light, grid.to_photo, low, size)
    seen = np.zeros(size[::-1])
    for column, row in grid.cells:
        seen[row - low[1], column - low[0]] = 1
    rated: list[tuple[float, int, int, int]] = []
    for turn in range(4):
        shape = (ROWS, COLUMNS) if turn % 2 == 0 else (COLUMNS, ROWS)
        if shape[0] > size[1] or shape[1] > size[0]:
            continue
        enough = np.lib.stride_tricks.sliding_window_view(seen, shape).sum(axis=(2, 3)) >= _LEAST_SEEN
        blocks = np.lib.stride_tricks.sliding_window_view(colours, shape, axis=(0, 1))[enough]
        turned = np.rot90(blocks, turn, axes=(2, 3)).transpose(0, 2, 3, 1).reshape(-1, ROWS * COLUMNS, 3)
        for likeness, (row, column) in zip(_likeness(turned), np.argwhere(enough), strict=True):
            rated.append((float(likeness), turn, int(column) + low[0], int(row) + low[1]))
    rated.sort(reverse=True)
    if not rated or rated[0][0] < _SURE or (len(rated) > 1 and rated[1][0] > rated[0][0] - _CLEAR_OF_OTHERS):
        return None
    likeness, turn, column, row = rated[0]
    return _Match(likeness, grid.to_photo @ _placed(turn, column, row))


def _placed(turn: int, column: int, row: int) -> Floats:
    """From the chart's column and row to the grid's, for a block turned back by so many quarter turns."""
    wide, high = (COLUMNS, ROWS) if turn % 2 == 0 else (ROWS, COLUMNS)
    turned = {
        0: ((1, 0, 0), (0, 1, 0)),
        1: ((0, -1, wide - 1), (1, 0, 0)),
        2: ((-1, 0, wide - 1), (0, -1, high - 1)),
        3: ((0, 1, 0), (-1, 0, high - 1)),
    }[turn]
    (a, b, c), (d, e, f) = turned
    return np.array([[a, b, c + column], [d, e, f + row], [0, 0, 1]], dtype=np.float64)


def _sampled(
    light: NDArray[np.float32], to_photo: Floats, low: tuple[int, int], size: tuple[int, int]
) -> Floats:
    """The colour at the middle of every cell (rows, columns, 3); not a number outside the picture."""
    column, row = np.meshgrid(np.arange(size[0]) + low[0], np.arange(size[1]) + low[1])
    probe = np.array([[x, y] for x in (-0.15, 0, 0.15) for y in (-0.15, 0, 0.15)])
    places = np.stack([column, row], axis=-1)[:, :, None] + probe
    at = map_points(to_photo, places.reshape(-1, 2)).reshape(places.shape)
    high, wide = light.shape[:2]
    inside = (at >= 0).all(-1) & (at[..., 0] < wide) & (at[..., 1] < high)
    index = np.clip(np.nan_to_num(at), 0, (wide - 1, high - 1)).astype(int)
    colours: Floats = np.median(light[index[..., 1], index[..., 0]], axis=2).astype(np.float64)
    colours[~inside.all(-1)] = np.nan
    return colours


def _likeness(stored_lin: Floats) -> Floats:
    """Correlation of patches (n, 24, 3) with the chart: lightness, red to green, blue to green, the least.

    In logarithms, where a cast of the light only shifts and a shadow leaves two of the three alone.
    """
    seen, wanted = _measures(stored_lin), _measures(chart_light("after 2014"))
    seen = seen - seen.mean(axis=1, keepdims=True)
    wanted = wanted - wanted.mean(axis=0)
    power = np.sqrt((seen**2).sum(axis=1) * (wanted**2).sum(axis=0))
    worst: Floats = ((seen * wanted).sum(axis=1) / np.maximum(power, 1e-9)).min(axis=1)
    return np.asarray(np.nan_to_num(worst, nan=-1.0), dtype=np.float64)


def _measures(lin: Floats) -> Floats:
    red, green, blue = np.moveaxis(np.log(np.clip(lin, 0, None) + _BLACK), -1, 0)
    return np.stack([green, red - green, blue - green], axis=-1)


def _confirmed(light: NDArray[np.float32], match: _Match) -> tuple[Outline, float] | None:
    """The outline once enough patches are seen whole where it says, with its colours' likeness there."""
    outline = outline_chart(light, match.to_photo)
    if outline.confirmed < _LEAST_CONFIRMED or outline.off > _MOST_OFF:
        return None
    colours = _sampled(light, outline.to_photo, (0, 0), (COLUMNS, ROWS))
    likeness = float(_likeness(colours.reshape(1, ROWS * COLUMNS, 3))[0])
    return None if likeness < _SURE else (outline, likeness)


def _found(photo: NDArray[np.uint8], outline: Outline, likeness: float, factors: Floats) -> FoundChart:
    half = outline.half_side
    right, low = COLUMNS - 1 + half, ROWS - 1 + half
    ends = np.array([[-half, -half], [right, -half], [right, low], [-half, low]])
    at = np.clip(
        map_points(outline.to_photo, ends) * factors, 0, (photo.shape[1] - 0.01, photo.shape[0] - 0.01)
    )
    one, two, three, four = ((float(x), float(y)) for x, y in at)
    return FoundChart((one, two, three, four), likeness)
