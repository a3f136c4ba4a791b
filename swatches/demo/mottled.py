"""Hand-dyed cloth: clouds of colour that run into one another, with leaves kept lighter by wax."""

from __future__ import annotations

from fractions import Fraction

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.demo.canvas import PPI, blank, pixels
from swatches.demo.colours import ink_lin, mix
from swatches.demo.foliage import fern_frond, leaf_blade
from swatches.demo.layouts import spins, toss
from swatches.demo.recipe import Draw, Recipe, recipe

__all__ = ["clouds", "mottled"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]

Ramp = tuple[str, str, str]

_COARSE = 6


def mottled() -> tuple[Recipe, ...]:
    """The batik-like cloths."""
    return (
        recipe(
            "pond light",
            "batik-like",
            "Kingfisher and leaf green run together, with pale fern shadows.",
            _dyed(
                ("dusk", "kingfisher", "mint"),
                ("pine", "leaf", "sprout"),
                wax="mint",
                motif="fern",
                seed=201,
            ),
            repeat_in=(6, 6),
            motif_in=2,
        ),
        recipe(
            "plum dye",
            "batik-like",
            "Plum, berry and iris, with the shadows of leaves.",
            _dyed(
                ("dusk", mix("iris", 60, "dusk"), "iris"),
                ("plum", "berry", "foxglove"),
                wax="lavender",
                motif="leaf",
                seed=211,
            ),
            repeat_in=(6, 6),
            motif_in=Fraction(5, 4),
        ),
        recipe(
            "first light",
            "batik-like",
            "Apricot, blush and butter, like the sky before the bees are up.",
            _dyed(
                ("apricot", "blush", "cream"),
                ("straw", "butter", "cream"),
                wax="chalk",
                motif="none",
                seed=221,
            ),
            repeat_in=(6, 6),
            motif_in=1,
        ),
    )


def clouds(
    height_px: int, width_px: int, *, longest_px: float, seed: int, falloff: float = 2.1
) -> NDArray[np.float32]:
    """A seamless field of clouds with mean 0 and deviation 1: waves of random phase, the long ones strong."""
    rng = np.random.default_rng(seed)
    down = np.fft.fftfreq(height_px)[:, None]
    across = np.fft.rfftfreq(width_px)[None, :]
    strength = (np.hypot(down, across) ** 2 + (0.5 / longest_px) ** 2) ** (-falloff / 2)
    strength[0, 0] = 0
    waves = np.fft.rfft2(rng.normal(size=(height_px, width_px))) * strength
    field = np.fft.irfft2(waves, s=(height_px, width_px))
    field /= field.std()
    return field.astype(np.float32)


def _dyed(dyes: Ramp, others: Ramp, *, wax: str, motif: str, seed: int) -> Draw:
    """Two baths of dye, each from deep to pale, that run into one another, under a veil of wax shapes."""

    def draw(size_in: Size) -> Light:
        height, width = pixels(size_in[1]), pixels(size_in[0])
        coarse = (height // _COARSE, width // _COARSE)
        depth, bath = (
            _enlarged(
                clouds(*coarse, longest_px=reach_in * PPI / _COARSE, seed=seed + k, falloff=falloff),
                height,
                width,
            )
            for k, (reach_in, falloff) in enumerate(((0.8, 2.3), (1.6, 2.7)))
        )
        depth += 0.1 * _enlarged(
            clouds(height // 2, width // 2, longest_px=10, seed=seed + 5, falloff=1.2), height, width
        )
        cloth = _bath(depth, dyes)
        cloth += np.clip(0.5 + 0.55 * bath, 0, 1)[..., None] * (_bath(depth, others) - cloth)
        if motif != "none":
            veil = _veil(size_in, motif, seed + 2) * np.clip(0.34 + 0.16 * bath, 0.08, 0.6)
            cloth += veil[..., None] * (np.array(ink_lin(wax), np.float32) - cloth)
        return cloth

    return draw


def _bath(depth: NDArray[np.float32], dyes: Ramp) -> Light:
    """The colour of a bath where its depth is about -2 (the first dye), 0 and 2 (the last)."""
    inks = np.array([ink_lin(dye) for dye in dyes])
    shades = np.linspace(-3, 3, 1024)
    ramp = [np.interp(shades, (-2.0, 0.0, 2.0), inks[:, c]) for c in range(3)]
    table = np.stack(ramp, axis=1).astype(np.float32)
    steps = np.clip((depth + 3) * (1023 / 6), 0, 1023).astype(np.uint16)
    bath: Light = table.take(steps, axis=0)
    return bath


def _veil(size_in: Size, motif: str, seed: int) -> NDArray[np.float32]:
    """Where wax kept the dye out, 0 to 1, with the soft edge that wax leaves."""
    canvas = blank(size_in, "soot")
    count = 16 if motif == "fern" else 26
    size = (float(size_in[0]), float(size_in[1]))
    places = toss(size, [1.0] * count, seed=seed, tries=120)
    for number, (at, spin) in enumerate(zip(places, spins(count, seed=seed, size_in=1.0), strict=True)):
        if motif == "fern":
            fern_frond(canvas, complex(at - spin), complex(2 * spin), "chalk", curve=0.2 - 0.4 * (number % 2))
        else:
            leaf_blade(
                canvas,
                complex(at - 0.6 * spin),
                complex(1.2 * spin),
                ("chalk", mix("chalk", 70, "soot")),
                veins=5,
            )
    return _softened(canvas.shares("soot"), 5)


def _softened(share: NDArray[np.float32], width_px: int) -> NDArray[np.float32]:
    rim = cv2.copyMakeBorder(share, width_px, width_px, width_px, width_px, cv2.BORDER_WRAP)
    soft = np.asarray(cv2.blur(rim, (width_px, width_px)), np.float32)
    return soft[width_px:-width_px, width_px:-width_px]


def _enlarged(field: NDArray[np.float32], height_px: int, width_px: int) -> NDArray[np.float32]:
    """The field drawn out smoothly to a whole number of times its size, still wrapping at its edges."""
    times = height_px // field.shape[0]
    rim = cv2.copyMakeBorder(field, 3, 3, 3, 3, cv2.BORDER_WRAP)
    large = np.asarray(cv2.resize(rim, None, fx=times, fy=times, interpolation=cv2.INTER_CUBIC), np.float32)
    return large[3 * times : -3 * times, 3 * times : -3 * times][:height_px, :width_px]
