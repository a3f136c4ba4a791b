"""Colour spaces that a file names without an ICC profile: code points, primaries and gamma, camera tags.

A space is three primaries, a white and a tone curve; its pixels become sRGB by way of linear light.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import decode, lin_to_srgb8

__all__ = ["ADOBE_LIKE", "SRGB", "Space", "space_from_code_points", "space_from_gamma", "space_to_srgb8"]

_BAND_ROWS = 256
# Source: Lam 1985, as restated in CIE 160:2004 (the Bradford cone matrix).
_CONES = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])

XY = tuple[float, float]
_D65: XY = (0.3127, 0.3290)


@dataclass(frozen=True, slots=True)
class Space:
    """A named RGB space: chromaticities of red, green, blue and white, and how codes become light."""

    name: str
    red: XY
    green: XY
    blue: XY
    white: XY
    gamma: float | None
    """Exponent from code to light; None for the curve of sRGB."""


# Source: IEC 61966-2-1; ITU-R BT.709-6, table 1.
SRGB = Space("sRGB", (0.640, 0.330), (0.300, 0.600), (0.150, 0.060), _D65, None)
# Source: SMPTE EG 432-1 with the curve of sRGB.
_P3 = Space("Display P3", (0.680, 0.320), (0.265, 0.690), (0.150, 0.060), _D65, None)
# Source: ITU-R BT.2020-2, table 3.
_BT2020 = Space("BT.2020", (0.708, 0.292), (0.170, 0.797), (0.131, 0.046), _D65, None)
# Source: DCF 2.0 optional colour space as restated in IEC 61966-2-5 (opRGB): gamma 563/256.
ADOBE_LIKE = Space("opRGB (wide)", (0.640, 0.330), (0.210, 0.710), (0.150, 0.060), _D65, 563 / 256)

_PRIMARIES = {1: SRGB, 9: _BT2020, 12: _P3}
# BT.709, 601 and 2020 code video with a camera curve, yet still pictures so marked are meant for a display
# that is decoded as sRGB; 8 is linear light.
_GAMMAS: dict[int, float | None] = {1: None, 6: None, 13: None, 14: None, 15: None, 4: 2.2, 5: 2.8, 8: 1.0}


def space_from_code_points(primaries: int, transfer: int) -> Space | None:
    """The space of two coding-independent code points, or None when it is not one of an ordinary picture.

    Source: ITU-T H.273 (2021), tables 2 and 3. Transfers 16 and 18 are high dynamic range.
    """
    base = _PRIMARIES.get(primaries)
    if base is None or transfer not in _GAMMAS:
        return None
    return Space(base.name, base.red, base.green, base.blue, base.white, _GAMMAS[transfer])


def space_from_gamma(file_gamma: float | None, chromaticity: tuple[float, ...] | None) -> Space | None:
    """The space of a PNG that states its encoding exponent, its primaries or both; None for nonsense.

    `chromaticity` counts white, red, green, blue, each x then y. An exponent within 1 % of 1/2.2 is how
    writers say sRGB.
    Source: PNG specification (third edition), chunks gAMA and cHRM.
    """
    gamma: float | None = None
    if file_gamma is not None:
        if not 0.1 <= file_gamma <= 2:
            return None
        gamma = None if abs(file_gamma * 2.2 - 1) < 0.01 else 1 / file_gamma
    if chromaticity is None:
        return Space("stated gamma", SRGB.red, SRGB.green, SRGB.blue, SRGB.white, gamma)
    if len(chromaticity) != 8 or not all(0 <= x <= 1 for x in chromaticity):
        return None
    white, red, green, blue = (
        (chromaticity[0], chromaticity[1]),
        (chromaticity[2], chromaticity[3]),
        (chromaticity[4], chromaticity[5]),
        (chromaticity[6], chromaticity[7]),
    )
    flat = (red[0] - blue[0]) * (green[1] - blue[1]) - (green[0] - blue[0]) * (red[1] - blue[1])
    if abs(flat) < 0.01 or white[1] < 0.05:
        return None
    return Space("stated primaries", red, green, blue, white, gamma)


def space_to_srgb8(codes: NDArray[np.uint8], space: Space) -> NDArray[np.uint8]:
    """The picture in sRGB, (H, W, 3); colours that sRGB cannot hold are clipped to its edge."""
    codes_as_srgb = np.arange(256) / 255
    light = (decode(codes_as_srgb) if space.gamma is None else codes_as_srgb**space.gamma).astype(np.float32)
    matrix = (np.linalg.inv(_to_xyz(SRGB)) @ _to_xyz(space)).astype(np.float32)
    srgb8 = np.empty_like(codes)
    for top in range(0, len(codes), _BAND_ROWS):
        srgb8[top : top + _BAND_ROWS] = lin_to_srgb8(light[codes[top : top + _BAND_ROWS]] @ matrix.T)
    return srgb8


def _to_xyz(space: Space) -> NDArray[np.float64]:
    """Matrix from the space's linear light to XYZ as seen under D65 (Bradford adaptation)."""
    primaries = np.array([_xyz(space.red), _xyz(space.green), _xyz(space.blue)]).T
    white, daylight = _xyz(space.white), _xyz(_D65)
    gains = (_CONES @ daylight) / (_CONES @ white)
    adapt = np.linalg.inv(_CONES) @ np.diag(gains) @ _CONES
    matrix: NDArray[np.float64] = adapt @ (primaries * np.linalg.solve(primaries, white))
    return matrix


def _xyz(xy: XY) -> NDArray[np.float64]:
    x, y = xy
    if y == 0:
        return np.array([x, y, 1 - x - y])
    return np.array([x / y, 1.0, (1 - x - y) / y])
