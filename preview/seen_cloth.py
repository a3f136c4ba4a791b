"""A cloth as the eye takes it in from a distance: blurred, and averaged over what it compares."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin16_of_srgb8
from palettes.eye import as_taken_in
from palettes.looks import Look, look_of
from palettes.thresholds import THRESHOLDS
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.keeping import PaintCache
from preview.wear import identity_of
from swatches.swatch import Swatch

__all__ = ["SeenCloth", "cloth_look", "look_at", "see_cloth", "unblurred_cloth"]

_PER_IN = 40
"""Points per inch that the eye's cloth is kept at: five across the smallest radius that is compared."""

_SPARE = 2
"""Rows and columns beyond the far borders, for interpolation across them."""


@dataclass(frozen=True, slots=True, eq=False)
class SeenCloth:
    """Linear light around every point of a cloth. Ask it with look_at."""

    light_lin: NDArray[np.float32]
    width_px: int
    height_px: int
    x_per_in: float
    y_per_in: float
    repeats: bool


def see_cloth(
    swatch: Swatch, *, viewing: Viewing, radius_in: float, cache: PaintCache | None = None
) -> SeenCloth:
    """The cloth in linear light after the eye's blur, averaged over what lies within this radius."""
    kept = cache if cache is not None else PaintCache()
    return kept.get(
        ("seen", *identity_of(swatch), viewing.distance_in, radius_in),
        lambda: _see(unblurred_cloth(swatch, cache=kept), viewing=viewing, radius_in=radius_in),
        weigh=_weigh,
    )


def unblurred_cloth(swatch: Swatch, *, cache: PaintCache | None = None) -> SeenCloth:
    """The cloth's own linear light, averaged to 40 points an inch and no more."""
    kept = cache if cache is not None else PaintCache()
    return kept.get(("unblurred", *identity_of(swatch)), lambda: _shrink(swatch), weigh=_weigh)


def cloth_look(swatch: Swatch, *, cache: PaintCache | None = None) -> Look:
    """What the cloth is like as a whole; see palettes.looks."""
    kept = cache if cache is not None else PaintCache()
    return kept.get(("look", *identity_of(swatch)), lambda: _look(swatch, kept), weigh=lambda _: 16384)


def _look(swatch: Swatch, cache: PaintCache) -> Look:
    plain = unblurred_cloth(swatch, cache=cache)
    radii = THRESHOLDS.compared_radius_in, THRESHOLDS.narrow_radius_in
    return look_of(
        plain.light_lin[: plain.height_px, : plain.width_px],
        per_in=(plain.x_per_in, plain.y_per_in),
        repeats=swatch.repeats,
        taken_in={
            radius_in: see_cloth(swatch, viewing=ACROSS_TABLE, radius_in=radius_in, cache=cache).light_lin
            for radius_in in radii
        },
    )


def _weigh(seen: SeenCloth) -> int:
    return seen.light_lin.nbytes


def _shrink(swatch: Swatch) -> SeenCloth:
    width = max(1, round(swatch.width_in * _PER_IN))
    height = max(1, round(swatch.height_in * _PER_IN))
    lin16 = np.asarray(cv2.LUT(swatch.tile_srgb8, lin16_of_srgb8()[None]), np.uint16)
    if width < lin16.shape[1] and height < lin16.shape[0]:
        lin16 = np.asarray(cv2.resize(lin16, (width, height), interpolation=cv2.INTER_AREA), np.uint16)
    height, width = lin16.shape[:2]
    border = cv2.BORDER_WRAP if swatch.repeats else cv2.BORDER_REPLICATE
    wide = cv2.copyMakeBorder(lin16, 0, _SPARE, 0, _SPARE, border)
    light = np.asarray(wide, np.float32) / np.float32(65535)
    return SeenCloth(light, width, height, width / swatch.width_in, height / swatch.height_in, swatch.repeats)


def _see(plain: SeenCloth, *, viewing: Viewing, radius_in: float) -> SeenCloth:
    seen = as_taken_in(
        plain.light_lin[: plain.height_px, : plain.width_px],
        per_in=(plain.x_per_in, plain.y_per_in),
        sigma_in=viewing.sigma_in,
        radius_in=radius_in,
        repeats=plain.repeats,
        spare=_SPARE,
    )
    return SeenCloth(seen, plain.width_px, plain.height_px, plain.x_per_in, plain.y_per_in, plain.repeats)


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
