"""RGB spaces of photographs: what the codes of a file are as linear light of sRGB's primaries.

A space is three tone curves and a matrix. It comes from an ICC profile (`swatches.icc_spaces`), or from what
a file names without one: code points, primaries and gamma, a camera's tags.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.primaries import D65_XY, DISPLAY_P3, SRGB, Primaries, xyz_matrix
from swatches.tone_curves import SRGB_TONES, Tones, gamma_tones, light_table

__all__ = [
    "ADOBE_LIKE",
    "SRGB_SPACE",
    "Codes",
    "Space",
    "light_by_space",
    "space_from_code_points",
    "space_from_gamma",
    "xyz_to_srgb",
]

Codes = NDArray[np.uint8] | NDArray[np.uint16]
"""(rows, columns, channels), from 0 to all that the type holds."""
XY = tuple[float, float]

# Source: Lam 1985, as restated in CIE 160:2004 (the Bradford cone matrix).
_CONES = np.array([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]])
# Source: ITU-R BT.2020-2, table 3.
_BT2020 = Primaries(red=(0.708, 0.292), green=(0.170, 0.797), blue=(0.131, 0.046))


@dataclass(frozen=True, slots=True, eq=False)
class Space:
    """A named RGB space."""

    name: str
    tones: tuple[Tones, Tones, Tones]
    to_srgb: NDArray[np.float64]
    """(3, 3), from linear light of its primaries to that of sRGB's."""


def xyz_to_srgb(white_xyz: NDArray[np.float64]) -> NDArray[np.float64]:
    """The matrix (3, 3) from XYZ as seen under a white, Y of it 1, to linear sRGB: white becomes white."""
    gains = (_CONES @ _white_xyz(D65_XY)) / (_CONES @ white_xyz)
    adapt = np.linalg.inv(_CONES) @ np.diag(gains) @ _CONES
    return np.asarray(np.linalg.solve(xyz_matrix(SRGB), adapt))


def _space(name: str, primaries: Primaries, tones: Tones) -> Space:
    matrix = xyz_to_srgb(_white_xyz(primaries.white)) @ xyz_matrix(primaries)
    return Space(name, (tones, tones, tones), matrix)


def _white_xyz(xy: XY) -> NDArray[np.float64]:
    return np.array([xy[0] / xy[1], 1.0, (1 - xy[0] - xy[1]) / xy[1]])


SRGB_SPACE = Space("sRGB", (SRGB_TONES, SRGB_TONES, SRGB_TONES), np.eye(3))
# Source: DCF 2.0 optional colour space as restated in IEC 61966-2-5 (opRGB): gamma 563/256.
ADOBE_LIKE = _space(
    "opRGB (wide)",
    Primaries(red=(0.640, 0.330), green=(0.210, 0.710), blue=(0.150, 0.060)),
    gamma_tones(563 / 256),
)

_PRIMARIES = {1: ("sRGB", SRGB), 9: ("BT.2020", _BT2020), 12: ("Display P3", DISPLAY_P3)}
# BT.709, 601 and 2020 code video with a camera curve, yet still pictures so marked are meant for a display
# that is decoded as sRGB; 8 is linear light.
_TONES: dict[int, Tones] = {
    **dict.fromkeys((1, 6, 13, 14, 15), SRGB_TONES),
    4: gamma_tones(2.2),
    5: gamma_tones(2.8),
    8: gamma_tones(1.0),
}


def space_from_code_points(primaries: int, transfer: int) -> Space | None:
    """The space of two coding-independent code points, or None when it is not one of an ordinary picture.

    Source: ITU-T H.273 (2021), tables 2 and 3. Transfers 16 and 18 are high dynamic range.
    """
    if primaries not in _PRIMARIES or transfer not in _TONES:
        return None
    return _space(*_PRIMARIES[primaries], _TONES[transfer])


def space_from_gamma(file_gamma: float | None, chromaticity: tuple[float, ...] | None) -> Space | None:
    """The space of a PNG that states its encoding exponent, its primaries or both; None for nonsense.

    `chromaticity` counts white, red, green, blue, each x then y. An exponent within 1 % of 1/2.2 is how
    writers say sRGB.
    Source: PNG specification (third edition), chunks gAMA and cHRM.
    """
    tones: Tones = SRGB_TONES
    if file_gamma is not None:
        if not 0.1 <= file_gamma <= 2:
            return None
        if abs(file_gamma * 2.2 - 1) >= 0.01:
            tones = gamma_tones(1 / file_gamma)
    if chromaticity is None:
        return _space("stated gamma", SRGB, tones)
    if len(chromaticity) != 8 or not all(0 <= part <= 1 for part in chromaticity):
        return None
    white, red, green, blue = zip(chromaticity[::2], chromaticity[1::2], strict=True)
    flat = (red[0] - blue[0]) * (green[1] - blue[1]) - (green[0] - blue[0]) * (red[1] - blue[1])
    if abs(flat) < 0.01 or white[1] < 0.05 or min(red[1], green[1], blue[1]) == 0:
        return None
    return _space("stated primaries", Primaries(red, green, blue, white), tones)


def light_by_space(space: Space, *, most_code: int) -> Callable[[Codes], NDArray[np.float32]]:
    """A function from codes (rows, columns, 1 or 3) to linear light (rows, columns, 3).

    Light outside 0 to 1 is a colour that sRGB cannot hold. `most_code`: the code of full light.
    """
    table = np.stack([light_table(tones, most_code=most_code) for tones in space.tones], axis=-1)[None]
    grey_table = np.ascontiguousarray(table[..., 1:2])
    matrix = space.to_srgb.astype(np.float32)

    def light_of(codes: Codes) -> NDArray[np.float32]:
        if codes.shape[2] == 1:
            # Grey is grey in every space, and the matrix would only round it.
            return np.repeat(cv2.LUT(codes, grey_table).reshape(codes.shape), 3, axis=2)
        return np.asarray(cv2.transform(cv2.LUT(codes, table), matrix), dtype=np.float32)

    return light_of
