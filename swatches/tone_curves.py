"""How the codes of a picture become light: curves given by a formula, and curves given by points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["SRGB_TONES", "Formula", "Points", "Tones", "gamma_tones", "light_table"]


@dataclass(frozen=True, slots=True)
class Formula:
    """Light is (a code + b) ** g + e from the code d upwards and c code + f below it, all from 0 to 1.

    Source: ICC.1:2010 (profile version 4.3), 10.16, parametricCurveType, of which the other kinds are cases.
    """

    g: float
    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 0.0
    e: float = 0.0
    f: float = 0.0


@dataclass(frozen=True, slots=True)
class Points:
    """Light at evenly spaced codes, as 0 to 65535, joined by straight lines; at least two."""

    light16: tuple[int, ...]


Tones = Formula | Points

# Source: IEC 61966-2-1.
SRGB_TONES = Formula(2.4, a=1 / 1.055, b=0.055 / 1.055, c=1 / 12.92, d=0.04045)


def gamma_tones(gamma: float) -> Formula:
    """The curve that is one power from black to white."""
    return Formula(gamma)


def light_table(tones: Tones, *, most_code: int) -> NDArray[np.float32]:
    """Light, 0 to 1, of every whole code from 0 to the one that is full: (most_code + 1,)."""
    codes = np.arange(most_code + 1) / most_code
    if isinstance(tones, Points):
        stated = np.array(tones.light16) / 65535
        light = np.interp(codes, np.linspace(0, 1, len(stated)), stated)
    else:
        base = np.maximum(tones.a * codes + tones.b, 0)
        light = np.where(codes >= tones.d, base**tones.g + tones.e, tones.c * codes + tones.f)
    return np.clip(light, 0, 1).astype(np.float32)
