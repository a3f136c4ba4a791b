"""How many pixels of a photograph cover one inch of cloth, and how far that can be trusted.

The density a file claims is never used: cameras make it up.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import hypot, isfinite

from swatches.clicks import CLICK_PX, check_inside
from swatches.measured_scale import MeasuredScale, ScaleError
from swatches.swatch import LEAST_PPI, MOST_PPI

__all__ = [
    "CardCorners",
    "ShownAcross",
    "TwoPoints",
    "TypedPpi",
    "scale_from_across",
    "scale_from_points",
    "scale_from_ppi",
]

_LEAST_APART_PX = 20.0
_LONGEST_IN = 240
_EDGE_IN = 0.25
"""How far off either end of a length is that was measured by hand up to the edge of a picture (ours)."""
_MOST_OFF = 0.5
_TILTED = 0.035
"""What a camera tilted by up to 25 degrees costs 70 mm from two points, at the median (simulated)."""

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class TypedPpi:
    """The maker knows the pixels per inch of cloth, as for a flatbed scan."""

    ppi: float


@dataclass(frozen=True, slots=True)
class TwoPoints:
    """Two places in the photograph whose distance on the cloth was measured, as along a ruler.

    Pixels count from the top left corner of the picture, right and down; a pixel's centre is at a half.
    """

    first_px: Point
    second_px: Point
    apart_in: Fraction


@dataclass(frozen=True, slots=True)
class ShownAcross:
    """How much cloth the photograph, or the piece of it that is used, shows from left to right."""

    across_in: Fraction


@dataclass(frozen=True, slots=True)
class CardCorners:
    """Where the four corners of a bank-card-size card lie in the photograph, in any order.

    Rounded corners count where their two edges would meet. Pixels count as in TwoPoints.
    """

    corners_px: tuple[Point, Point, Point, Point]


def scale_from_ppi(ppi: float) -> MeasuredScale:
    """The scale a maker typed.

    Raises: ScaleError for a density at which no cloth is photographed.
    """
    return MeasuredScale(
        _plausible(ppi, mend="Count the pixels that one inch of the cloth covers, and type that."),
        f"Scale: {ppi:g} pixels per inch, as typed; only as true as that number.",
    )


def scale_from_points(points: TwoPoints, *, width_px: int, height_px: int) -> MeasuredScale:
    """The scale of a photograph of that size, taken square-on, from a distance known on the cloth.

    Raises: PointError for points outside the picture; ScaleError for points that coincide or are no
        distance apart on the cloth, and for a density at which no cloth is photographed.
    """
    first, second = points.first_px, points.second_px
    for point in (first, second):
        check_inside(point, width_px=width_px, height_px=height_px)
    apart_px = hypot(second[0] - first[0], second[1] - first[1])
    if apart_px < _LEAST_APART_PX:
        raise ScaleError(
            f"The two points are {apart_px:.3g} pixels apart; {_LEAST_APART_PX:g} are needed",
            mend="Mark two points as far apart as the ruler in the picture allows.",
        )
    apart_in = float(points.apart_in)
    if not 0 < apart_in <= _LONGEST_IN:
        raise ScaleError(
            f"The two points cannot be {apart_in:g} inches apart on the cloth",
            mend="Give the distance between the two points as read from the ruler, in inches.",
        )
    ppi = _plausible(apart_px / apart_in, mend="Check both points and the distance between them.")
    # Each end spreads by CLICK_PX along the line; twice the joint spread covers 19 of 20.
    share = 2 * hypot(CLICK_PX, CLICK_PX) / 2 / apart_px
    return MeasuredScale(
        ppi,
        f"Scale: {ppi:.4g} pixels per inch, from two points {apart_in:g} inches apart; clicking leaves "
        f"±{share:.1%}. True only if the camera looked straight down: with a tilt it is several per cent "
        "off away from the two points.",
        off=max(share, _TILTED),
    )


def scale_from_across(shown: ShownAcross, *, width_px: float) -> MeasuredScale:
    """The scale of a photograph, or a piece of one, that is so many pixels wide, taken square-on.

    Raises: ScaleError for what is no length of cloth, and for a density at which no cloth is photographed.
    Example: scale_from_across(ShownAcross(Fraction(12)), width_px=3600).ppi -> 300.0
    """
    across_in = float(shown.across_in)
    if not 0 < across_in <= _LONGEST_IN:
        raise ScaleError(
            f"A photograph cannot show {across_in:g} inches of cloth from left to right",
            mend='Say how much cloth it shows from its left edge to its right one, such as "12 in".',
        )
    ppi = width_px / across_in
    if not LEAST_PPI <= ppi <= MOST_PPI:
        raise ScaleError(
            f"{across_in:g} inches of cloth over {width_px:.0f} pixels are {ppi:.4g} pixels per inch; "
            f"{LEAST_PPI:g} to {MOST_PPI:g} are possible",
            mend="Check how much cloth is seen from left to right.",
        )
    off = min(hypot(hypot(_EDGE_IN, _EDGE_IN) / across_in, _TILTED), _MOST_OFF)
    return MeasuredScale(
        ppi,
        f"Scale: {ppi:.4g} pixels per inch, as {across_in:.4g} inches of cloth are said to be seen from left "
        f"to right; nothing in the photograph bears it out. Take it as ±{off:.0%}, if each end is within a "
        "quarter of an inch and the camera looked about straight down.",
        off=off,
    )


def _plausible(ppi: float, *, mend: str) -> float:
    if not isfinite(ppi) or not LEAST_PPI <= ppi <= MOST_PPI:
        raise ScaleError(
            f"{ppi:.4g} pixels per inch of cloth is outside {LEAST_PPI:g} to {MOST_PPI:g}", mend=mend
        )
    return float(ppi)
