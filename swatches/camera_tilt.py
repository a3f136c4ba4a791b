"""How far the camera looked off straight down, from a card or paper in the photograph or along a ruler.

The angle needs the camera's focal length, which is taken as that of a phone's main lens: half or twice as
long would change 33 degrees by some 2 where the thing lies near the middle (simulated).
"""

from __future__ import annotations

from math import atan, degrees, hypot, log

import cv2
import numpy as np

from swatches.card_plane import CardPlane
from swatches.resampling import map_points

__all__ = ["tilt_along_deg", "tilt_of_plane_deg"]

_FOCAL = 0.65
"""In diagonals of the picture: 28 mm for the 43.3 mm of 35 mm film; phones have 24 to 28 mm."""


def tilt_of_plane_deg(plane: CardPlane) -> float | None:
    """The angle between the camera's axis and straight down on a card's plane; None where none fits."""
    corners = plane.corners_in
    focal_px = _FOCAL * hypot(plane.width_px, plane.height_px)
    camera = np.array([[focal_px, 0, plane.width_px / 2], [0, focal_px, plane.height_px / 2], [0, 0, 1]])
    try:
        count, turns, _, _ = cv2.solvePnPGeneric(
            np.column_stack([corners, np.zeros(4)]),
            map_points(plane.to_photo, corners),
            camera,
            None,
            flags=cv2.SOLVEPNP_IPPE,
        )
    except cv2.error:
        return None
    if not count:
        return None
    # Of two poses that look much alike, the one that fits better comes first.
    facing = float(abs(cv2.Rodrigues(turns[0])[0][2, 2]))
    return degrees(float(np.arccos(min(facing, 1.0)))) if np.isfinite(facing) else None


def tilt_along_deg(change: float, *, length_px: float, width_px: int, height_px: int) -> float:
    """The tilt along a ruler of that length in the photograph whose ticks widen by a share.

    Ticks seen from depth z are apart as 1 / z ** 2, so that the ends' depths differ by half the logarithm of
    the change. A tilt across the ruler leaves them even and cannot be seen.
    """
    focal_px = _FOCAL * hypot(width_px, height_px)
    return degrees(atan(0.5 * log(1 + max(change, 0.0)) * focal_px / max(length_px, 1.0)))
