"""Cloth turned and squared by a few degrees, so that its grain runs up and down."""

from __future__ import annotations

from math import cos, radians, sin, tan

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["straighten"]


def straighten(cloth_lin: NDArray[np.float32], *, turn_deg: float, skew_deg: float) -> NDArray[np.float32]:
    """The largest upright rectangle of the cloth (same middle and shape) without a turn and a skew.

    `turn_deg`: how far the crosswise threads run clockwise of level; `skew_deg`: how far the lengthwise
    threads turn beyond a right angle from them. Distances along both threads stay.
    """
    rows, columns = cloth_lin.shape[:2]
    a, b = radians(turn_deg), radians(turn_deg + skew_deg)
    grain = np.array([[cos(a), -sin(b)], [sin(a), cos(b)]])
    middle = np.array([columns / 2, rows / 2])
    share = 1.0
    half = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * middle
    # Corners of the new picture must lie inside the old one; the largest share of its size that does.
    reach = np.abs(half @ grain.T).max(axis=0)
    share = min(1.0, *(middle / reach))
    size = (max(8, int(columns * share)), max(8, int(rows * share)))
    to_old = np.column_stack([grain, middle - grain @ (np.array(size) / 2)])
    to_old[:, 2] += to_old[:, :2] @ (0.5, 0.5) - 0.5
    turned = cv2.warpAffine(
        cloth_lin,
        to_old,
        size,
        flags=cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REPLICATE,
    )
    # A cubic overshoots at sharp edges by some per cent.
    return np.asarray(np.clip(turned, 0, None), dtype=np.float32) if tan(a) or tan(b) else cloth_lin
