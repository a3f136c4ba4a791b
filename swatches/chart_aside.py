"""The chart kept out of the cloth: a piece beside it is used, or the maker is told that it lies there."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil, floor

import cv2
import numpy as np

from swatches.chart_colours import COLUMNS, ROWS
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

Box = tuple[int, int, int, int]


def beside_chart(corners_px: Sequence[Sequence[float]], *, width_px: int, height_px: int) -> Box | None:
    """The largest piece (left, top, right, bottom) of the cloth clear of the chart; None if all of it is.

    `corners_px`: of the field of patches, round, in pixels of the straightened cloth, from its top left.
    """
    field = np.array([[0, 0], [COLUMNS, 0], [COLUMNS, ROWS], [0, ROWS]], dtype=np.float32)
    to_cloth = cv2.getPerspectiveTransform(field, np.array(corners_px, dtype=np.float32))
    out = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * _FRAME
    board = map_points(np.asarray(to_cloth, dtype=np.float64), field + out)
    (left, top), (right, bottom) = board.min(axis=0), board.max(axis=0)
    if right <= 0 or bottom <= 0 or left >= width_px or top >= height_px:
        return None
    sides: tuple[Box, ...] = (
        (0, 0, max(floor(left), 0), height_px),
        (min(ceil(right), width_px), 0, width_px, height_px),
        (0, 0, width_px, max(floor(top), 0)),
        (0, min(ceil(bottom), height_px), width_px, height_px),
    )
    return max(sides, key=lambda box: (box[2] - box[0]) * (box[3] - box[1]))
