"""How fine a print the eye still sees, and from how far it is a plain cloth."""

from __future__ import annotations

from math import log, pi, radians, sqrt, tan

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.thresholds import THRESHOLDS

__all__ = ["blends_from_in", "contrast_sensitivity", "cycles_per_degree", "eye_passes"]


def cycles_per_degree(repeat_in: float, *, distance_in: float) -> float:
    """How often a print repeats in one degree of what is seen.

    Example: cycles_per_degree(1 / 4, distance_in=72) -> 5.03
    """
    return distance_in * tan(radians(1)) / repeat_in


def eye_passes(cycles: ArrayLike) -> NDArray[np.float64]:
    """How much of a print's swing from light to dark the blur of a reading leaves, 0 to 1.

    cycles: cycles per degree. The Fourier transform of exp(-r^2 / s^2), s being THRESHOLDS.eye_spread_deg.
    """
    return np.asarray(np.exp(-((pi * np.asarray(cycles, np.float64) * THRESHOLDS.eye_spread_deg) ** 2)))


def contrast_sensitivity(cycles: ArrayLike) -> NDArray[np.float64]:
    """How sensitive the eye is to a grating of so many cycles per degree; about 1 at its best, near 8.

    Source: Mannos and Sakrison (1974), IEEE Transactions on Information Theory 20(4), 525-536.
    """
    f = 0.114 * np.asarray(cycles, np.float64)
    return np.asarray(2.6 * (0.0192 + f) * np.exp(-(f**1.1)))


def blends_from_in(repeat_in: float, *, left: float = 0.1) -> float:
    """The distance, inches, from which a print that repeats so often keeps no more than `left` of its swing.

    Example: blends_from_in(1 / 8) / 12 -> 5.8 feet
    """
    cycles = sqrt(log(1 / left)) / (pi * THRESHOLDS.eye_spread_deg)
    return cycles * repeat_in / tan(radians(1))
