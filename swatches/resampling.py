"""A picture resampled through a plane-to-plane map, in linear light and without moiré."""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, floor

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin16_of_srgb8, srgb8_of_lin16, srgb8_to_lin

__all__ = ["light_at", "map_points", "pixels_per_unit", "resample", "resample_light", "shrink"]

_SIDE_PX = 512
_MARGIN_PX = 3


def map_points(matrix: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    """The points (n, 2) after a homography (3, 3)."""
    mapped = np.asarray(points, dtype=np.float64) @ matrix[:, :2].T + matrix[:, 2]
    flat: NDArray[np.float64] = mapped[:, :2] / mapped[:, 2:]
    return flat


def pixels_per_unit(matrix: NDArray[np.float64], point: tuple[float, float]) -> tuple[float, float]:
    """How far apart two points one unit apart land, least and most over all directions, at a point.

    The singular values of the homography's derivative there.
    """
    x, y, w = matrix @ (*point, 1.0)
    derivative = (matrix[:2, :2] * w - np.outer((x, y), matrix[2, :2])) / w**2
    most, least = np.linalg.svd(derivative, compute_uv=False)
    return float(least), float(most)


def light_at(photo_srgb8: NDArray[np.uint8], points_px: NDArray[np.float64]) -> NDArray[np.float32] | None:
    """Linear light (..., 3) at places (..., 2) of a photograph; None if any is at its very edge or outside.

    Only the part of the photograph that holds them is turned into light.
    """
    seen = points_px - 0.5
    along = tuple(range(seen.ndim - 1))
    low, high = np.floor(seen.min(along)).astype(int) - 1, np.ceil(seen.max(along)).astype(int) + 2
    if (low < 0).any() or (high > (photo_srgb8.shape[1], photo_srgb8.shape[0])).any():
        return None
    light = srgb8_to_lin(photo_srgb8[low[1] : high[1], low[0] : high[0]])
    at = (seen - low).astype(np.float32)
    return np.asarray(cv2.remap(light, at[..., 0], at[..., 1], cv2.INTER_LINEAR), dtype=np.float32)


def resample(
    photo_srgb8: NDArray[np.uint8], to_photo: NDArray[np.float64], *, width_px: int, height_px: int
) -> NDArray[np.uint8]:
    """A new picture (height_px, width_px, 3), read-only, whose point p shows the photo at to_photo(p).

    Both frames are continuous: pixel (r, c) covers [c, c+1) by [r, r+1). Where the photo is denser than
    the new picture, every pixel averages its own area in linear light; where it is not, the photo is
    interpolated (cubic). Memory stays near one tile, whatever the size of the photo.
    """
    if _is_whole_shift(to_photo):
        return _cut_out(photo_srgb8, to_photo, width_px=width_px, height_px=height_px)
    made = np.empty((height_px, width_px, 3), np.uint8)
    for part, light16 in _parts(photo_srgb8, to_photo, width_px=width_px, height_px=height_px):
        made[part] = np.take(srgb8_of_lin16(), light16)
    made.flags.writeable = False
    return made


def resample_light(
    photo: NDArray[np.uint8] | NDArray[np.uint16],
    to_photo: NDArray[np.float64],
    *,
    width_px: int,
    height_px: int,
) -> NDArray[np.uint16]:
    """The same picture in linear light, 0 to 65535: nothing is rounded to 8 bits on the way.

    `photo`: sRGB bytes, or 16 bits of linear light.
    """
    made = np.empty((height_px, width_px, 3), np.uint16)
    for part, light16 in _parts(photo, to_photo, width_px=width_px, height_px=height_px):
        made[part] = light16
    return made


def _parts(
    photo: NDArray[np.uint8] | NDArray[np.uint16],
    to_photo: NDArray[np.float64],
    *,
    width_px: int,
    height_px: int,
) -> Iterator[tuple[tuple[slice, slice], NDArray[np.uint16]]]:
    corners = ((0.0, 0.0), (width_px, 0.0), (width_px, height_px), (0.0, height_px))
    densest = max(pixels_per_unit(to_photo, corner)[1] for corner in corners)
    samples = max(1, ceil(densest - 0.02))
    side_px = max(16, _SIDE_PX // samples)
    for top in range(0, height_px, side_px):
        for left in range(0, width_px, side_px):
            rows, columns = min(side_px, height_px - top), min(side_px, width_px - left)
            part = (slice(top, top + rows), slice(left, left + columns))
            yield part, _tile(photo, to_photo, box=(left, top, columns, rows), samples=samples)


def shrink(photo_srgb8: NDArray[np.uint8], *, factor_x: float, factor_y: float) -> NDArray[np.uint8]:
    """The picture with fewer pixels, averaged in linear light; factors are new over old, at most 1.

    A last part pixel is left out, so that the factors hold exactly.
    """
    rows, columns = photo_srgb8.shape[:2]
    return resample(
        photo_srgb8,
        np.diag([1 / factor_x, 1 / factor_y, 1.0]),
        width_px=max(1, floor(columns * factor_x + 1e-9)),
        height_px=max(1, floor(rows * factor_y + 1e-9)),
    )


def _is_whole_shift(matrix: NDArray[np.float64]) -> bool:
    plain = np.array([[1, 0, round(float(matrix[0, 2]))], [0, 1, round(float(matrix[1, 2]))], [0, 0, 1]])
    return bool(np.allclose(matrix, plain, rtol=0, atol=1e-9))


def _cut_out(
    photo_srgb8: NDArray[np.uint8], to_photo: NDArray[np.float64], *, width_px: int, height_px: int
) -> NDArray[np.uint8]:
    left, top = round(float(to_photo[0, 2])), round(float(to_photo[1, 2]))
    made = photo_srgb8[top : top + height_px, left : left + width_px].copy()
    made.flags.writeable = False
    return made


def _tile(
    photo: NDArray[np.uint8] | NDArray[np.uint16],
    to_photo: NDArray[np.float64],
    *,
    box: tuple[int, int, int, int],
    samples: int,
) -> NDArray[np.uint16]:
    """One part of the new picture: only the photo under it is turned into linear light."""
    left, top, columns, rows = box
    outline = np.array([(left, top), (left + columns, top), (left + columns, top + rows), (left, top + rows)])
    seen = map_points(to_photo, outline.astype(np.float64))
    high_y, high_x = photo.shape[:2]
    x0 = min(max(floor(seen[:, 0].min()) - _MARGIN_PX, 0), high_x - 1)
    y0 = min(max(floor(seen[:, 1].min()) - _MARGIN_PX, 0), high_y - 1)
    x1 = max(min(ceil(seen[:, 0].max()) + _MARGIN_PX, high_x), x0 + 1)
    y1 = max(min(ceil(seen[:, 1].max()) + _MARGIN_PX, high_y), y0 + 1)
    crop = photo[y0:y1, x0:x1]
    light16 = cv2.LUT(crop, lin16_of_srgb8()) if crop.dtype == np.uint8 else crop
    # OpenCV counts pixel centres as whole numbers, hence the halves on both sides.
    to_crop = (
        np.array([[1, 0, -x0 - 0.5], [0, 1, -y0 - 0.5], [0, 0, 1.0]])
        @ to_photo
        @ np.array([[1 / samples, 0, left + 0.5 / samples], [0, 1 / samples, top + 0.5 / samples], [0, 0, 1]])
    )
    how = cv2.INTER_CUBIC if samples == 1 else cv2.INTER_LINEAR
    sampled = cv2.warpPerspective(
        light16,
        to_crop,
        (columns * samples, rows * samples),
        flags=how | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REPLICATE,
    )
    if samples > 1:
        sampled = cv2.resize(sampled, (columns, rows), interpolation=cv2.INTER_AREA)
    return np.asarray(sampled, dtype=np.uint16)
