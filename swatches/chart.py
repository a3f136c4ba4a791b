"""A 24-patch colour chart in the photograph: the best colour a phone can be brought to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.difference import ciede2000
from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.chart_colours import COLUMNS, ROWS, Edition, chart_light
from swatches.clicks import check_inside
from swatches.grey_curve import GreyCurve, fit_grey_curve
from swatches.resampling import map_points

__all__ = ["ChartColour", "ChartError", "fit_chart", "patches_to_px", "read_chart"]

Point = tuple[float, float]
Floats = NDArray[np.float64]

_FIRST_GREY = 18
_PROBE = 0.22
"""Half the side of the part of a patch that is read, in patches: clear of its border."""
_MOST_MISFIT = 4.0
"""CIEDE2000, mean of the 24. Measured (72 charts as in benchmarks.chart): in even light they come to 1.7, on
a slope of light to 3.2, with a shadow's edge on them to 1.4 to 5.8. All ten that are refused lie half in
shadow, and would bring cloth in the light beside them to 5.8 from its colour in the mean, 3.6 at best; those
that are not in doubt, up to 2.5, bring it to 3.2 in the mean."""


class ChartError(ValueError):
    """A chart that cannot be read. Carries how to mend it."""

    def __init__(self, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{why}.")


@dataclass(frozen=True, slots=True, eq=False)
class ChartColour:
    """Grey curve first, then a root-polynomial of degree 2 (6 terms) to linear sRGB."""

    curve: GreyCurve
    matrix: Floats
    """(3, 6)"""
    misfit: float
    """How far the chart's own patches stay from their colours: CIEDE2000, mean of the 24."""

    def light_of(self, stored_lin16: NDArray[np.uint16]) -> NDArray[np.float32]:
        """The cloth's own light (..., 3) of stored values; may lie outside 0 to 1 for vivid colours."""
        return self.mend(self.curve.light_of(stored_lin16))

    def mend(self, light_lin: NDArray[np.float32]) -> NDArray[np.float32]:
        """Light that has gone through a grey curve already, brought to the chart's colours."""
        r, g, b = (np.clip(light_lin[..., i], 0, None) for i in range(3))
        matrix = self.matrix.astype(np.float32)
        made = np.empty(light_lin.shape, np.float32)
        terms = (r, g, b, np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b))
        for i in range(3):
            made[..., i] = sum(weight * term for weight, term in zip(matrix[i], terms, strict=True))
        return made


def patches_to_px(corners_px: Sequence[Sequence[float]]) -> Floats:
    """The homography (3, 3) from the field of patches, one unit a patch, to the pixels of its four corners.

    Corners: round the field from dark skin, where the field has its origin.
    """
    field = np.array([[0, 0], [COLUMNS, 0], [COLUMNS, ROWS], [0, ROWS]], dtype=np.float32)
    return np.asarray(cv2.getPerspectiveTransform(field, np.array(corners_px, dtype=np.float32)), np.float64)


def read_chart(photo_srgb8: NDArray[np.uint8], corners_px: Sequence[Point]) -> Floats:
    """What the camera stored for the 24 patches, linear (24, 3), from the corners of the field of patches.

    Corners: outer corners of the dark skin, bluish green, black and white patches, in that order: round
    the chart, beginning at dark skin. Raises: PointError; ChartError.
    """
    if len(corners_px) != 4:
        raise ChartError(f"The chart's field has 4 corners, not {len(corners_px)}", mend="Mark all four.")
    rows, columns = photo_srgb8.shape[:2]
    for corner in corners_px:
        check_inside(corner, width_px=columns, height_px=rows)
    to_photo = patches_to_px(corners_px)
    probe = np.linspace(-_PROBE, _PROBE, 9)
    x, y = np.meshgrid(probe, probe)
    patches = []
    for i in range(COLUMNS * ROWS):
        middle = (i % COLUMNS + 0.5, i // COLUMNS + 0.5)
        spots = map_points(to_photo, np.stack([x.ravel(), y.ravel()], 1) + middle)
        at = np.clip(spots.astype(int), 0, (columns - 1, rows - 1))
        patches.append(np.median(srgb8_to_lin(photo_srgb8[at[:, 1], at[:, 0]]), axis=0))
    return np.array(patches, dtype=np.float64)


def fit_chart(
    stored_lin: ArrayLike, *, edition: Edition = "after 2014", most_misfit: float = _MOST_MISFIT
) -> ChartColour:
    """The correction that brings stored values of the 24 patches, linear (24, 3), to the chart's colours.

    `most_misfit`: CIEDE2000, mean of the 24, over which it is refused.
    Root-polynomials keep colours when the exposure changes, but not through a tone curve: hence the
    curve through the six greys before. Degree 3 overfits 24 patches (measured).
    Source: Finlayson, Mackiewicz and Hurlbert (2015), IEEE Trans. Image Processing 24(5).
    Raises: ChartError when the patches do not look like the chart.
    """
    stored = np.clip(np.asarray(stored_lin, dtype=np.float64).reshape(24, 3), 0, 1)
    wanted = chart_light(edition)
    greys = slice(_FIRST_GREY, 24)
    if not (np.diff(stored[greys].mean(axis=1)) < 0).all():
        raise ChartError(
            "The chart's grey row does not go from white to black",
            mend="Mark the corners round the chart, beginning at the dark skin patch.",
        )
    if stored.max() > 0.995:
        raise ChartError(
            "The chart's white patch is as white as the camera can store",
            mend="Photograph it a little darker.",
        )
    curve = fit_grey_curve(stored[greys], np.clip(wanted[greys], 0, None))
    light = curve.light_of((stored * 65535).round().astype(np.uint16)).astype(np.float64)
    terms = _roots(light)
    # Each patch counts by its own lightness step, not by its light, or the dark ones would not count.
    weight = 1 / (0.05 + wanted.mean(axis=1, keepdims=True)) ** (2 / 3)
    matrix = np.linalg.lstsq(terms * weight, wanted * weight, rcond=None)[0].T
    left = ciede2000(lab_from_lin(np.clip(terms @ matrix.T, 0, None)), lab_from_lin(np.clip(wanted, 0, None)))
    misfit = float(left.mean())
    if misfit > most_misfit:
        raise ChartError(
            f"The chart's patches stay {misfit:.0f} steps of colour difference from their own colours, where "
            "3 is usual: part of it lies in shadow, or the marked patches are not a 24-patch chart's",
            mend="Photograph it in even light, or mark the outer corners of its field of patches again.",
        )
    return ChartColour(curve, matrix, misfit)


def _roots(light: Floats) -> Floats:
    r, g, b = np.clip(light, 0, None).T
    return np.stack([r, g, b, np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)], axis=1)
