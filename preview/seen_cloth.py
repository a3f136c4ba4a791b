"""A cloth as the eye takes it in from a distance: blurred, and averaged over what it compares."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin
from palettes.viewing import Viewing
from swatches.swatch import Swatch

__all__ = ["SeenCloth", "look_at", "see_cloth"]

_PER_IN = 40
"""Points per inch that the eye's cloth is kept at: five across the smallest radius that is compared."""


@dataclass(frozen=True, slots=True, eq=False)
class SeenCloth:
    """Linear light around every point of a cloth. Ask it with look_at."""

    light_lin: NDArray[np.float32]
    width_px: int
    height_px: int
    x_per_in: float
    y_per_in: float
    repeats: bool


def see_cloth(swatch: Swatch, *, viewing: Viewing, radius_in: float) -> SeenCloth:
    """The cloth in linear light after the eye's blur, averaged over discs of this radius."""
    width = max(1, round(swatch.width_in * _PER_IN))
    height = max(1, round(swatch.height_in * _PER_IN))
    light = srgb8_to_lin(swatch.tile_srgb8)
    if width < light.shape[1] and height < light.shape[0]:
        light = np.asarray(cv2.resize(light, (width, height), interpolation=cv2.INTER_AREA), np.float32)
    height, width = light.shape[:2]
    x_per_in, y_per_in = width / swatch.width_in, height / swatch.height_in
    kernel = _kernel(x_per_in, y_per_in, sigma_in=viewing.sigma_in, radius_in=radius_in)
    down, across = kernel.shape[0] // 2, kernel.shape[1] // 2
    border = cv2.BORDER_WRAP if swatch.repeats else cv2.BORDER_REPLICATE
    # OpenCV's filters do not wrap, so the cloth is laid out further than the kernel reaches.
    wide = cv2.copyMakeBorder(light, down, down + 2, across, across + 2, border)
    seen = cv2.filter2D(wide, cv2.CV_32F, kernel)[down:, across:]
    return SeenCloth(
        np.ascontiguousarray(seen[: height + 2, : width + 2], np.float32),
        width,
        height,
        x_per_in,
        y_per_in,
        swatch.repeats,
    )


def _kernel(x_per_in: float, y_per_in: float, *, sigma_in: float, radius_in: float) -> NDArray[np.float32]:
    """The eye's Gaussian over a disc, sampled finely and summed to the cloth's points; its sum is 1."""
    reach_in = radius_in + 3 * sigma_in
    across, down = ceil(reach_in * x_per_in), ceil(reach_in * y_per_in)
    finer = 5
    x = (np.arange((2 * across + 1) * finer) + 0.5) / finer - across - 0.5
    y = (np.arange((2 * down + 1) * finer) + 0.5) / finer - down - 0.5
    disc = (np.hypot(x[None, :] / x_per_in, y[:, None] / y_per_in) <= radius_in).astype(np.float32)
    blurred = cv2.GaussianBlur(
        disc,
        (0, 0),
        sigmaX=sigma_in * x_per_in * finer,
        sigmaY=sigma_in * y_per_in * finer,
        borderType=cv2.BORDER_CONSTANT,
    )
    kernel = (
        np.asarray(blurred, np.float32).reshape(2 * down + 1, finer, 2 * across + 1, finer).sum(axis=(1, 3))
    )
    return np.asarray(kernel / kernel.sum(), np.float32)


def look_at(seen: SeenCloth, cloth_in: NDArray[np.float64]) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """The light (n, 3) around (n, 2) cloth points, and whether each point is on known cloth."""
    x = cloth_in[:, 0] * seen.x_per_in - 0.5
    y = cloth_in[:, 1] * seen.y_per_in - 0.5
    if seen.repeats:
        known = np.ones(len(x), bool)
        x, y = x % seen.width_px, y % seen.height_px
    else:
        known = (x >= -0.5) & (x <= seen.width_px - 0.5) & (y >= -0.5) & (y <= seen.height_px - 0.5)
        x, y = np.clip(x, 0, seen.width_px - 1), np.clip(y, 0, seen.height_px - 1)
    across, down = (axis.astype(np.float32)[:, None] for axis in (x, y))
    light = [
        # A side of 32767 or more is beyond OpenCV's remapping.
        cv2.remap(
            seen.light_lin,
            across[start : start + 16384],
            down[start : start + 16384],
            cv2.INTER_LINEAR,
            borderMode=cv2.BORDER_REPLICATE,
        )[:, 0]
        for start in range(0, len(x), 16384)
    ]
    return np.concatenate(light) if light else np.empty((0, 3), np.float32), known
