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
    ratio = _logs(cloth_lin)
    ratio -= _logs(expected_lin)
    # Edges of motifs that lie a thread off would leave bright and dark lines.
    bound = 3 * max(float(np.median(np.abs(ratio))) * 1.4826, 0.03)
    return _smooth(np.clip(ratio, -bound, bound, out=ratio), sigma_px=_SMOOTH_IN * ppi)


def even_plain(cloth_lin: Map, *, ppi: float) -> Map:
    """Plain or evenly mottled cloth (H, W, 3) without slow changes of light.

    Only for cloth without motifs: flattening large motifs so leaves glowing middles.
    """
    logs = _logs(cloth_lin)
    logs -= np.float32(np.median(logs))
    shading = _smooth(logs, sigma_px=_PLAIN_SMOOTH_IN * ppi)
    return np.asarray(cloth_lin / shading[..., None], dtype=np.float32)


def _logs(light_lin: Map) -> Map:
    """Logarithm of its value (H, W); in place, for pictures are large."""
    logs = np.asarray(luminance(light_lin), dtype=np.float32)
    np.maximum(logs, np.float32(_LEAST_LIGHT), out=logs)
    return np.asarray(np.log(logs, out=logs))


def _smooth(logs: Map, *, sigma_px: float) -> Map:
    """The exponential of a blur, made on a small copy as wide blurs are slow."""
    factor = max(1, int(sigma_px / 3))
    size = (max(2, logs.shape[1] // factor), max(2, logs.shape[0] // factor))
    small = cv2.resize(logs, size, interpolation=cv2.INTER_AREA)
    soft = cv2.GaussianBlur(small, (0, 0), sigma_px / factor, borderType=cv2.BORDER_REFLECT)
    wide = np.asarray(
        cv2.resize(soft, (logs.shape[1], logs.shape[0]), interpolation=cv2.INTER_LINEAR), dtype=np.float32
    )
    np.clip(wide, -_MOST, _MOST, out=wide)
    return np.asarray(np.exp(wide, out=wide))
