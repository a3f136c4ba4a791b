"""The chart kept out of the cloth: a piece beside it is used, or the maker is told that it lies there."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from swatches.chart import patches_to_px
from swatches.chart_colours import COLUMNS, ROWS
from swatches.crop import Box, largest_beside
from swatches.faults import Fault
from swatches.resampling import map_points

__all__ = ["CHART_ON_CLOTH", "beside_chart"]

_FRAME = 0.9
"""How far a chart's frame and its shadow reach beyond its patches, in patches (ours)."""

CHART_ON_CLOTH = Fault(
    "chart on the cloth",
    "The chart lies on the piece of cloth that is used, and would be seen in the quilt.",
    "Crop to cloth alone, or lay the chart further aside.",
)


def beside_chart(corners_px: Sequence[Sequence[float]], *, width_px: int, height_px: int) -> Box | None:
    """The largest piece (left, top, right, bottom) of the cloth clear of the chart; None if all of it is.

    `corners_px`: of the field of patches, round, in pixels of the straightened cloth, from its top left.
    """
    frame = np.array([[x, y] for x in (-_FRAME, COLUMNS + _FRAME) for y in (-_FRAME, ROWS + _FRAME)])
    board = map_points(patches_to_px(corners_px), frame)
    (left, top), (right, bottom) = board.min(axis=0), board.max(axis=0)
    if right <= 0 or bottom <= 0 or left >= width_px or top >= height_px:
        return None
    return largest_beside((left, top, right, bottom), width_px=width_px, height_px=height_px)
