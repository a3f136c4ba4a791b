"""How different two colours look: CIEDE2000.

Source: Sharma, Wu and Dalal (2005), "The CIEDE2000 color-difference formula: implementation notes,
supplementary test data, and mathematical observations", Color Research and Application 30(1), 21-30,
equations 2 to 22; doi 10.1002/col.20070. Also ISO/CIE 11664-6.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["ciede2000"]

_Floats = NDArray[np.float64]

_OPPOSITE_DEG = 180 + 1e-9
"""Hues this far apart still count as opposite: atan2 rounds, and one bit would move the answer by 1 %."""


def ciede2000(first_lab: ArrayLike, second_lab: ArrayLike, *, lightness_weight: float = 1.0) -> _Floats:
    """Colour difference of CIELAB colours (..., 3) against (..., 3), broadcast; the last axis goes.

    Computed in float64 whatever comes in. About 1 can just be seen side by side.
    lightness_weight is the formula's k_L: 1 by default; 2 is the textile trade's custom.
    Example: ciede2000((50, 2.6772, -79.7751), (50, 0, -82.7485)) -> 2.0425
    """
    first, second = np.broadcast_arrays(
        np.asarray(first_lab, dtype=np.float64), np.asarray(second_lab, dtype=np.float64)
    )
    (L1, a1, b1), (L2, a2, b2) = (np.moveaxis(lab, -1, 0) for lab in (first, second))
    stretch = _stretch_of_a((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2)
    a1, a2 = a1 * stretch, a2 * stretch
    C1, C2 = np.hypot(a1, b1), np.hypot(a2, b2)
    hue_gap_deg, mean_hue_deg = _hues(_hue_deg(a1, b1), _hue_deg(a2, b2), grey=(C1 * C2) == 0)
    mean_L, mean_C = (L1 + L2) / 2, (C1 + C2) / 2
    hue_step = 2 * np.sqrt(C1 * C2) * np.sin(np.radians(hue_gap_deg / 2))  # eq. 11
    S_L = 1 + 0.015 * (mean_L - 50) ** 2 / np.sqrt(20 + (mean_L - 50) ** 2)  # eq. 18
    S_C = 1 + 0.045 * mean_C  # eq. 19
    S_H = 1 + 0.015 * mean_C * _hue_weight(mean_hue_deg)  # eq. 20
    light = (L2 - L1) / (lightness_weight * S_L)
    chroma, hue = (C2 - C1) / S_C, hue_step / S_H
    turned = _blue_turn(mean_C, mean_hue_deg) * chroma * hue
    # Rounding can leave the sum a hair below 0 for colours that are the same.
    return np.asarray(np.sqrt(np.maximum(light**2 + chroma**2 + hue**2 + turned, 0)))  # eq. 22


def _stretch_of_a(mean_C: _Floats) -> _Floats:
    """1 + G: near grey, a* counts half as much again (eq. 4, 5)."""
    return 1 + 0.5 * (1 - np.sqrt(_seventh(mean_C)))


def _seventh(chroma: _Floats) -> _Floats:
    power = chroma**7
    return np.asarray(power / (power + 25.0**7))


def _hue_deg(a: _Floats, b: _Floats) -> _Floats:
    """Hue angle, 0 to 360 (eq. 7)."""
    return np.degrees(np.arctan2(b, a)) % 360


def _hues(first_deg: _Floats, second_deg: _Floats, *, grey: NDArray[np.bool_]) -> tuple[_Floats, _Floats]:
    """The signed gap and the mean of two hue angles, the short way round (eq. 10, 14).

    A grey has no hue: the gap is then 0 and the mean is the other colour's hue (their sum).
    """
    gap_deg = second_deg - first_deg
    sum_deg = first_deg + second_deg
    far = np.abs(gap_deg) > _OPPOSITE_DEG
    mean_deg = np.where(far, np.where(sum_deg < 360, sum_deg + 360, sum_deg - 360), sum_deg) / 2
    gap_deg = np.where(far, gap_deg - np.copysign(360, gap_deg), gap_deg)
    return np.where(grey, 0.0, gap_deg), np.where(grey, sum_deg, mean_deg)


def _hue_weight(mean_hue_deg: _Floats) -> _Floats:
    """T: how much a step of hue counts round the circle (eq. 15)."""
    h = np.radians(mean_hue_deg)
    return np.asarray(
        1
        - 0.17 * np.cos(h - np.radians(30))
        + 0.24 * np.cos(2 * h)
        + 0.32 * np.cos(3 * h + np.radians(6))
        - 0.20 * np.cos(4 * h - np.radians(63))
    )


def _blue_turn(mean_C: _Floats, mean_hue_deg: _Floats) -> _Floats:
    """R_T: in the blues, chroma and hue trade against each other (eq. 16, 17, 21)."""
    turn_deg = 30 * np.exp(-(((mean_hue_deg - 275) / 25) ** 2))
    return np.asarray(-np.sin(np.radians(2 * turn_deg)) * 2 * np.sqrt(_seventh(mean_C)))
