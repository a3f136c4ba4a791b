"""Shading of folds and creases taken off where the print itself tells it apart, and left alone elsewhere."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance

__all__ = ["even_plain", "shading_beside"]

_SMOOTH_IN = 0.16
_PLAIN_SMOOTH_IN = 0.3
_MOST = 0.5
_LEAST_LIGHT = 0.004

Map = NDArray[np.float32]


def shading_beside(cloth_lin: Map, expected_lin: Map, *, ppi: float) -> Map:
    """The light (H, W) on cloth whose print is known, 1 being even: smooth, and never beyond half or double.

    `expected_lin`: the same cloth as its repeat says it should be. Fine differences are the cloth's own.
    """
    ratio = np.log(np.maximum(luminance(cloth_lin), _LEAST_LIGHT)) - np.log(
        np.maximum(luminance(expected_lin), _LEAST_LIGHT)
    )
    # Edges of motifs that lie a thread off would leave bright and dark lines.
    bound = 3 * max(float(np.median(np.abs(ratio))) * 1.4826, 0.03)
    return _smooth(np.clip(ratio, -bound, bound).astype(np.float32), sigma_px=_SMOOTH_IN * ppi)


def even_plain(cloth_lin: Map, *, ppi: float) -> Map:
    """Plain or evenly mottled cloth (H, W, 3) without slow changes of light.

    Only for cloth without motifs: flattening large motifs so leaves glowing middles.
    """
    logs = np.log(np.maximum(luminance(cloth_lin), _LEAST_LIGHT)).astype(np.float32)
    shading = _smooth(logs - np.float32(np.median(logs)), sigma_px=_PLAIN_SMOOTH_IN * ppi)
    return np.asarray(cloth_lin / shading[..., None], dtype=np.float32)


def _smooth(logs: Map, *, sigma_px: float) -> Map:
    """The exponential of a blur, made on a small copy as wide blurs are slow."""
    factor = max(1, int(sigma_px / 3))
    size = (max(2, logs.shape[1] // factor), max(2, logs.shape[0] // factor))
    small = cv2.resize(logs, size, interpolation=cv2.INTER_AREA)
    soft = cv2.GaussianBlur(small, (0, 0), sigma_px / factor, borderType=cv2.BORDER_REFLECT)
    wide = cv2.resize(soft, (logs.shape[1], logs.shape[0]), interpolation=cv2.INTER_LINEAR)
    return np.asarray(np.exp(np.clip(wide, -_MOST, _MOST)), dtype=np.float32)
