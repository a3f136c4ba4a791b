"""Cloth as the eye takes it in: blurred by the distance, and averaged over what the eye compares."""

from __future__ import annotations

from math import ceil, hypot

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["as_taken_in", "spread_of"]

_REACH = 4.0
"""Standard deviations after which a Gaussian is left off."""


def as_taken_in(
    light_lin: NDArray[np.float32],
    *,
    per_in: tuple[float, float],
    sigma_in: float,
    radius_in: float,
    repeats: bool,
    spare: int = 0,
) -> NDArray[np.float32]:
    """Linear light (h, w, 3) after the eye's blur, averaged over what lies within this radius, same shape.

    per_in: points per inch across and down. A cloth that repeats is taken round its borders, else the
    border goes on. `spare` adds so many rows and columns beyond the far borders, for interpolation there.
    """
    height, width = light_lin.shape[:2]
    sigma = spread_of(sigma_in=sigma_in, radius_in=radius_in)
    across, down = (max(1, ceil(_REACH * sigma * each)) for each in per_in)
    border = cv2.BORDER_WRAP if repeats else cv2.BORDER_REPLICATE
    # OpenCV's filters do not wrap, so the cloth is laid out further than the blur reaches.
    wide = cv2.copyMakeBorder(light_lin, down, down + spare, across, across + spare, border)
    seen = cv2.GaussianBlur(
        wide, (2 * across + 1, 2 * down + 1), sigmaX=sigma * per_in[0], sigmaY=sigma * per_in[1]
    )
    return np.ascontiguousarray(
        seen[down : down + height + spare, across : across + width + spare], np.float32
    )


def spread_of(*, sigma_in: float, radius_in: float) -> float:
    """Standard deviation, in inches, of the eye's blur and the comparing of this radius together.

    What is compared fades from its middle like a Gaussian, with the second moment of a disc: half the
    radius each way. Two Gaussians one after the other are one.
    """
    return hypot(sigma_in, radius_in / 2)
