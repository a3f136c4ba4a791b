"""From one set of red, green and blue to another: phones photograph in Display P3, pages show sRGB.

Source: the primaries and white points as published (ITU-R BT.709 and IEC 61966-2-1 for sRGB; SMPTE
EG 432-1 with the D65 white for Display P3, as W3C's CSS Color Module Level 4 restates them).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["D65_XY", "DISPLAY_P3", "SRGB", "Primaries", "srgb_of_p3", "xyz_matrix"]

D65_XY = (0.3127, 0.3290)


@dataclass(frozen=True, slots=True)
class Primaries:
    """Chromaticities x, y of the three primaries and of the white they add up to."""

    red: tuple[float, float]
    green: tuple[float, float]
    blue: tuple[float, float]
    white: tuple[float, float] = D65_XY


SRGB = Primaries(red=(0.64, 0.33), green=(0.30, 0.60), blue=(0.15, 0.06))
DISPLAY_P3 = Primaries(red=(0.680, 0.320), green=(0.265, 0.690), blue=(0.150, 0.060))


def xyz_matrix(primaries: Primaries) -> NDArray[np.float64]:
    """The matrix (3, 3) that takes linear red, green, blue to XYZ, with Y of white 1."""
    columns = np.stack(
        [_xyz_of(*xy) for xy in (primaries.red, primaries.green, primaries.blue)],
        axis=1,
    )
    return np.asarray(columns * np.linalg.solve(columns, _xyz_of(*primaries.white)))


def srgb_of_p3(light_lin: ArrayLike) -> NDArray[np.float64]:
    """Linear sRGB (..., 3) of linear Display P3; outside 0 to 1 for colours that sRGB cannot show.

    Display P3 stores its values with the same curve as sRGB: decode before, encode after.
    """
    matrix = np.linalg.solve(xyz_matrix(SRGB), xyz_matrix(DISPLAY_P3))
    return np.asarray(np.asarray(light_lin, dtype=np.float64) @ matrix.T)


def _xyz_of(x: float, y: float) -> NDArray[np.float64]:
    """XYZ of a chromaticity at Y 1."""
    return np.array([x / y, 1.0, (1 - x - y) / y])
