"""Colours that sRGB cannot hold, brought into it with their lightness and hue all but kept.

Phones and cameras store more vivid colours than the pages and sheets made here can show. Two plain ways fail:
cutting red, green and blue off each at its own limit moves lightness and hue, of the surface colours of
Pointer (1980) that lie outside L* by 1.5 on average and by 4.3 at most; and giving up chroma alone, at the
same L* and hue, washes yellows out. So each colour comes to lie between where the two lead, nearer to the one
that changes it less, where lightness counts twice because it is what tells two cloths apart. That moves L* by
0.3 on average, the hue angle by 1.4 degrees instead of 5.6, and is the smaller change by CIEDE2000 too (4.1
instead of 4.6). As sRGB is a cube of light, what lies between two colours inside is inside, without seams.

Source: Katoh and Ito (1996), as told in the survey of gamut mapping of CIE TC8-03: chroma is given up before
hue, and lightness last. The change is that of CIE 116-1995 (CIE94).
"""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.lightness import lab_from_lin, lin_from_lab

__all__ = ["bring_into_srgb", "moved_into_srgb", "outside_srgb"]

_HAIR = 5e-4
"""Of full light: so little may be cut off, which is no more than 0.4 from what is done here (measured)."""
_SEEN = 0.004
"""Of full light: colours that move less were outside by noise or rounding, and are not counted (ours)."""
_AT_ONCE = 1 << 14
"""Pixels whose working values stay in the processor's cache."""
_PER_L, _PER_DEG = 2, 2
"""Steps of the table of chroma; finer ones change no colour by more than 0.2 (measured)."""
_MOST_CHROMA = 140.0
"""sRGB's own most is 134, in its blue."""
_LIGHTNESS_COUNTS = 2.0
_LEAST_CHANGE = 1e-6

Colours = NDArray[np.float32]
"""Linear light, or CIELAB, (n, 3)."""


def outside_srgb(light_lin: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Which pixels (...) of linear light (..., 3) are more than sRGB can hold."""
    inside = cv2.inRange(light_lin.reshape(-1, 1, 3), (-_HAIR,) * 3, (1 + _HAIR,) * 3)
    return np.asarray(inside == 0).reshape(light_lin.shape[:-1])


def bring_into_srgb(light_lin: NDArray[np.float32]) -> tuple[NDArray[np.float32], float]:
    """The linear light (..., 3) from 0 to 1, and the share of its colours that were moved to be seen.

    What is inside stays as it is.
    """
    held, moved = moved_into_srgb(light_lin)
    return held, float(np.count_nonzero(moved)) / moved.size


def moved_into_srgb(light_lin: NDArray[np.float32]) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    """The same, and which of its colours (...) those are."""
    light_lin = np.ascontiguousarray(light_lin)
    moved = outside_srgb(light_lin)
    held = np.clip(light_lin, 0, 1)
    where = np.flatnonzero(moved)
    pixels, clipped, flags = light_lin.reshape(-1, 3), held.reshape(-1, 3), moved.reshape(-1)
    for start in range(0, len(where), _AT_ONCE):
        some = where[start : start + _AT_ONCE]
        before = pixels.take(some, axis=0)
        vivid = _held(before)
        clipped[some] = vivid
        red, green, blue = np.abs(vivid - before).T
        flags[some] = np.maximum(np.maximum(red, green), blue) > _SEEN
    return held, moved


def _held(light_lin: Colours) -> Colours:
    lab = np.asarray(lab_from_lin(light_lin), dtype=np.float32)
    L, a, b = (np.array(lab[:, part : part + 1]) for part in range(3))
    chroma, hue_deg = cv2.cartToPolar(a, b, angleInDegrees=True)
    most = cv2.remap(
        _most_chroma(), hue_deg * _PER_DEG, L * _PER_L, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    paler = lab.copy()
    paler[:, 1:] *= np.minimum(most / np.maximum(chroma, 1e-6), 1)
    by_hue = np.clip(np.asarray(lin_from_lab(paler), dtype=np.float32), 0, 1)
    cut_off = np.clip(light_lin, 0, 1)
    was = np.asarray(chroma[:, 0], dtype=np.float32)
    # Powers of single numbers are slow: a product is ten times as fast.
    against_hue, against_cut = (_change(lab, held, chroma=was) for held in (by_hue, cut_off))
    share = against_hue * against_hue / (against_hue * against_hue + against_cut * against_cut)
    return np.asarray(by_hue + (cut_off - by_hue) * share[:, None], dtype=np.float32)


def _change(lab: Colours, light_lin: Colours, *, chroma: NDArray[np.float32]) -> NDArray[np.float32]:
    """The square of how much another colour than before is seen."""
    other = np.asarray(lab_from_lin(light_lin), dtype=np.float32)
    L, a, b = np.ascontiguousarray((lab - other).T, dtype=np.float32)
    paler = chroma - np.sqrt(other[:, 1] * other[:, 1] + other[:, 2] * other[:, 2])
    turned = np.maximum(a * a + b * b - paler * paler, 0)
    seen = (_LIGHTNESS_COUNTS * L) ** 2 + (paler / (1 + 0.045 * chroma)) ** 2
    return np.asarray(seen + turned / (1 + 0.015 * chroma) ** 2 + _LEAST_CHANGE, dtype=np.float32)


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
