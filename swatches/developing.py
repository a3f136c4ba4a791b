"""Codes become light: colours brought into sRGB, transparency laid on white, in all the bits there were."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8
from palettes.gamut import bring_into_srgb
from swatches.spaces import SRGB_SPACE, Codes, Space, light_by_space

__all__ = ["Developed", "develop"]

_BAND_ROWS = 128


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
