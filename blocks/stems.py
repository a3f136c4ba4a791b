"""Bias stems: a strip bent along a curve, how hard the bend pulls its edges, and how wide to cut it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import floor, hypot, inf, pi, radians, sqrt, tau
from typing import Literal

from blocks.curves import ExactPoint, Segment, Stroke, heading
from blocks.faults import Fault
from blocks.lengths import inches_text

__all__ = [
    "FOLDS",
    "Fold",
    "Stem",
    "cut_width",
    "edge_strain",
    "stem_faults",
    "stem_notes",
    "tightest_radius",
]

Fold = Literal["two edges to the middle", "tube on a bar", "raw edges under", "folded double"]

_WIDTHS: dict[Fold, tuple[int, Fraction, str]] = {
    "two edges to the middle": (2, Fraction(1, 8), "twice the finished width and 1/8 in of slack"),
    "tube on a bar": (
        2,
        Fraction(1, 2),
        "twice the finished width and 1/2 in for the seam, trimmed after sewing",
    ),
    "raw edges under": (1, Fraction(1, 2), "the finished width and 1/2 in to fold under"),
    "folded double": (4, Fraction(0), "four times the finished width"),
}
"""Times the finished width, inches more, in words.

Source: common practice of the trade; the rules contradict each other because they fold differently.
"""

FOLDS: dict[Fold, str] = {fold: words for fold, (_, _, words) in _WIDTHS.items()}
"""How a stem may be folded, and its cutting rule in words."""

EASY_STRAIN = 0.10
"""Up to here cotton bias is taken to bend easily. Ours: no published limit was found."""
HOPEFUL_STRAIN = 0.20
"""Above here a shape cut to the curve is the better choice. Ours: no published limit was found."""

_KINK_DEG = 5.0
_NARROWEST_IN = Fraction(1, 8)
_ROUND_IT = "Round the corner with a curve, or write two stems that meet under something."
_STEPS = 64


@dataclass(frozen=True, slots=True)
class Stem:
    """A bias strip along a centre line; the line is what shows, the tucks go on beyond its ends."""

    centre: Stroke
    width_in: Fraction
    """Finished."""
    start_tuck_in: Fraction
    """How far the strip goes on under something, or into a seam; 0 where the end is turned under."""
    end_tuck_in: Fraction
    fold: Fold


def cut_width(finished_width_in: Fraction, *, fold: Fold) -> Fraction:
    """How wide to cut the strip of a stem, by the trade's rule for its way of folding.

    Example: cut_width(Fraction(1, 4), fold="two edges to the middle") -> Fraction(5, 8)
    """
    times, more_in, _ = _WIDTHS[fold]
    return times * finished_width_in + more_in


def edge_strain(finished_width_in: Fraction, radius_in: float) -> float:
    """How much the outer edge of a bent strip must stretch, and the inner one shrink, as a share: w / 2R.

    Source: plane bending; the outer edge is an arc of radius R + w/2.
    Example: edge_strain(Fraction(1, 4), 1.0) -> 0.125
    """
    return float(finished_width_in) / (2 * radius_in) if radius_in else inf


def tightest_radius(stroke: Stroke, *, over_in: Fraction) -> float:
    """The smallest radius of a stroke's bends, each averaged over `over_in` along it; infinite if straight.

    Taken over the strip's own width, as cloth does not feel a bend shorter than that.
    """
    samples = list(_directions(stroke))
    (_, first), (whole_in, last) = samples[0], samples[-1]
    window_in = min(float(over_in), whole_in)
    if stroke.closed:
        on = last + _turned(last, first) - first
        samples += [(whole_in + s, on + angle) for s, angle in samples if s <= window_in]
    sharpest, ahead = 0.0, 0
    for s, angle in samples:
        while ahead < len(samples) and samples[ahead][0] < s + window_in - 1e-9:
            ahead += 1
        if ahead == len(samples):
            break
        sharpest = max(sharpest, abs(_angle_at(samples[ahead - 1], samples[ahead], s + window_in) - angle))
    return window_in / sharpest if sharpest > 1e-9 else inf


def _kinks(stroke: Stroke) -> tuple[ExactPoint, ...]:
    """Where a stroke turns a corner of more than five degrees between two of its segments."""
    joints = list(pairwise(stroke.segments))
    if stroke.closed:
        joints.append((stroke.segments[-1], stroke.segments[0]))
    return tuple(
        after.start
        for before, after in joints
        if abs(_turned(heading(before, 1.0), heading(after, 0.0))) > radians(_KINK_DEG)
    )


def stem_faults(stem: Stem, *, where: str) -> tuple[Fault, ...]:
    """What keeps a stem from being bent at all: corners, and bends so tight that the strip must fold."""
    found = [
        Fault(where, "path", f"the stem turns a corner at {float(x):g}, {float(y):g}", _ROUND_IT)
        for x, y in _kinks(stem.centre)
    ]
    radius_in = tightest_radius(stem.centre, over_in=stem.width_in)
    if not found and edge_strain(stem.width_in, radius_in) >= 1:
        wide = inches_text(stem.width_in)
        message = (
            f"the curve has a radius of {radius_in:.2f} in, round which a strip {wide} in wide must fold"
        )
        found.append(Fault(where, "path", message, _ease(stem.width_in, radius_in)))
    return tuple(found)


def stem_notes(stem: Stem, *, name: str) -> tuple[str, ...]:
    """What the maker should know of a stem that bends tightly; one sentence or none."""
    radius_in = tightest_radius(stem.centre, over_in=stem.width_in)
    strain = edge_strain(stem.width_in, radius_in)
    # A circle drawn to land on a limit must not trip it by rounding.
    if strain <= EASY_STRAIN + 1e-4:
        return ()
    told = (
        f"{name}: the tightest bend, {radius_in:.2f} in in radius, stretches the outer edge by {strain:.1%}"
    )
    if strain <= HOPEFUL_STRAIN + 1e-4:
        return (f"{told}; press it to the curve before sewing (we warn from {EASY_STRAIN:.0%}).",)
    ease = _ease(stem.width_in, radius_in)
    return (f"{told}, more than bias is likely to give (we take {HOPEFUL_STRAIN:.0%} as the most). {ease}",)


def _ease(width_in: Fraction, radius_in: float) -> str:
    wide_in = float(width_in) / (2 * HOPEFUL_STRAIN)
    narrow_in = Fraction(floor(2 * HOPEFUL_STRAIN * radius_in * 16), 16)
    narrower = f", narrow the stem to {inches_text(narrow_in)} in" if narrow_in >= _NARROWEST_IN else ""
    return f"Widen the curve to a radius of {wide_in:.2f} in{narrower}, or cut it as an outline shape."


def _directions(stroke: Stroke) -> Iterator[tuple[float, float]]:
    """Distance along a stroke and the direction there, unwrapped, radians clockwise from the right."""
    along_in = 0.0
    angle = heading(stroke.segments[0], 0.0)
    for segment in stroke.segments:
        for i in range(_STEPS + 1):
            angle += _turned(angle, heading(segment, i / _STEPS))
            if i:
                along_in += _length(segment, (i - 1) / _STEPS, i / _STEPS)
            yield along_in, angle


def _length(segment: Segment, start: float, end: float) -> float:
    """Length of a short part of a segment. Source: Gauss-Legendre quadrature of three points."""
    middle, half = (start + end) / 2, (end - start) / 2
    outer = half * sqrt(0.6)
    ends = hypot(*segment.speed(middle - outer)) + hypot(*segment.speed(middle + outer))
    return half * (5 * ends + 8 * hypot(*segment.speed(middle))) / 9


def _turned(before: float, after: float) -> float:
    """The turn from one direction to another, from -pi to pi."""
    return (after - before + pi) % tau - pi


def _angle_at(before: tuple[float, float], after: tuple[float, float], along_in: float) -> float:
    span = after[0] - before[0]
    return before[1] + (after[1] - before[1]) * ((along_in - before[0]) / span if span > 1e-12 else 1.0)
