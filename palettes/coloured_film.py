"""What a coloured film makes of cloth: the old trick for judging value, and where it fails."""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, luminance, srgb8_to_lin
from palettes.lightness import lightness

__all__ = ["FILMS", "Film", "film_gap_L", "film_light", "film_srgb8"]

Film = Literal["red", "green"]

FILMS: tuple[Film, ...] = ("red", "green")

_PRIMARY: dict[Film, int] = {"red": 0, "green": 1}

_LEAK = 0.04
"""How much a film lets through of the light it should stop (ours: about a deep stage-light film)."""


def film_light(light_lin: NDArray[np.floating], *, film: Film) -> NDArray[np.floating]:
    """How bright linear light (..., 3) is behind the film, (...), with white behind it at 1.

    A film passes the light of its own colour: a model of three bands, no measured film.
    """
    own = _PRIMARY[film]
    passed = light_lin[..., own] + _LEAK * (light_lin.sum(axis=-1) - light_lin[..., own])
    return np.asarray(passed / (1 + 2 * _LEAK))


def film_srgb8(codes_srgb8: NDArray[np.uint8], *, film: Film) -> NDArray[np.uint8]:
    """A picture (..., 3) as it looks through the film: all of one hue, light and dark alone."""
    tint = np.full(3, _LEAK, np.float32)
    tint[_PRIMARY[film]] = 1
    behind = film_light(srgb8_to_lin(np.asarray(codes_srgb8, np.uint8)), film=film)
    return lin_to_srgb8(behind[..., None].astype(np.float32) * tint)


def film_gap_L(codes_srgb8: NDArray[np.uint8], *, film: Film) -> NDArray[np.float64]:  # noqa: N802
    """How much lighter (above 0) or darker than its own L* a colour is judged behind the film.

    The eye takes white behind the film for white, and greys are right.
    Example: film_gap_L(np.uint8([205, 25, 40]), film="red") -> 36.0: a bright red passes for a light
    """
    light = srgb8_to_lin(np.asarray(codes_srgb8, np.uint8))
    return np.asarray(lightness(film_light(light, film=film)) - lightness(luminance(light)), np.float64)
