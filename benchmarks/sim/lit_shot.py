"""Phone photographs of cloth, alone or with a card on it, that differ in nothing but light and lens.

lay(cloth_srgb8, ppi, seed) puts cloth under a camera once; photograph(laid, **fault) takes a picture of it,
with light, blur and exposure as they are given. Noise, lens, tilt, colour of the light and vignette are drawn
from the seed, so that two pictures of one cloth differ by the fault alone, which the caller knows.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
from PIL import Image

from benchmarks.sim.camera import Camera, cast_matrix, tone_curve
from benchmarks.sim.fabrics import srgb_to_lin
from benchmarks.sim.scene import draw_card
from benchmarks.sim.shot import wrinkle_field

__all__ = ["Laid", "in_light", "lay", "photograph"]

_FOV_DEG = 72.0
_MM = 25.4


@dataclass
class Laid:
    """Cloth as it would reach the sensor in even light, and where everything lies."""

    light: np.ndarray
    """(H, W, 3), linear, in daylight."""
    at: np.ndarray
    """(H, W, 2): every pixel's place in half widths of the view from its middle, on the cloth."""
    ppi: float
    """Of the cloth in the middle of the photograph."""
    corners_px: np.ndarray | None
    """(4, 2): the card's sharp corners, counted from the corner of the first pixel."""
    drawn: dict
    seed: int


def lay(cloth_srgb8, cloth_ppi, seed, *, size=(2000, 1500), ppi=220.0, card=False, **given) -> Laid:
    """Cloth under the camera; whatever is drawn from the seed may be given instead."""
    rng = np.random.default_rng(seed)
    drawn = {
        "tilt_deg": rng.uniform(0, 8),
        "tilt_dir_deg": rng.uniform(0, 360),
        "roll_deg": rng.uniform(-5, 5),
        "k1": rng.uniform(-0.03, 0.03),
        "vignette": rng.uniform(0, 0.25),
        "cct": rng.uniform(3200, 7500),
        "awb": rng.uniform(0.6, 1),
        "noise": rng.uniform(0.003, 0.012),
        "blur_px": rng.uniform(0.6, 1.1),
        "exposure": rng.uniform(0.75, 0.95),
        "tone": bool(rng.uniform() < 0.7),
        "folds_mm": 0.0,
    } | given
    ppmm = cloth_ppi / _MM
    high, wide = cloth_srgb8.shape[:2]
    middle_mm = np.array([wide, high]) / 2 / ppmm
    canvas, corners_mm = cloth_srgb8, None
    if card:
        canvas = cloth_srgb8.copy()
        aside = np.array([size[0], size[1]]) / ppi * _MM * rng.uniform(-0.15, 0.15, 2)
        corners_mm = draw_card(canvas, ppmm, *(middle_mm + aside), rng.uniform(-20, 20), rng)
    far_mm = 0.5 * np.hypot(*size) / np.tan(np.radians(_FOV_DEG) / 2) / ppi * _MM
    pose = (drawn[key] for key in ("tilt_deg", "tilt_dir_deg", "roll_deg", "k1"))
    camera = Camera(size, _FOV_DEG, middle_mm, far_mm, *pose)
    x, y = np.meshgrid(np.arange(size[0], dtype=np.float64), np.arange(size[1], dtype=np.float64))
    mm = camera.to_plane(np.stack([x, y], axis=-1))
    shrink = cloth_ppi / ppi
    smooth = canvas if shrink < 1.1 else cv2.GaussianBlur(canvas, (0, 0), 0.45 * shrink)
    codes = cv2.remap(
        smooth, (mm[..., 0] * ppmm - 0.5).astype(np.float32), (mm[..., 1] * ppmm - 0.5).astype(np.float32),
        cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT,
    )  # fmt: skip
    light = srgb_to_lin(codes)
    if drawn["folds_mm"] > 0:
        light = light * _fold_shade(mm, drawn["folds_mm"], rng)[..., None]
    at = (mm - middle_mm) / (size[0] / ppi * _MM / 2)
    corners = None if corners_mm is None else camera.to_photo(corners_mm) + 0.5
    return Laid(light.astype(np.float32), at.astype(np.float32), ppi, corners, drawn, seed)


