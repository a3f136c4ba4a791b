"""How far the camera looked off straight down, from a card or paper in the photograph or along a ruler.

The angle needs the camera's focal length, which is taken as that of a phone's main lens: half or twice as
long would change 33 degrees by some 2 where the thing lies near the middle (simulated).
"""

from __future__ import annotations

from math import atan, degrees, hypot, log

from swatches.camera_pose import FOCAL_DIAGONALS, pose_over
from swatches.card_plane import CardPlane
from swatches.resampling import map_points

__all__ = ["tilt_along_deg", "tilt_of_plane_deg"]


def tilt_of_plane_deg(plane: CardPlane) -> float | None:
    """The angle between the camera's axis and straight down on a card's plane; None where none fits."""
    corners = plane.corners_in
    pose = pose_over(
        corners, map_points(plane.to_photo, corners), width_px=plane.width_px, height_px=plane.height_px
    )
    return None if pose is None else pose.tilt_deg


def tilt_along_deg(change: float, *, length_px: float, width_px: int, height_px: int) -> float:
    """The tilt along a ruler of that length in the photograph whose ticks widen by a share.

    Ticks seen from depth z are apart as 1 / z ** 2, so that the ends' depths differ by half the logarithm of
    the change. A tilt across the ruler leaves them even and cannot be seen.
    """
    focal_px = FOCAL_DIAGONALS * hypot(width_px, height_px)
    return degrees(atan(0.5 * log(1 + max(change, 0.0)) * focal_px / max(length_px, 1.0)))
