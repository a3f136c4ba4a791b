"""How light a colour looks: CIE L*, and CIELAB for D65 and the 2 degree observer, from linear light.

Source: CIE 15:2018, section 8.2.1 (L*, a*, b*, with 216/24389 and 24389/27 as the exact breaks);
primaries to XYZ: IEC 61966-2-1:1999, the matrix with four decimals. White is the sum of its columns
(0.9505, 1, 1.0890), so that greys come out neutral and L* depends on luminance alone.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.encodings import LUMINANCE_OF_RGB

__all__ = ["XYZ_OF_RGB", "lab_from_lin", "lightness", "lin_from_lab", "luminance_of_lightness"]

XYZ_OF_RGB = (
    (0.4124, 0.3576, 0.1805),
    LUMINANCE_OF_RGB,
    (0.0193, 0.1192, 0.9505),
)
"""Linear sRGB to XYZ, Y of white 1. Source: IEC 61966-2-1:1999."""

_BREAK = 216 / 24389
_SLOPE = 24389 / 27
_LAB_OF_TOES = ((0, 116, 0), (500, -500, 0), (0, 200, -200))
"""L* + 16, a* and b* from the cube roots of X, Y and Z."""


def lightness(luminance_Y: ArrayLike) -> NDArray[np.floating]:
    """L*, 0 to 100, of luminance Y, 0 to 1 of white. float32 stays float32.

    Example: lightness(0.18) -> 49.4961
    """
    return 116 * _cube_root_or_line(_floats(luminance_Y)) - 16


def luminance_of_lightness(L: ArrayLike) -> NDArray[np.floating]:
    """Luminance Y, 0 to 1 of white, of lightness L*. Undoes lightness."""
    return _cube_or_line((_floats(L) + 16) / 116)


def lab_from_lin(light_lin: ArrayLike) -> NDArray[np.floating]:
    """CIELAB (..., 3) of linear light (..., 3), D65. float32 stays float32.

    Light outside 0 to 1 is still answered: below 0 along the straight part of the curve.
    """
    light = _floats(light_lin)
    toes = _cube_root_or_line(light @ _xyz_of_white_1().T.astype(light.dtype))
    lab: NDArray[np.floating] = toes @ np.array(_LAB_OF_TOES, dtype=light.dtype).T
    lab[..., 0] -= 16
    return lab


def lin_from_lab(lab: ArrayLike) -> NDArray[np.floating]:
    """Linear light (..., 3) of CIELAB, D65; outside 0 to 1 where sRGB has no such colour."""
    lab = _floats(lab)
    y = (lab[..., 0] + 16) / 116
    toes = np.stack([y + lab[..., 1] / 500, y, y - lab[..., 2] / 200], axis=-1)
    back = np.linalg.inv(_xyz_of_white_1()).T.astype(lab.dtype)
    light: NDArray[np.floating] = _cube_or_line(toes) @ back
    return light


def _xyz_of_white_1() -> NDArray[np.float64]:
    """The matrix with each row divided by the white's own X, Y or Z."""
    rows = np.array(XYZ_OF_RGB, dtype=np.float64)
    return np.asarray(rows / rows.sum(axis=1, keepdims=True))


def _cube_root_or_line(ratio: NDArray[np.floating]) -> NDArray[np.floating]:
    toes: NDArray[np.floating] = np.cbrt(ratio, out=np.empty_like(ratio))
    dark = ratio <= _BREAK
    toes[dark] = (_SLOPE * ratio[dark] + 16) / 116
    return toes


def _cube_or_line(toes: NDArray[np.floating]) -> NDArray[np.floating]:
    return np.where(toes <= 6 / 29, (116 * toes - 16) / _SLOPE, toes**3)


def _floats(values: ArrayLike) -> NDArray[np.floating]:
    array = np.asarray(values)
    if array.dtype.kind == "f":
        return array
    if array.dtype.kind != "i":
        # Nearly always a picture that was not decoded; its codes are not light.
        raise TypeError(f"floating point numbers wanted, got {array.dtype}")
    return array.astype(np.float64)
