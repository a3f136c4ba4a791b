"""A flat thing as a camera with a slightly bent lens sees it: a homography and one radial term."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.resampling import map_points

__all__ = ["LensPlane", "fit_lens_plane"]

_LENS_PRIOR = 0.03
"""Spread of how far phones' lenses bend after their own correction, in units of half the diagonal."""
_OUTLIER_PX = 1.0
_CORNER_PX = 0.2

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class LensPlane:
    """The map from the plane (any length unit) to continuous pixels of the photograph."""

    to_pinhole: NDArray[np.float64]
    """Homography (3, 3) to pixels from the middle of the picture, in half diagonals, before the lens."""
    bend: float
    """How much further out the lens puts a point one half diagonal from the middle, as a share."""
    width_px: int
    height_px: int

    def to_photo(self, plane: Points) -> Points:
        """Pixels of plane points (n, 2)."""
        pinhole = map_points(self.to_pinhole, plane)
        radius2 = (pinhole**2).sum(axis=1, keepdims=True)
        return np.asarray(pinhole * (1 + self.bend * radius2) * self._half + self._middle)

    def to_plane(self, photo_px: Points) -> Points:
        """Plane points of pixels (n, 2)."""
        seen = (np.asarray(photo_px, dtype=np.float64) - self._middle) / self._half
        pinhole: NDArray[np.float64] = np.array(seen, dtype=np.float64)
        for _ in range(8):
            lens = 1 + self.bend * (pinhole**2).sum(axis=1, keepdims=True)
            pinhole = np.asarray(seen / lens, dtype=np.float64)
        to_plane: NDArray[np.float64] = np.asarray(np.linalg.inv(self.to_pinhole), dtype=np.float64)
        return map_points(to_plane, pinhole)

    def pixels_per_unit(self, point: tuple[float, float]) -> tuple[float, float]:
        """How far apart two near points one unit apart land, least and most over all directions."""
        step = 1e-3
        x, y = point
        around = self.to_photo(np.array([[x - step, y], [x + step, y], [x, y - step], [x, y + step]]))
        derivative = np.stack([around[1] - around[0], around[3] - around[2]]) / (2 * step)
        most, least = np.linalg.svd(derivative, compute_uv=False)
        return float(least), float(most)

    @property
    def _half(self) -> float:
        return float(np.hypot(self.width_px, self.height_px)) / 2

    @property
    def _middle(self) -> Points:
        return np.array([self.width_px, self.height_px]) / 2


def fit_lens_plane(
    plane: Points, photo_px: Points, *, width_px: int, height_px: int
) -> tuple[LensPlane, Points]:
    """The map that best brings plane points (n, 2) to their pixels, and what is left, in pixels (n, 2).

    Least squares over eight numbers of the homography and the lens, in which single points far off count
    for little. With four points the lens is taken to be straight.
    """
    # Takes some tenths of a second to load.
    from scipy.optimize import least_squares

    half, middle = float(np.hypot(width_px, height_px)) / 2, np.array([width_px, height_px]) / 2
    seen = (np.asarray(photo_px, dtype=np.float64) - middle) / half
    centre, size = plane.mean(axis=0), float(np.ptp(plane, axis=0).max())
    norm = np.array([[1 / size, 0, -centre[0] / size], [0, 1 / size, -centre[1] / size], [0, 0, 1]])
    unit = map_points(norm, plane)
    start, _ = cv2.findHomography(unit, seen, cv2.RANSAC if len(unit) > 8 else 0, 4 / half)
    if start is None:
        start = np.eye(3)
    weight = 0.0 if len(unit) <= 4 else _CORNER_PX / _LENS_PRIOR

    def map_with(numbers: Points) -> Points:
        pinhole = map_points(np.append(numbers[:8], 1.0).reshape(3, 3), unit)
        return np.asarray(pinhole * (1 + numbers[8] * (pinhole**2).sum(axis=1, keepdims=True)))

    def left(numbers: Points) -> Points:
        off = (map_with(numbers) - seen).ravel() * half
        return np.append(off, numbers[8] * (weight or 1e3))

    fitted = least_squares(
        left,
        np.append((start / start[2, 2]).ravel()[:8], 0.0),
        loss="soft_l1",
        f_scale=_OUTLIER_PX,
        x_scale="jac",
    ).x
    plane_map = np.append(fitted[:8], 1.0).reshape(3, 3) @ norm
    made = LensPlane(plane_map / plane_map[2, 2], float(fitted[8]), width_px, height_px)
    return made, made.to_photo(plane) - photo_px
