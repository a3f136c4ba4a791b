"""Codes become light: colours brought into sRGB, transparency laid on white, in all the bits there were."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8
from palettes.gamut import bring_into_srgb, moved_into_srgb
from swatches.spaces import SRGB_SPACE, Codes, Space, light_by_space

__all__ = ["Developed", "develop"]

_BAND_ROWS = 128
_MANY_PX = 3_000_000
"""A photograph of so many pixels repeats most of its colours: of 12 million, half a million to 1.5 million
differ (measured on vivid ones)."""
_COLOURS = 1 << 24
_MOVED = 1 << 24


@dataclass(frozen=True, slots=True, eq=False)
class Developed:
    """A picture in sRGB."""

    srgb8: NDArray[np.uint8]
    light16: NDArray[np.uint16] | None
    """The same in linear light, 0 to 65535, where there were more than 8 bits."""
    outside: float
    """Share of the picture that was more vivid than sRGB can hold."""


def develop(codes: Codes, *, space: Space, alpha: Codes | None) -> Developed:
    """The picture (rows, columns, 3) of codes (rows, columns, 1 or 3) and their transparency.

    Colours outside sRGB are brought into it (`palettes.gamut`); hidden pixels become white, the others are
    laid on white in linear light. sRGB of 8 bits stays as it is, code by code.
    """
    rows, columns, channels = codes.shape
    if codes.dtype == np.uint8 and space is SRGB_SPACE and alpha is None:
        plain = codes if channels == 3 else np.repeat(codes, 3, axis=2)
        return Developed(np.asarray(plain, dtype=np.uint8), None, 0.0)
    most_code = int(np.iinfo(codes.dtype).max)
    light_of = light_by_space(space, most_code=most_code)
    if codes.dtype == np.uint8 and channels == 3 and alpha is None and rows * columns > _MANY_PX:
        return _colour_by_colour(np.asarray(codes, dtype=np.uint8), light_of)
    srgb8 = np.empty((rows, columns, 3), np.uint8)
    light16 = np.empty((rows, columns, 3), np.uint16) if most_code > 255 else None
    outside = 0.0
    for top in range(0, rows, _BAND_ROWS):
        band = slice(top, top + _BAND_ROWS)
        light, share = bring_into_srgb(light_of(codes[band]))
        outside += share * len(light) / rows
        if alpha is not None:
            cover = (alpha[band] / np.float32(most_code)).astype(np.float32)[..., None]
            light = light * cover + (1 - cover)
        srgb8[band] = lin_to_srgb8(light)
        if light16 is not None:
            light16[band] = np.rint(light * 65535)
    return Developed(srgb8, light16, outside)


def _colour_by_colour(
    codes: NDArray[np.uint8], light_of: Callable[[Codes], NDArray[np.float32]]
) -> Developed:
    """The same of 8 bits, each colour worked out once however many pixels have it."""
    bands = [slice(top, top + _BAND_ROWS) for top in range(0, len(codes), _BAND_ROWS)]
    seen = np.zeros(_COLOURS, dtype=np.bool_)
    for band in bands:
        seen[_numbers(codes[band])] = True
    colours = np.flatnonzero(seen)
    del seen
    table = np.empty(_COLOURS, "<u4")
    for start in range(0, len(colours), _MANY_PX // 8):
        some = colours[start : start + _MANY_PX // 8]
        held, moved = moved_into_srgb(light_of(_codes_of(some.astype("<u4")[None])))
        table[some] = _numbers(lin_to_srgb8(held)) + moved * np.uint32(_MOVED)
    srgb8 = np.empty_like(codes)
    outside = 0
    for band in bands:
        found = table.take(_numbers(codes[band]))
        outside += int(np.count_nonzero(found >= _MOVED))
        srgb8[band] = _codes_of(found)
    return Developed(srgb8, None, outside / (codes.size // 3))


def _numbers(codes: NDArray[np.uint8]) -> NDArray[np.uint32]:
    """One number from 0 to 2**24 - 1 for each colour (rows, columns, 3)."""
    wide = cv2.cvtColor(np.ascontiguousarray(codes), cv2.COLOR_RGB2RGBA)
    return np.asarray(wide.view("<u4")[..., 0] & np.uint32(_COLOURS - 1), dtype=np.uint32)


def _codes_of(numbers: NDArray[np.uint32]) -> NDArray[np.uint8]:
    wide = np.ascontiguousarray(numbers)[..., None].view(np.uint8)
    return np.asarray(cv2.cvtColor(wide, cv2.COLOR_RGBA2RGB), dtype=np.uint8)
