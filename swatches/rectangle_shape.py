"""Whether four corners in a photograph may be those of a rectangle of known shape."""

from __future__ import annotations

from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.camera_pose import FOCAL_DIAGONALS
from swatches.known_sizes import KnownSize

__all__ = ["shape_off"]

_FOCALS = np.array([0.82, 0.9, 1.0, 1.1, 1.25])
"""Shares of the usual focal length that phones' main lenses and small crops of their pictures have (ours)."""
_UNIT = np.array([[0, 0], [1, 0], [1, 1], [0, 1]], np.float32)


def shape_off(corners_px: NDArray[np.float64], *, thing: KnownSize, shape: tuple[int, ...]) -> float:
    """The share by which the corners (4, 2), in order round, miss the shape that some phone would show.

    Source: sides of the plane are columns of the homography seen through the lens (Zhang, A flexible new
    technique for camera calibration, 2000, section 2.2); an angle that is not square counts as its cosine.
    """
    unit = cv2.getPerspectiveTransform(_UNIT, corners_px.astype(np.float32))
    if not np.isfinite(unit).all():
        return 1.0
    own = float(thing.long_in / thing.short_in)
    least = 1.0
    for focal in _FOCALS * FOCAL_DIAGONALS * hypot(shape[0], shape[1]):
        from_lens = np.array(
            [[1 / focal, 0, -shape[1] / 2 / focal], [0, 1 / focal, -shape[0] / 2 / focal], [0, 0, 1]]
        )
        one, other, _ = (from_lens @ unit).T
        long, short = sorted((np.linalg.norm(one), np.linalg.norm(other)), reverse=True)
        leaning = abs(float(one @ other)) / float(long * short)
        least = min(least, max(abs(float(long / short) / own - 1), leaning / 2))
    return float(least)
