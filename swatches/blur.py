"""Whether a photograph is blurred, from the outline of a card or paper in it, or from the cloth alone.

A soft print is not a blurred photograph: without an outline, blur is said only where the threads of the cloth
would be seen, and neither they nor any sharper edge are; or where edges that run one way are all soft, and
those across them sharp, as if the camera had moved.
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

__all__ = ["ClothBlur", "OutlineBlur", "read_cloth_blur", "read_outline_blur"]

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
_STEP_SCALES_PX = (1.0, 3.0)
_WAYS = 8
_LEAST_EDGES = 200
_LEAST_OF_MOST = 0.4
_LEAST_WAYS = 6
"""Stripes cannot tell it."""
_MOST_ONE_WAY, _LEAST_SWING = 1.42, 0.08
"""How much steeper the steepest edges that run one way are by the finer of those scales, and how far that
swings once from way to way, as a share. Sharp prints show 1.7 and more every way, smeared over 10 pixels 0.9
to 1.42 one way and swing by 0.13 and more; soft mottling 1.2 to 1.5 and 0.03, checks 1.3 at their corners and
0.03, printed soft one way on purpose 1.44 (measured). Of 64 sharp prints none is said to be smeared, of 32
smeared over 10 pixels at 220 an inch 23 are, over 16 pixels 26: not stripes and soft mottling."""
_ONE_WAY_RATIOS, _ONE_WAY_SPREADS_PX = (1.9, 1.55, 1.38, 1.24, 1.12), (1.1, 2.0, 2.7, 3.8, 5.6)
"""Measured, of edges out of focus by so much."""
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


@dataclass(frozen=True, slots=True)
class ClothBlur:
    """Blur of a photograph of cloth alone."""

    spread_in: float
    """The least spread of its edges, or of those that are all soft."""
    moved: bool
    """Whether edges across them are sharp."""


def read_cloth_blur(cloth_lin: NDArray[np.float32], *, ppi: float) -> ClothBlur | None:
    """How blurred a photograph of cloth (H, W, 3) is; None if it is sharp.

    None too where that cannot be told: few pixels, plain cloth, or threads that are seen.
    """
    if ppi < _LEAST_PPI:
        return None
    light = np.asarray(luminance(np.ascontiguousarray(cloth_lin)), dtype=np.float32)
    if ppi > _PPI:
        size = tuple(max(32, round(side * _PPI / ppi)) for side in cloth_lin.shape[1::-1])
        light = np.asarray(cv2.resize(light, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    scale = min(1.0, ppi / _PPI)
    logs = np.log(np.maximum(light, 0) + np.float32(0.02))
    px = _spread_all_ways_px(logs, scale)
    moved = px is None
    if px is None:
        px = _spread_one_way_px(logs, scale)
    if px is None or find_weave(cloth_lin, ppi=ppi) is not None:
        return None
    return ClothBlur(px * scale / min(ppi, _PPI), moved)


def _spread_all_ways_px(logs: NDArray[np.float32], scale: float) -> float | None:
    """The spread of the sharpest edges, over `scale`; None where they are sharp or there are none."""
    soft = [cv2.GaussianBlur(logs, (0, 0), scale * spread) for spread in _SCALES_PX]
    fine, coarse = (float(np.quantile(np.abs(soft[i] - soft[i + 1])[::2, ::2], _STRONGEST)) for i in (0, 2))
    if coarse < _LEAST_CONTRAST or fine > _MOST_RATIO * coarse:
        return None
    return float(np.interp(-fine / coarse, -np.array(_RATIOS), _SPREADS_PX))


def _spread_one_way_px(logs: NDArray[np.float32], scale: float) -> float | None:
    """The spread of edges that run one way, over `scale`, where all of them are soft and others sharp."""
    steps = []
    for spread in _STEP_SCALES_PX:
        soft = cv2.GaussianBlur(logs, (0, 0), scale * spread)
        steps.append([cv2.Scharr(soft, cv2.CV_32F, *way)[::2, ::2] / 32 for way in ((1, 0), (0, 1))])
    (fine_x, fine_y), (coarse_x, coarse_y) = steps
    ways = np.floor(np.arctan2(coarse_y, coarse_x) / np.pi * _WAYS).astype(np.int8) % _WAYS
    fine, coarse = np.zeros(_WAYS), np.zeros(_WAYS)
    for way in range(_WAYS):
        across, down = np.cos((way + 0.5) / _WAYS * np.pi), np.sin((way + 0.5) / _WAYS * np.pi)
        here = ways == way
        if here.sum() >= _LEAST_EDGES:
            fine[way] = np.quantile(np.abs(fine_x[here] * across + fine_y[here] * down), _STRONGEST)
            coarse[way] = np.quantile(np.abs(coarse_x[here] * across + coarse_y[here] * down), _STRONGEST)
    # A soft print has edges of little contrast; those that run another way say nothing of the sharp ones.
    plain = coarse > max(_LEAST_CONTRAST, _LEAST_OF_MOST * float(coarse.max()))
    if plain.sum() < _LEAST_WAYS:
        return None
    ratios = fine[plain] / coarse[plain]
    softest = float(ratios.min())
    # Softest one way, sharpest across it, and between them in between; the corners of checks are soft twice.
    turn = 2 * np.pi * np.flatnonzero(plain) / _WAYS
    terms = np.stack([np.ones_like(turn), np.cos(turn), np.sin(turn)], axis=1)
    mean, across, down = np.linalg.lstsq(terms, ratios, rcond=None)[0]
    if softest > _MOST_ONE_WAY or float(np.hypot(across, down)) < _LEAST_SWING * mean:
        return None
    return float(np.interp(-softest, -np.array(_ONE_WAY_RATIOS), _ONE_WAY_SPREADS_PX))


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
