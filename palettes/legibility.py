"""The contrast ratio that web pages and signs are judged by, for numbers written on cloth.

Not a measure of cloth against cloth: it is blind to busy prints and uneven in the darks.
Source: W3C, Web Content Accessibility Guidelines 2.2, definitions of contrast ratio and relative luminance.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.encodings import luminance

__all__ = ["contrast_ratio"]

_FLARE = 0.05
"""Light that a viewing room adds to both sides."""


def contrast_ratio(first_lin: ArrayLike, second_lin: ArrayLike) -> NDArray[np.floating]:
    """The ratio, 1 to 21, of linear light (..., 3) against (..., 3); which is lighter does not matter.

    Example: contrast_ratio(srgb8_to_lin(black), srgb8_to_lin(white)) -> 21.0
    """
    first, second = luminance(first_lin), luminance(second_lin)
    return np.asarray((np.maximum(first, second) + _FLARE) / (np.minimum(first, second) + _FLARE))
