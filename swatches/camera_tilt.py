"""How far the camera looked off straight down along a ruler in the photograph."""

from __future__ import annotations

from math import atan, degrees, hypot, log

from swatches.camera_pose import FOCAL_DIAGONALS

__all__ = ["tilt_along_deg"]


def tilt_along_deg(change: float, *, length_px: float, width_px: int, height_px: int) -> float:
    """The tilt along a ruler of that length in the photograph whose ticks widen by a share.

    Ticks seen from depth z are apart as 1 / z ** 2, so that the ends' depths differ by half the logarithm of
    the change. A tilt across the ruler leaves them even and cannot be seen.
    """
    focal_px = FOCAL_DIAGONALS * hypot(width_px, height_px)
    return degrees(atan(0.5 * log(1 + max(change, 0.0)) * focal_px / max(length_px, 1.0)))
