"""Colours that sRGB cannot hold, brought into it with their lightness kept and hardly any change of hue.

Phones and cameras store more vivid colours than the pages and sheets made here can show. Cutting red, green
and blue off each at its own limit moves lightness and hue: of the surface colours of Pointer (1980) that lie
outside, L* by 1.5 on average and by 4.3 at most, the hue angle by 5.6 degrees. Lightness is what tells two
cloths apart, so here it stays and chroma gives way; the colour difference is no larger for that (measured:
4.3 against 4.6, CIEDE2000).

Two ways lead there, and each colour takes the one that leaves it more chroma: straight towards grey in
CIELAB, which keeps the hue angle, and straight towards grey in linear light, where sRGB is a cube. In CIELAB
it is bent inwards near yellow, and a vivid yellow would lose nearly all of its colour the first way.

Source: Katoh and Ito (1996), as told in the survey of gamut mapping of CIE TC8-03: changes of chroma are
accepted before those of hue, and those of lightness last.
"""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance
from palettes.lightness import lab_from_lin, lin_from_lab

__all__ = ["bring_into_srgb", "outside_srgb"]

_HAIR = 1e-4
"""Of full light: less than this outside is rounding, a third of an 8-bit step where those are finest."""
_AT_ONCE = 1 << 14
"""Pixels whose working values stay in the processor's cache."""
_PER_L, _PER_DEG = 2, 2
"""Steps of the table of chroma; finer ones change no colour by more than 0.1 (measured)."""
_MOST_CHROMA = 140.0
"""sRGB's own most is 134, in its blue."""

Colours = NDArray[np.float32]
"""Linear light (n, 3) of Rec. 709 primaries."""


def outside_srgb(light_lin: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Which pixels (H, W) of linear light (H, W, 3) are more than sRGB can hold."""
    least, most = _ends(light_lin)
    outside: NDArray[np.bool_] = (least < -_HAIR) | (most > 1 + _HAIR)
    return outside


def bring_into_srgb(light_lin: Colours) -> Colours:
    """The colours (n, 3) from 0 to 1, with their luminance and as much of their chroma as sRGB can hold.

    Lighter than white becomes white, darker than black black. What is inside stays as it is.
    """
    held = np.empty_like(light_lin)
    for start in range(0, len(held), _AT_ONCE):
        held[start : start + _AT_ONCE] = _held(light_lin[start : start + _AT_ONCE])
    return held


def _held(light_lin: Colours) -> Colours:
    lab = np.asarray(lab_from_lin(light_lin), dtype=np.float32)
    L, a, b = (np.array(lab[:, part : part + 1]) for part in range(3))
    chroma, hue_deg = cv2.cartToPolar(a, b, angleInDegrees=True)
    most = cv2.remap(
        _most_chroma(), hue_deg * _PER_DEG, L * _PER_L, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    kept = np.minimum(most, chroma)
    lab[:, 1:] *= kept / np.maximum(chroma, 1e-6)
    by_hue = _into_cube(np.asarray(lin_from_lab(lab), dtype=np.float32))
    straight = _into_cube(light_lin)
    _, a, b = lab_from_lin(straight).T
    paler = kept[:, 0] ** 2 < a * a + b * b
    return np.where(paler[:, None], straight, by_hue)


def _into_cube(light_lin: Colours) -> Colours:
    """Every colour moved straight towards the grey of its own luminance until it lies inside."""
    grey = np.clip(luminance(light_lin), 0, 1)
    least, most = _ends(light_lin)
    share = np.minimum(grey / np.maximum(grey - least, 1e-9), (1 - grey) / np.maximum(most - grey, 1e-9))
    grey = grey[:, None]
    inside: Colours = np.clip(grey + np.minimum(share, 1)[:, None] * (light_lin - grey), 0, 1)
    return inside


def _ends(light_lin: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """The least and the most of red, green and blue."""
    red, green, blue = light_lin[..., 0], light_lin[..., 1], light_lin[..., 2]
    return np.minimum(np.minimum(red, green), blue), np.maximum(np.maximum(red, green), blue)


@cache
def _most_chroma() -> NDArray[np.float32]:
    """Read-only table of the most C*ab of sRGB, by L* (rows) and hue angle (columns)."""
    L = np.arange(100 * _PER_L + 1) / _PER_L
    hue = np.radians(np.arange(360 * _PER_DEG + 1) / _PER_DEG)
    L, hue = np.meshgrid(L, hue, indexing="ij")
    chroma, step = np.zeros_like(L), _MOST_CHROMA / 2
    while step > 0.01:
        tried = chroma + step
        light = lin_from_lab(np.stack([L, tried * np.cos(hue), tried * np.sin(hue)], axis=-1))
        chroma += step * ~outside_srgb(light.astype(np.float32))
        step /= 2
    table = chroma.astype(np.float32)
    table.setflags(write=False)
    return table
