"""A photograph sampled through a bent lens into a straight picture, in linear light of 16 bits."""

from __future__ import annotations

from math import ceil, floor

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin16_of_srgb8
from swatches.lens_plane import LensPlane

__all__ = ["sample_plane", "small_light"]

_SIDE_PX = 384
_MARGIN_PX = 3
_NODE_STEP = 16


def sample_plane(
    photo: NDArray[np.uint8] | NDArray[np.uint16],
    plane: LensPlane,
    *,
    origin: tuple[float, float],
    per_unit: float,
    width_px: int,
    height_px: int,
) -> NDArray[np.uint16]:
    """Linear light (height_px, width_px, 3), 0 to 65535, of the plane from an origin rightwards and down.

    `photo`: sRGB bytes, or 16 bits of linear light. `per_unit`: new pixels per unit of the plane. Where
    the photograph is denser, every pixel averages its own area.
    """
    made = np.empty((height_px, width_px, 3), np.uint16)
    x1, y1 = origin[0] + width_px / per_unit, origin[1] + height_px / per_unit
    corners = ((origin[0], origin[1]), (x1, origin[1]), (x1, y1), (origin[0], y1))
    densest = max(plane.pixels_per_unit(corner)[1] for corner in corners) / per_unit
    # Bilinear samples average over about a pixel of the photograph already, hence the small allowance.
    samples = max(1, ceil(densest - 0.25))
    side = max(32, _SIDE_PX // samples)
    for top in range(0, height_px, side):
        for left in range(0, width_px, side):
            rows, columns = min(side, height_px - top), min(side, width_px - left)
            x = origin[0] + (left + (np.arange(columns * samples) + 0.5) / samples) / per_unit
            y = origin[1] + (top + (np.arange(rows * samples) + 0.5) / samples) / per_unit
            made[top : top + rows, left : left + columns] = _patch(photo, plane, x, y, samples=samples)
    return made


def _patch(
    photo: NDArray[np.uint8] | NDArray[np.uint16],
    plane: LensPlane,
    x: NDArray[np.float64],
    y: NDArray[np.float64],
    *,
    samples: int,
) -> NDArray[np.uint16]:
    seen = _seen(plane, x, y)
    high, wide = photo.shape[:2]
    left = min(max(floor(seen[:, 0].min()) - _MARGIN_PX, 0), wide - 1)
    top = min(max(floor(seen[:, 1].min()) - _MARGIN_PX, 0), high - 1)
    right = max(min(ceil(seen[:, 0].max()) + _MARGIN_PX, wide), left + 1)
    bottom = max(min(ceil(seen[:, 1].max()) + _MARGIN_PX, high), top + 1)
    crop = photo[top:bottom, left:right]
    light16 = cv2.LUT(crop, lin16_of_srgb8()) if crop.dtype == np.uint8 else crop
    # OpenCV counts pixel centres as whole numbers.
    at = (seen - (left + 0.5, top + 0.5)).astype(np.float32).reshape(len(y), len(x), 2)
    how = cv2.INTER_CUBIC if samples == 1 else cv2.INTER_LINEAR
    sampled = cv2.remap(light16, at[..., 0], at[..., 1], how, borderMode=cv2.BORDER_REPLICATE)
    if samples > 1:
        sampled = cv2.resize(sampled, (len(x) // samples, len(y) // samples), interpolation=cv2.INTER_AREA)
    return np.asarray(sampled, dtype=np.uint16)


def _seen(plane: LensPlane, x: NDArray[np.float64], y: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where every sample lies in the photograph (n, 2), drawn straight between nodes every 16 samples.

    At that step perspective and lens leave less than a thousandth of a pixel.
    """
    across, x_nodes = _hats(x)
    down, y_nodes = _hats(y)
    nodes = plane.to_photo(np.stack(np.meshgrid(x_nodes, y_nodes), axis=-1).reshape(-1, 2))
    nodes = nodes.reshape(len(y_nodes), len(x_nodes), 2)
    return np.stack([down @ nodes[..., i] @ across.T for i in (0, 1)], axis=-1).reshape(-1, 2)


def _hats(places: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Weights (n, m) that draw straight lines between m nodes over n evenly spaced places."""
    count = max(2, len(places) // _NODE_STEP + 2)
    nodes = np.linspace(places[0], places[-1] + 1e-9, count)
    at = (places - nodes[0]) / (nodes[1] - nodes[0])
    return np.clip(1 - np.abs(at[:, None] - np.arange(count)), 0, None), nodes


def small_light(photo_srgb8: NDArray[np.uint8], *, most_px: int = 1000) -> tuple[NDArray[np.uint16], float]:
    """The whole photograph in linear light (16 bits) with at most that many pixels a side, and new over old.

    The same whole factor both ways; a last part of a pixel is left out.
    """
    factor = max(1, ceil(max(photo_srgb8.shape[:2]) / most_px))
    rows, columns = photo_srgb8.shape[0] // factor, photo_srgb8.shape[1] // factor
    small = np.empty((rows, columns, 3), np.uint16)
    band = max(1, 512 // factor)
    for top in range(0, rows, band):
        part = photo_srgb8[top * factor : min(top + band, rows) * factor, : columns * factor]
        light16 = cv2.LUT(part, lin16_of_srgb8())
        small[top : top + band] = cv2.resize(
            light16, (columns, len(part) // factor), interpolation=cv2.INTER_AREA
        )
    return small, 1 / factor
