"""The scale of a photograph from the ticks of a ruler in it."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.camera_tilt import tilt_along_deg
from swatches.clicks import check_inside
from swatches.measured_scale import MeasuredScale, ScaleError
from swatches.ruler_ticks import follow_ticks
from swatches.swatch import check_ppi
from swatches.tick_classes import doubt_fineness
from swatches.tick_lengths import doubt_tick

__all__ = ["RulerTicks", "scale_from_ticks"]

_OFF_IN_DOUBT = 0.6
"""Ours: millimetres taken for 1/16 in make all lengths 59 % too long, and eighths so taken half as long."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class RulerTicks:
    """A line through a ruler's ticks in the photograph, from one place to another, and their spacing."""

    first_px: Point
    second_px: Point
    apart_in: Fraction = Fraction(1, 16)
    """From one tick to the next: 1/16 in, or Fraction(10, 254) for millimetres."""


def scale_from_ticks(photo_srgb8: NDArray[np.uint8], ticks: RulerTicks) -> MeasuredScale:
    """The scale at the middle of a ruler whose ticks are followed one by one.

    Raises: PointError for points outside the picture; ScaleError where no even row of ticks is seen.
    """
    for point in (ticks.first_px, ticks.second_px):
        check_inside(point, width_px=photo_srgb8.shape[1], height_px=photo_srgb8.shape[0])
    followed = follow_ticks(photo_srgb8, ticks.first_px, ticks.second_px)
    if followed is None:
        raise ScaleError(
            "No even row of ticks was found along the line",
            mend="Mark a line across the ruler's shortest ticks, or two places and their distance.",
        )
    ppi = check_ppi(followed.pitch_px / float(ticks.apart_in))
    tilted = f" They widen by {followed.change:.1%}: the camera was tilted." if followed.change > 0.02 else ""
    doubt = doubt_tick(followed.long_every, ticks.apart_in) or doubt_fineness(
        followed.reaches, ticks.apart_in
    )
    off = max(0.003, followed.change / 2, _OFF_IN_DOUBT if doubt else 0)
    return MeasuredScale(
        ppi,
        f"Scale: {ppi:.4g} pixels per inch beside the ruler, from {followed.count} of its ticks."
        f"{tilted}{doubt} True all over only if the camera looked straight down.",
        off=off,
        tilt_deg=tilt_along_deg(
            followed.change,
            length_px=followed.count * followed.pitch_px,
            width_px=photo_srgb8.shape[1],
            height_px=photo_srgb8.shape[0],
        ),
    )
