"""Between the codes that pictures store (sRGB, 8 bits) and the light they stand for (linear, 0 to 1).

The only module that converts. Averages, blurs and blends are made on what comes out of srgb8_to_lin,
never on the codes: the mean of the codes of a navy cloth with white pin dots is 18 L* too dark.

Source: IEC 61966-2-1:1999, as restated by W3C in the definition of relative luminance.
"""

from __future__ import annotations

from functools import cache
from typing import TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = [
    "LUMINANCE_OF_RGB",
    "decode",
    "encode",
    "lin16_of_srgb8",
    "lin_to_srgb8",
    "luminance",
    "srgb8_of_lin16",
    "srgb8_to_lin",
]

LUMINANCE_OF_RGB = (0.2126, 0.7152, 0.0722)
"""Share of each linear primary in the luminance Y. Source: IEC 61966-2-1, ITU-R BT.709; they sum to 1."""

_MOST_16 = 65535
_BAND = 1 << 16

_Scalar = TypeVar("_Scalar", bound=np.generic)


def decode(srgb: ArrayLike) -> NDArray[np.float64]:
    """Linear light of sRGB values, both 0 to 1, in float64; the slow, exact form behind the tables.

    Below 0 the curve is mirrored, for colours that lie outside sRGB (CSS Color Module Level 4).
    """
    srgb = np.asarray(srgb, dtype=np.float64)
    size = np.abs(srgb)
    light = np.where(size <= 0.04045, size / 12.92, ((size + 0.055) / 1.055) ** 2.4)
    return np.asarray(np.copysign(light, srgb))


def encode(light_lin: ArrayLike) -> NDArray[np.float64]:
    """The sRGB value, 0 to 1 and not rounded, of linear light, in float64. Undoes decode."""
    light = np.asarray(light_lin, dtype=np.float64)
    size = np.abs(light)
    # The standard's two breaks (0.04045 and 0.0031308) miss each other by 3e-8; this is the exact image.
    coded = np.where(size <= 0.04045 / 12.92, size * 12.92, 1.055 * size ** (1 / 2.4) - 0.055)
    return np.asarray(np.copysign(coded, light))


def srgb8_to_lin(codes_srgb8: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Linear light 0 to 1, float32, of 8-bit sRGB codes, in the same shape.

    Raises: TypeError for anything but uint8, since a picture in another encoding would come out wrong.
    Example: srgb8_to_lin(np.uint8([128])) -> [0.2158605]
    """
    codes_srgb8 = np.asarray(codes_srgb8)
    if codes_srgb8.dtype != np.uint8:
        raise TypeError(f"sRGB codes must be uint8, got {codes_srgb8.dtype}")
    return np.take(_lin_of_srgb8(), codes_srgb8)


def lin_to_srgb8(light_lin: ArrayLike) -> NDArray[np.uint8]:
    """The nearest 8-bit sRGB code of linear light, in the same shape; below 0 and above 1 is clipped.

    Exact: the same as rounding encode(light) * 255, and every code survives the way there and back.
    """
    light = np.asarray(light_lin, dtype=np.float32)
    flat = light.reshape(-1)
    codes = np.empty(flat.shape, dtype=np.uint8)
    # In bands that stay in the processor's cache: three times as fast for a whole picture.
    for start in range(0, len(flat), _BAND):
        codes[start : start + _BAND] = _nearest_codes(flat[start : start + _BAND])
    return codes.reshape(light.shape)


def _nearest_codes(light_lin: NDArray[np.float32]) -> NDArray[np.uint8]:
    light = np.clip(light_lin, 0, 1)
    codes = np.take(_code_at_bin(), (light * np.float32(_MOST_16)).astype(np.uint16))
    # A bin is at most 0.05 of a code wide, so it holds at most one border between two codes.
    codes += light >= np.take(_border_above(), codes)
    return codes


def luminance(light_lin: ArrayLike) -> NDArray[np.floating]:
    """Y, 0 to 1, of linear light (..., 3): the last axis goes. float32 stays float32."""
    light = np.asarray(light_lin)
    if light.dtype.kind != "f":
        raise TypeError(f"linear light must be floating point, got {light.dtype}")
    weighed: NDArray[np.floating] = light @ np.array(LUMINANCE_OF_RGB, dtype=light.dtype)
    return weighed


@cache
def lin16_of_srgb8() -> NDArray[np.uint16]:
    """Read-only table (256,): linear light as 0 to 65535 for each sRGB code, for cv2.LUT and np.take."""
    return _locked(np.rint(_exact_lin() * _MOST_16).astype(np.uint16))


@cache
def srgb8_of_lin16() -> NDArray[np.uint8]:
    """Read-only table (65536,): the nearest sRGB code for each 16-bit step of linear light.

    srgb8_of_lin16()[lin16_of_srgb8()] gives every code back.
    """
    steps = np.arange(_MOST_16 + 1) / _MOST_16
    return _locked(np.rint(encode(steps) * 255).astype(np.uint8))


def _exact_lin() -> NDArray[np.float64]:
    return decode(np.arange(256) / 255)


@cache
def _lin_of_srgb8() -> NDArray[np.float32]:
    return _locked(_exact_lin().astype(np.float32))


@cache
def _border_above() -> NDArray[np.float32]:
    """The least light that rounds to the next code up; nothing lies above white."""
    exact = decode((np.arange(256) + 0.5) / 255)
    borders = exact.astype(np.float32)
    # Rounded up where float32 fell short, so that float32 light is sorted as the exact border would.
    borders = np.where(borders < exact, np.nextafter(borders, np.float32(2)), borders)
    borders[255] = np.inf
    return _locked(borders)


@cache
def _code_at_bin() -> NDArray[np.uint8]:
    """The code at the dark end of each of 65536 bins of linear light."""
    # One part in a million below the bin's own start, so that a float32 product that was rounded up
    # into the bin is still sorted by the border test.
    starts = np.arange(_MOST_16 + 1) / _MOST_16 * (1 - 1e-6)
    return _locked(np.searchsorted(_border_above().astype(np.float64), starts, side="right").astype(np.uint8))


def _locked(table: NDArray[_Scalar]) -> NDArray[_Scalar]:
    table.setflags(write=False)
    return table
