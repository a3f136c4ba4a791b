"""Where a phone's camera was above a rectangle of known size that its photograph shows."""

from __future__ import annotations

from dataclasses import dataclass
from math import acos, degrees, hypot

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["FOCAL_DIAGONALS", "CameraPose", "pose_over"]

FOCAL_DIAGONALS = 0.65
"""The focal length taken for a phone's main lens, in diagonals of the picture: 28 mm for the 43.3 mm of
35 mm film; phones have 24 to 28 mm."""


@dataclass(frozen=True, slots=True)
class CameraPose:
    """How a camera stood over a plane."""

    tilt_deg: float
    """Between its axis and straight down."""
    height_in: float
    """Of its lens above the plane, measured square to it."""


def pose_over(
    corners_in: NDArray[np.float64], corners_px: NDArray[np.float64], *, width_px: int, height_px: int
) -> CameraPose | None:
    """The pose that shows these corners (4, 2) of a rectangle there; None where none fits.

    A focal length that is a share off makes the height about as much off; half or twice as long would change
    a tilt of 33 degrees by some 2 where the thing lies near the middle (simulated).
    """
    focal_px = FOCAL_DIAGONALS * hypot(width_px, height_px)
    camera = np.array([[focal_px, 0, width_px / 2], [0, focal_px, height_px / 2], [0, 0, 1]])
    try:
        count, turns, shifts, _ = cv2.solvePnPGeneric(
            np.column_stack([corners_in, np.zeros(4)]), corners_px, camera, None, flags=cv2.SOLVEPNP_IPPE
        )
    except cv2.error:
        return None
    if not count:
        return None
    # Of two poses that look much alike, the one that fits better comes first.
    across = cv2.Rodrigues(turns[0])[0][:, 2]
    facing, height = abs(float(across[2])), abs(float(across @ shifts[0].ravel()))
    if not (np.isfinite(facing) and np.isfinite(height)):
        return None
    return CameraPose(degrees(acos(min(facing, 1.0))), height)
