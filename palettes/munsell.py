"""Munsell value, the scale that quilters' "value" steps are counted in: 0 is black, 10 is white.

Source: ASTM D1535, the fifth-degree polynomial from value to luminance factor, with the perfect
diffuser as 100 (the older tables of 1943, on the magnesium oxide scale, are 2.5 % higher).
"""

from __future__ import annotations

import numpy as np
from numpy.polynomial import Polynomial
from numpy.typing import ArrayLike, NDArray

from palettes.lightness import lightness

__all__ = ["luminance_of_value", "value_of_luminance"]

_PERCENT = Polynomial([0, 1.1914, -0.22533, 0.23352, -0.020484, 0.00081939])
_SLOPE = _PERCENT.deriv()


def luminance_of_value(value: ArrayLike) -> NDArray[np.float64]:
    """Luminance Y, 0 to 1 of white, of Munsell value, 0 to 10.

    Example: luminance_of_value(5) -> 0.19271844
    """
    return np.asarray(_PERCENT(np.asarray(value, dtype=np.float64)) / 100)


def value_of_luminance(luminance_Y: ArrayLike) -> NDArray[np.float64]:
    """Munsell value, 0 to 10, of luminance Y, 0 to 1 of white; light outside is taken as black or white.

    Example: value_of_luminance(0.18) -> 4.8519
    """
    percent = np.clip(np.asarray(luminance_Y, dtype=np.float64), 0, 1) * 100
    # L*/10 is never more than 0.11 from the value and the curve climbs everywhere: Newton settles at once.
    value = np.asarray(lightness(percent / 100) / 10, dtype=np.float64)
    for _ in range(5):
        value = value - (_PERCENT(value) - percent) / _SLOPE(value)
    return np.clip(value, 0, 10)