def photograph(
    laid: Laid, *, lamp=None, second_cct=None, glare=None, focus_px=0.0, smear_px=0.0, smear_deg=0.0,
    vignette=None, exposure=None, noisy=True,
) -> np.ndarray:  # fmt: skip
    """The picture (H, W, 3) as a phone stores it, after JPEG.

    `lamp`: share of the light at places (H, W, 2); `second_cct`: another light to the right; `glare`: white
    light that is added, at places; `focus_px`, `smear_px`: spread out of focus, and length of a shake.
    """
    p = laid.drawn
    light = in_light(laid, second_cct=second_cct, vignette=vignette)
    if lamp is not None:
        light = light * lamp(laid.at)[..., None]
    if glare is not None:
        light = light + glare(laid.at)[..., None]
    light = light * np.float32(p["exposure"] if exposure is None else exposure)
    light = cv2.GaussianBlur(light.astype(np.float32), (0, 0), float(np.hypot(p["blur_px"], focus_px)))
    if smear_px:
        light = cv2.filter2D(light, -1, _smear(smear_px, smear_deg), borderType=cv2.BORDER_REFLECT)
    if noisy:
        n = p["noise"]
        grain = np.random.default_rng(laid.seed + 10_000).standard_normal(light.shape, dtype=np.float32)
        light = light + grain * np.sqrt(np.clip(light, 0, None) * n**2 + (n * 0.25) ** 2)
    codes = tone_curve(np.clip(light, 0, 1), 1.0 if p["tone"] else 0.0)
    packed = io.BytesIO()
    Image.fromarray(np.round(codes * 255).astype(np.uint8)).save(packed, "JPEG", quality=85, subsampling=2)
    return np.asarray(Image.open(packed).convert("RGB"))


def in_light(laid: Laid, *, second_cct=None, vignette=None) -> np.ndarray:
    """What reaches the sensor (H, W, 3) at an exposure of 1, by the colour of the light and the lens."""
    p = laid.drawn
    light = laid.light @ cast_matrix(p["cct"], p["awb"]).T.astype(np.float32)
    if second_cct is not None:
        share = (1 / (1 + np.exp(-laid.at[..., 0] / 0.35)))[..., None].astype(np.float32)
        first, second = _balanced_between(p["cct"], second_cct, p["awb"])
        light = (laid.light @ first.T) * (1 - share) + (laid.light @ second.T) * share
    rows, columns = light.shape[:2]
    y, x = np.mgrid[0:rows, 0:columns].astype(np.float32)
    out2 = ((x - (columns - 1) / 2) ** 2 + (y - (rows - 1) / 2) ** 2) * 4 / (rows**2 + columns**2)
    falls = p["vignette"] if vignette is None else vignette
    return light * (1 - falls * out2)[..., None]


def _balanced_between(first_cct, second_cct, awb):
    """The looks of two lights to a camera that balances for the mean of both."""
    casts = [cast_matrix(cct) for cct in (first_cct, second_cct)]
    white = (casts[0] @ np.ones(3) + casts[1] @ np.ones(3)) / 2
    gain = (white[1] / white) ** awb
    most = max(float((gain * (cast @ np.ones(3))).max()) for cast in casts)
    return [(gain[:, None] * cast / most).astype(np.float32) for cast in casts]


def _fold_shade(mm, folds_mm, rng):
    """The shading of low folds in light from one side, half of it diffuse, as in benchmarks.sim.shot."""
    per_mm = 2.0
    low = mm.reshape(-1, 2).min(axis=0)
    across, down = np.ceil((mm.reshape(-1, 2).max(axis=0) - low) * per_mm).astype(int) + 2
    height = wrinkle_field((int(down), int(across)), per_mm, rng) * folds_mm
    slope_y, slope_x = np.gradient(height, 1 / per_mm)
    way = rng.uniform(0, 2 * np.pi)
    upright = 1 / np.sqrt(1 + slope_x**2 + slope_y**2)
    towards = -0.55 * (slope_x * np.cos(way) + slope_y * np.sin(way)) + 0.835
    shade = (0.5 + 0.5 * np.clip(towards * upright / 0.835, 0.3, 1.7)).astype(np.float32)
    at = ((mm - low) * per_mm).astype(np.float32)
    return cv2.remap(shade, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)


def _smear(length_px, way_deg):
    """A camera that moved evenly along a line while the shutter was open."""
    side = int(np.ceil(length_px)) // 2 * 2 + 3
    line = np.zeros((side, side), np.float32)
    way = np.radians(way_deg)
    for along in np.linspace(-length_px / 2, length_px / 2, 8 * side):
        x, y = side // 2 + along * np.cos(way), side // 2 + along * np.sin(way)
        i, j = int(np.floor(y)), int(np.floor(x))
        for di, dj in ((0, 0), (0, 1), (1, 0), (1, 1)):
            line[i + di, j + dj] += abs(1 - di - (y - i)) * abs(1 - dj - (x - j))
    return line / line.sum()
