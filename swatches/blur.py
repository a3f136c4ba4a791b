"""Whether a photograph is blurred, from the outline of a card or paper in it, or from the cloth alone.

A soft print is not a blurred photograph: without an outline, blur is said only where the threads of the cloth
would be seen, and neither they nor any sharper edge are.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance
from swatches.card_plane import CardPlane
from swatches.resampling import light_at, map_points
from swatches.weave import find_weave

__all__ = ["OutlineBlur", "cloth_blur_in", "read_outline_blur"]

_PPI = 272.0
_LEAST_PPI = 180.0
"""Below it threads are not seen even in sharp photographs."""
_SCALES_PX = (1.0, 1.5, 3.0, 4.5)
_STRONGEST = 0.995
_MOST_RATIO = 0.29
"""Sharp prints show 0.39 and more, with a spread of 3 pixels 0.17 to 0.3 (measured, simulated and real)."""
_LEAST_CONTRAST = 0.02
_RATIOS = (0.462, 0.365, 0.288, 0.244, 0.191, 0.164)
_SPREADS_PX = (1.5, 2.0, 2.5, 3.0, 4.0, 5.0)
"""Ratios that a lone edge of such a spread shows; computed."""
_ACROSS_IN = 0.14
_NEAR_IN = 0.06
_PER_SIDE = 8
_STEP_PX = 0.25
_FINE_PX, _WIDE_PX = 0.8, 2.4
_LEAST_STEP = 0.03
_SHARPEST = 25

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class OutlineBlur:
    """Spread of an outline's edges, one standard deviation in inches of the cloth's plane."""

    level_in: float
    """Of edges that run more nearly level in the photograph: blur up and down."""
    upright_in: float
    level_px: float
    upright_px: float


def cloth_blur_in(cloth_lin: NDArray[np.float32], *, ppi: float) -> float | None:
    """The least spread of the edges of a blurred photograph of cloth (H, W, 3), in inches; None if sharp.

    None too where that cannot be told: few pixels, plain cloth, or threads that are seen.
    """
    if ppi < _LEAST_PPI:
        return None
    small = cloth_lin
    if ppi > _PPI:
        size = tuple(max(32, round(side * _PPI / ppi)) for side in cloth_lin.shape[1::-1])
        small = np.asarray(cv2.resize(cloth_lin, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    scale = min(1.0, ppi / _PPI)
    logs = np.log(np.maximum(luminance(np.ascontiguousarray(small)), 0) + 0.02).astype(np.float32)
    soft = [cv2.GaussianBlur(logs, (0, 0), scale * spread) for spread in _SCALES_PX]
    fine, coarse = (float(np.quantile(np.abs(soft[i] - soft[i + 1])[::2, ::2], _STRONGEST)) for i in (0, 2))
    if coarse < _LEAST_CONTRAST or fine > _MOST_RATIO * coarse:
        return None
    if find_weave(cloth_lin, ppi=ppi) is not None:
        return None
    return float(np.interp(-fine / coarse, -np.array(_RATIOS), _SPREADS_PX)) * scale / min(ppi, _PPI)


def read_outline_blur(photo_srgb8: NDArray[np.uint8], plane: CardPlane) -> OutlineBlur | None:
    """How soft the sharpest parts of a card's or paper's outline are; None where too little is plain."""
    corners = plane.corners_in
    spreads: dict[bool, list[tuple[float, float]]] = {True: [], False: []}
    for i in range(4):
        start, end = corners[i], corners[(i + 1) % 4]
        ends_px = map_points(plane.to_photo, np.stack([start, end]))
        level = bool(abs(ends_px[1, 0] - ends_px[0, 0]) > abs(ends_px[1, 1] - ends_px[0, 1]))
        for part in range(_PER_SIDE):
            shares = np.linspace(0.12, 0.88, _PER_SIDE + 1)[part : part + 2]
            spread = _edge_spread(photo_srgb8, plane, start + shares[:, None] * (end - start))
            if spread is not None:
                spreads[level].append(spread)
    if min(len(found) for found in spreads.values()) < 3:
        return None
    up_down = np.percentile(spreads[True], _SHARPEST, axis=0)
    sideways = np.percentile(spreads[False], _SHARPEST, axis=0)
    return OutlineBlur(float(up_down[0]), float(sideways[0]), float(up_down[1]), float(sideways[1]))


def _edge_spread(photo: NDArray[np.uint8], plane: CardPlane, ends_in: Floats) -> tuple[float, float] | None:
    """The spread of a short straight edge near a line, in inches and in pixels."""
    along = ends_in[1] - ends_in[0]
    out = np.array([along[1], -along[0]]) / np.hypot(*along)
    middle = map_points(plane.to_photo, np.stack([ends_in.mean(axis=0), ends_in.mean(axis=0) + 0.01 * out]))
    ppi = float(np.hypot(*(middle[1] - middle[0]))) / 0.01
    far_in = np.arange(-_ACROSS_IN, _ACROSS_IN, _STEP_PX / ppi)
    places = np.linspace(0, 1, 17)[:, None, None]
    points = ends_in[0] + places * along + far_in[None, :, None] * out
    light = light_at(photo, map_points(plane.to_photo, points.reshape(-1, 2)).reshape(points.shape))
    if light is None:
        return None
    profile = light.mean(axis=0)
    # Along the step's own colour, whatever card and cloth are.
    near, beyond = profile[far_in < -_NEAR_IN].mean(axis=0), profile[far_in > _NEAR_IN].mean(axis=0)
    step = beyond - near
    if float(np.abs(step).max()) < _LEAST_STEP:
        return None
    line = ((profile @ step) / float(np.linalg.norm(step))).astype(np.float32)[None]
    rises = [np.diff(cv2.GaussianBlur(line, (0, 0), spread / _STEP_PX)[0]) for spread in (_FINE_PX, _WIDE_PX)]
    close = np.abs(far_in[1:]) < _NEAR_IN
    ratio = float(rises[0][close].max() / max(float(rises[1][close].max()), 1e-9))
    if ratio <= 1.02:
        return None
    spread2 = (_WIDE_PX**2 - ratio**2 * _FINE_PX**2) / (ratio**2 - 1)
    spread_px = float(np.sqrt(max(spread2, 0.0)))
    return spread_px / ppi, spread_px
