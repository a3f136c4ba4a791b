"""The part of a picture that is cloth and nothing else."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, isfinite
from typing import Literal

__all__ = ["Box", "Crop", "CropError", "crop_in_px", "largest_beside"]

_LEAST_SIDE_PX = 8
_SLACK_PX = 0.75

Number = int | float | Fraction
Box = tuple[int, int, int, int]
"""Left, top, right and bottom in whole pixels."""


class CropError(ValueError):
    """A crop that cannot be cut. Carries how to mend it."""

    def __init__(self, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{why}.")


@dataclass(frozen=True, slots=True)
class Crop:
    """Left, top, right and bottom of what to keep, from the top left of the (straightened) picture."""

    left: Number
    top: Number
    right: Number
    bottom: Number
    unit: Literal["px", "in"] = "px"


def crop_in_px(crop: Crop, *, ppi: float, width_px: float, height_px: float) -> Box:
    """The crop in whole pixels (left, top, right, bottom) of a picture of that size and density.

    Edges go to the nearest pixel; one that runs up to 3/4 pixel over is taken for the edge of the picture.
    Raises: CropError for edges in the wrong order, outside the picture or too close together.
    """
    sides = [float(side) for side in (crop.left, crop.top, crop.right, crop.bottom)]
    if crop.unit not in ("px", "in") or not all(isfinite(side) for side in sides):
        raise CropError(
            f"The crop {sides} is no rectangle", mend="Give left, top, right and bottom as numbers."
        )
    left, top, right, bottom = (side * (ppi if crop.unit == "in" else 1) for side in sides)
    if right <= left or bottom <= top:
        raise CropError(
            f"The crop's right or bottom edge does not lie beyond its left or top one: {sides}",
            mend="Give left, top, right, bottom with right beyond left and bottom below top.",
        )
    if min(left, top) < -_SLACK_PX or right > width_px + _SLACK_PX or bottom > height_px + _SLACK_PX:
        raise CropError(
            f"The crop reaches outside the picture of {_size_text(crop.unit, ppi, width_px, height_px)}",
            mend="Keep the crop inside the picture.",
        )
    box = (
        max(round(left), 0),
        max(round(top), 0),
        min(round(right), int(width_px)),
        min(round(bottom), int(height_px)),
    )
    if min(box[2] - box[0], box[3] - box[1]) < _LEAST_SIDE_PX:
        raise CropError(
            f"The crop is less than {_LEAST_SIDE_PX} pixels wide or high", mend="Keep more of the cloth."
        )
    return box


def largest_beside(thing_px: tuple[float, float, float, float], *, width_px: int, height_px: int) -> Box:
    """The largest part of a picture that lies wholly on one of the four sides of a thing in it.

    `thing_px`: its left, top, right and bottom. Empty where the thing covers the picture.
    """
    left, right = (min(max(x, 0), width_px) for x in (floor(thing_px[0]), ceil(thing_px[2])))
    top, bottom = (min(max(y, 0), height_px) for y in (floor(thing_px[1]), ceil(thing_px[3])))
    sides = (
        (0, 0, left, height_px),
        (right, 0, width_px, height_px),
        (0, 0, width_px, top),
        (0, bottom, width_px, height_px),
    )
    return max(sides, key=lambda box: (box[2] - box[0]) * (box[3] - box[1]))


def _size_text(unit: str, ppi: float, width_px: float, height_px: float) -> str:
    if unit == "in":
        return f"{width_px / ppi:.2f} x {height_px / ppi:.2f} inches"
    return f"{width_px:.0f} x {height_px:.0f} pixels"
