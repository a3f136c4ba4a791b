"""What a phone's grey picture makes of a colour: a lesson in why it is not value."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lightness

__all__ = ["LUMA_OF_RGB", "phone_grey_gap_L", "phone_grey_srgb8"]

LUMA_OF_RGB = (0.299, 0.587, 0.114)
"""Weights of the codes themselves, not of the light. Source: ITU-R BT.601, as picture programs apply it."""


def phone_grey_srgb8(codes_srgb8: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The grey code (...) that programs of this kind give sRGB codes (..., 3)."""
    return np.asarray(np.rint(np.asarray(codes_srgb8) @ np.array(LUMA_OF_RGB)), dtype=np.uint8)


def phone_grey_gap_L(codes_srgb8: NDArray[np.uint8]) -> NDArray[np.float64]:  # noqa: N802
    """How much lighter (above 0) or darker that grey is than the colour's own L*; greys are right.

    Example: phone_grey_gap_L(np.uint8([205, 25, 40])) -> -9.5: a bright red comes out almost a step too dark
    """
    grey = phone_grey_srgb8(codes_srgb8)
    own_L = lightness(luminance(srgb8_to_lin(np.asarray(codes_srgb8, np.uint8))))
    return np.asarray(lightness(srgb8_to_lin(grey)) - own_L, dtype=np.float64)
