"""Whether a flash or a lamp is mirrored in cloth: a spot where even what is darkest is pale."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["has_glare"]

_ACROSS_IN = 0.5
"""Size of the places whose darkest part is looked at: most prints have something dark in each (ours)."""
_ACROSS_PX = 13
_LEAST_PEAK, _LEAST_OF_USUAL = 0.12, 0.8
_OUTSHINES = 1.12
_FADES, _SMALLEST, _LARGEST = 0.62, 0.002, 0.4
_MARKED = 0.15
"""Share of the contrast of the print that is seen through glare, which adds light alike to dark and pale.
Measured: glare leaves 0.2 and more, a piece of white cloth or backdrop 0.02 to 0.12."""
_LONE_PEAK, _LONE_OF_USUAL, _LONE, _LONE_FADES, _LONE_SMALLEST = 0.2, 3.0, 0.95, (0.12, 0.4), 0.003
_LONE_MARKED, _LONE_LIVELY = 0.2, 0.6
"""On dark prints with white in them a spot need not outshine the white. Measured: of all spots so plain,
glare is a single one, fades by 0.21 to 0.3 and keeps 0.7 of the contrast nearby; white motifs are many, or
keep 0.25 of it at most."""

Floats = NDArray[np.float32]


def has_glare(cloth_lin: Floats, *, ppi: float) -> bool:
    """Whether even the darkest, most coloured places of one soft-edged spot of cloth (H, W, 3) are pale.

    Glare adds white light to every channel. Pale motifs do so too, but they end at an edge, where a spot of
    glare fades, so that much more of it is half as bright than nearly as bright; and nothing is seen on them,
    where the print is still seen through glare.
    """
    factor = max(1, round(ppi * _ACROSS_IN / (_ACROSS_PX - 1)))
    size = (max(4, cloth_lin.shape[1] // factor), max(4, cloth_lin.shape[0] // factor))
    pale = cv2.resize(cloth_lin, size, interpolation=cv2.INTER_AREA).min(axis=2).astype(np.float32)
    around = np.ones((_ACROSS_PX, _ACROSS_PX), np.uint8)
    darkest = cv2.erode(pale, around)
    soft = cv2.GaussianBlur(darkest, (0, 0), 3)
    usual = float(np.median(soft))
    over = soft - usual
    peak = float(over.max())
    spot, core = over > 0.5 * peak, over > 0.7 * peak
    if peak < _LEAST_PEAK or not spot.any() or spot.all():
        return False
    high, half = float((over > 0.75 * peak).mean()), float((over > 0.35 * peak).mean())
    fades = high / max(half, 1e-9)
    if not _SMALLEST < high < _LARGEST or fades > _FADES:
        return False
    marked = _range(pale[core]) / max(_range(pale[~spot]), 1e-3)
    if peak > _LEAST_OF_USUAL * usual and marked > _MARKED and _outshines(pale, spot):
        return True
    if peak < max(_LONE_PEAK, _LONE_OF_USUAL * usual) or high < _LONE_SMALLEST or marked < _LONE_MARKED:
        return False
    lively = cv2.dilate(pale, around) - darkest
    return bool(
        _LONE_FADES[0] < fades < _LONE_FADES[1]
        and np.median(lively[core]) > _LONE_LIVELY * np.median(lively[~spot])
        and _is_one(spot)
    )


def _outshines(pale: Floats, spot: NDArray[np.bool_]) -> bool:
    """Whether the spot's brightest places are brighter than the brightest of the cloth elsewhere."""
    return bool(np.percentile(pale[spot], 90) > _OUTSHINES * np.percentile(pale[~spot], 97))


def _range(pale: Floats) -> float:
    return float(np.subtract(*np.percentile(pale, (95, 5))))


def _is_one(spot: NDArray[np.bool_]) -> bool:
    """Whether nearly all of it hangs together."""
    _, _, found, _ = cv2.connectedComponentsWithStats(spot.astype(np.uint8))
    areas = found[1:, cv2.CC_STAT_AREA]
    return bool(areas.max() > _LONE * areas.sum())
