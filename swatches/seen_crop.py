"""A piece of cloth marked in the photograph itself, where it may lie turned and at a slant."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swatches.card import StraightView
from swatches.crop import Crop, CropError
from swatches.resampling import map_points

__all__ = ["SeenCrop", "straight_crop", "to_view_px"]

Point = tuple[float, float]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SeenCrop:
    """Two opposite corners of the piece to use, in pixels of the upright photograph."""

    first_px: Point
    second_px: Point


def straight_crop(
    crop: Crop | SeenCrop, *, to_cloth_px: Callable[[Floats], Floats], width_px: int, height_px: int
) -> Crop:
    """The piece in pixels of the straightened picture of that size; what lies beyond it is left out.

    Raises: CropError when none of a piece marked in the photograph lies in the straightened picture.
    """
    if isinstance(crop, Crop):
        return crop
    at = to_cloth_px(np.array([crop.first_px, crop.second_px], dtype=np.float64))
    left, top = np.maximum(at.min(axis=0), 0)
    right, low = np.minimum(at.max(axis=0), (width_px, height_px))
    if not (right > left and low > top):
        raise CropError(
            "The marked piece of cloth lies outside the part of the photograph that can be measured",
            mend="Mark cloth nearer to the thing of known size.",
        )
    return Crop(float(left), float(top), float(right), float(low))


def to_view_px(view: StraightView) -> Callable[[Floats], Floats]:
    """The map from pixels of the photograph to those of a card's straightened view."""
    to_plane = np.asarray(np.linalg.inv(view.plane.to_photo), dtype=np.float64)
    return lambda photo_px: (map_points(to_plane, photo_px) - (view.left_in, view.top_in)) * view.ppi
