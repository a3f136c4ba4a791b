"""A hint of how the sewn block looks: ditches at the seams, lofted patches, turned edges of appliqué.

For the eye only. Readings and means never see it.
"""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from preview.frame import Frame

__all__ = ["sewn_view"]

_Picture = NDArray[np.uint8]
_Heights = NDArray[np.float32]

_DITCH_IN = 1 / 16
"""How far from a seam the cloth rises from it."""
_LOFT_IN = 0.6
"""How far from a seam a quilted patch keeps rising."""
_SOFT_IN = 0.12
_DITCH_RISE_IN = 0.010
_LOFT_RISE_IN = 0.045
_EDGE_RISE_IN = 0.020
"""Two layers of folded cloth."""
_SLOPE_SHADE = 0.9
"""How much a slope of 1 towards the light brightens. All of these are ours, chosen by eye."""


def sewn_view(frame: Frame, picture_srgb8: _Picture, *, strength: float = 1.0) -> _Picture:
    """The picture lit from the top left over the relief of its seams.

    `strength` 0 leaves it as it is; 2 is twice the relief. Light is multiplied, so colours keep their hue.
    Raises: ValueError for a picture of another size or a strength outside 0 to 3.
    """
    if picture_srgb8.shape != (frame.height_px, frame.width_px, 3):
        raise ValueError(f"the picture is {picture_srgb8.shape}, not of the frame's size")
    if not 0 <= strength <= 3:
        raise ValueError(f"strength must be from 0 to 3, got {strength:g}")
    relief = _relief(frame) * np.float32(strength * frame.ppi)
    down, across = np.gradient(relief) if min(relief.shape) > 1 else (np.zeros_like(relief),) * 2
    # Rising to the right or downwards faces the light, which comes from the top left.
    shade = np.exp(np.clip(_SLOPE_SHADE * (across + down) / np.sqrt(2), -0.7, 0.4), dtype=np.float32)
    return lin_to_srgb8(srgb8_to_lin(picture_srgb8) * shade[..., None])


def _relief(frame: Frame) -> _Heights:
    """Height of the cloth at every pixel, in inches."""
    labels = frame.labels
    inside = np.ones(labels.shape, np.uint8)
    for axis in (0, 1):
        near, far = (np.s_[:-1], np.s_[1:]) if axis == 0 else (np.s_[:, :-1], np.s_[:, 1:])
        differ = labels[near] != labels[far]
        inside[near][differ] = 0
        inside[far][differ] = 0
    away = np.asarray(cv2.distanceTransform(inside, cv2.DIST_L2, cv2.DIST_MASK_5), np.float32)
    # Where there is no seam at all, the distance is endless.
    away = np.minimum(away, np.float32(sum(labels.shape))).astype(np.float32) / np.float32(frame.ppi)
    ditch = _DITCH_RISE_IN * (1 - np.exp(-away / np.float32(_DITCH_IN)))
    # Batting has no creases where a patch is highest.
    loft = cv2.GaussianBlur(
        _LOFT_RISE_IN * (1 - np.exp(-away / np.float32(_LOFT_IN))),
        (0, 0),
        max(0.5, frame.ppi * _SOFT_IN),
        borderType=cv2.BORDER_REPLICATE,
    )
    index_of = np.zeros(int(frame.scene.numbers.max()) + 1, bool)
    index_of[frame.scene.numbers] = frame.scene.stitched
    raised = index_of[labels].astype(np.float32)
    # Appliqué lies over a flat ground: a rounded step at its edge, no ditch.
    step = _EDGE_RISE_IN * raised * (1 - np.exp(-(away + 0.5 / frame.ppi) / np.float32(_DITCH_IN / 2)))
    relief = np.where(raised > 0, step + loft, loft + ditch).astype(np.float32)
    return np.asarray(cv2.GaussianBlur(relief, (0, 0), max(0.5, frame.ppi / 120)), np.float32)
