"""A sheet of office paper that lies on cloth, photographed, and where its corners truly are."""

from __future__ import annotations

import cv2
import numpy as np

from benchmarks.sim.fabrics import NAMES, lin_to_srgb, render
from benchmarks.sim.shot import Shot, simulate
from swatches.known_sizes import A4_PAPER, LETTER_PAPER, KnownSize

__all__ = ["PAPER_SIZE", "paper_cloth", "paper_corners", "paper_shot"]

PAPER_SIZE = (2000, 1500)
_CANVAS_PPMM = 9
_SMALLER = 0.5
"""The simulator's scene of 240 by 180 mm stands for one of 480 by 360: a sheet does not fit in less."""
_CLOTH_PPI = 115
_PALE = ("floral_white", "floral_tonal", "solid", "grunge", "stripe")


def paper_cloth(number: int) -> str:
    """The name of the cloth in that photograph; every third one is among the pale and the plain."""
    return _PALE[number // 3 % len(_PALE)] if number % 3 == 2 else NAMES[number * 5 % len(NAMES)]


def paper_shot(number: int, *, laid: bool = True) -> tuple[Shot, KnownSize]:
    """A photograph of 3 megapixels with one of two sizes of paper, or with none where it is not `laid`.

    `Shot.ref["paper"]` are its corners in the plane, in true millimetres over two.
    """
    rng = np.random.default_rng(900 + number)
    thing = A4_PAPER if number % 2 else LETTER_PAPER
    name = paper_cloth(number)
    picture, _ = render(name, 18.5, 14.5, _CLOTH_PPI, 3000 + number)
    if name in _PALE:
        picture = _paler(picture, rng.uniform(0.0, 0.75))
    half_mm = np.array([float(thing.long_in), float(thing.short_in)]) * 25.4 * _SMALLER
    angle, middle = rng.uniform(-12, 12), np.array([180.0, 150.0]) + rng.uniform(-1, 1, 2) * (20, 14)
    white = rng.uniform(0.78, 0.92) * np.array([1, rng.uniform(0.985, 1.01), rng.uniform(0.96, 1.04)])
    shade, away = rng.uniform(0.08, 0.3), rng.normal(0, 0.15, 2)

    def dress(canvas, ppmm):
        if not laid:
            return {}
        shadow = cv2.GaussianBlur(
            _cover(canvas.shape, ppmm, middle + away, half_mm, angle), (0, 0), 0.4 * ppmm
        )
        cover = _cover(canvas.shape, ppmm, middle, half_mm, angle)[..., None]
        colour = np.round(255 * lin_to_srgb(np.clip(white, 0, 1)))
        # Light goes as about the power 2.2 of the code.
        shaded = canvas * ((1 - shade * shadow) ** (1 / 2.2))[..., None]
        canvas[:] = np.round(shaded * (1 - cover) + colour * cover).astype(np.uint8)
        return {"paper": paper_corners(middle, half_mm, angle)}

    return (
        simulate(
            picture, _CLOTH_PPI / _SMALLER, "none", seed=7000 + number, size=PAPER_SIZE,
            canvas_ppmm=_CANVAS_PPMM, keep_canvas=False, wrinkle_mm=0, dress=dress,
            tilt_deg=rng.uniform(0, 20), tone=number % 3 != 0,
        ),
        thing,
    )  # fmt: skip


def paper_corners(middle_mm, sides_mm, angle_deg):
    """Corners (4, 2) of a sheet about its middle."""
    a, b = sides_mm / 2
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    return np.array([[-a, -b], [a, -b], [a, b], [-a, b]]) @ np.array([[c, s], [-s, c]]) + middle_mm


def _cover(shape, ppmm, middle_mm, sides_mm, angle_deg):
    """Share of each pixel that a turned rectangle covers."""
    j, i = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    x, y = (i + 0.5) / ppmm - middle_mm[0], (j + 0.5) / ppmm - middle_mm[1]
    c, s = np.cos(np.radians(angle_deg)), np.sin(np.radians(angle_deg))
    off = np.maximum(np.abs(c * x + s * y) - sides_mm[0] / 2, np.abs(-s * x + c * y) - sides_mm[1] / 2)
    return np.clip(0.5 - off * ppmm, 0, 1).astype(np.float32)


def _paler(picture, share):
    """The cloth on its way to undyed white cotton, as far as that share."""
    return np.round(picture + (np.array([243, 240, 232]) - picture) * share).astype(np.uint8)
