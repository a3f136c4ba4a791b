"""Appliqué shapes cut from templates: leaf, petal, circle and free outlines; and which are symmetric.

Templates point up: the base at the origin, the tip above it (y runs down), clockwise as seen.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, cos, hypot, pi, sin
from typing import Literal

from shapely.affinity import affine_transform
from shapely.geometry import Polygon

from blocks.curves import Arc, Bezier, ExactPoint, Stroke, flatten
from blocks.motion import STAY, Motion, shift, turn

__all__ = [
    "Circle",
    "Outline",
    "Pointed",
    "Template",
    "circle_outline",
    "leaf_outline",
    "petal_outline",
    "template_of",
]

_ALIKE_IN = 0.003
"""Two outlines closer than this everywhere are cut with one template; flattening strays by 0.001 in."""


@dataclass(frozen=True, slots=True)
class Pointed:
    """A leaf or petal, pointing up, its base `base_tuck_in` below `at`; then turned clockwise about `at`."""

    kind: Literal["leaf", "petal"]
    at: ExactPoint
    length_in: Fraction
    width_in: Fraction
    turn_deg: Fraction
    base_tuck_in: Fraction


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle about `at`."""

    at: ExactPoint
    across_in: Fraction


@dataclass(frozen=True, slots=True)
class Outline:
    """Any closed outline, drawn where it lies in the block; clockwise as seen."""

    points: tuple[ExactPoint, ...]


@dataclass(frozen=True, slots=True)
class Template:
    """The finished shape of a template, and the motion that lays it in the block."""

    outline: tuple[ExactPoint, ...]
    lay: Motion
    tuck: tuple[ExactPoint, ...] = ()
    """The strip of the template, if any, that goes under something: whatever of it lies in this outline."""
    to_mirror: Motion | None = None
    """Lays the template onto its mirror image (x to -x); none if the shape is not symmetric."""


def template_of(shape: Pointed | Circle | Outline) -> Template:
    """The template of a shape: leaves and petals point up, others are as drawn."""
    if isinstance(shape, Circle):
        return Template(circle_outline(shape.across_in), shift(*shape.at), to_mirror=STAY)
    if isinstance(shape, Outline):
        floats = [(float(x), float(y)) for x, y in shape.points]
        return Template(shape.points, STAY, to_mirror=turn_to_mirror(floats))
    draw = leaf_outline if shape.kind == "leaf" else petal_outline
    nought, tuck_in, wide_in = Fraction(0), shape.base_tuck_in, shape.width_in
    lay = shift(*shape.at).after(turn(shape.turn_deg)).after(shift(nought, tuck_in))
    tuck = ((-wide_in, -tuck_in), (wide_in, -tuck_in), (wide_in, nought), (-wide_in, nought))
    return Template(draw(shape.length_in, wide_in), lay, tuck if tuck_in else (), STAY)


def leaf_outline(length_in: Fraction, width_in: Fraction) -> tuple[ExactPoint, ...]:
    """A leaf pointed at both ends, widest four ninths of the way up. The curve is ours."""
    return _mirrored_halves(length_in, width_in, low=Fraction(1, 5), high=Fraction(13, 20))


def petal_outline(length_in: Fraction, width_in: Fraction) -> tuple[ExactPoint, ...]:
    """A petal pointed at its base, round at its tip, widest five eighths of the way up. The curve is ours."""
    return _mirrored_halves(length_in, width_in, low=Fraction(7, 20), high=Fraction(1))


def _mirrored_halves(
    length_in: Fraction, width_in: Fraction, *, low: Fraction, high: Fraction
) -> tuple[ExactPoint, ...]:
    """One cubic from base to tip and its mirror image.

    With both handles 2/3 of the width out, the half reaches exactly half the width, at t = 1/2.
    """
    nought = Fraction(0)
    out_in = width_in * Fraction(2, 3)
    half = Bezier(
        ((nought, nought), (out_in, -low * length_in), (out_in, -high * length_in), (nought, -length_in))
    )
    right = flatten(Stroke((half,), closed=False))
    return (*((-x, y) for x, y in right), *reversed(right[1:-1]))


def circle_outline(across_in: Fraction) -> tuple[ExactPoint, ...]:
    """A circle about the origin; its points lie on the circle."""
    r, nought = across_in / 2, Fraction(0)
    arc = Arc((nought, -r), (r, nought), (r, r), nought, large=False, clockwise=True)
    quarter = flatten(Stroke((arc,), closed=False))
    right = (*quarter, *((x, -y) for x, y in reversed(quarter[:-1])))
    return (*right, *((-x, y) for x, y in reversed(right[1:-1])))


def turn_to_mirror(outline: Sequence[tuple[float, float]]) -> Motion | None:
    """The motion that lays a shape exactly onto its mirror image in the y axis; none if only flipping would.

    A shape that has one is symmetric: the same template serves both ways. Axes are sought through the
    middle of the shape: along its lengthwise and crosswise directions, and through its furthest points.
    """
    shape = Polygon(outline)
    middle = (shape.centroid.x, shape.centroid.y)
    mirrored = affine_transform(shape, (-1, 0, 0, 1, 0, 0))
    # The best of all axes: one that is nearly right may come before one that is.
    best: tuple[float, Motion] | None = None
    for angle in _axis_angles(outline, middle):
        # A reflection in the axis and then in the y axis: a turn, and the shape does not see the first.
        c, s = -cos(2 * angle), sin(2 * angle)
        x, y = middle
        motion = Motion(c, s, -x - (c * x - s * y), y - (s * x + c * y))
        turned = affine_transform(shape, (c, -s, s, c, motion.dx_in, motion.dy_in))
        apart = turned.symmetric_difference(mirrored).area
        alike = apart < _ALIKE_IN * shape.length and turned.hausdorff_distance(mirrored) < _ALIKE_IN
        if alike and (best is None or apart < best[0]):
            best = (apart, motion)
    return None if best is None else best[1]


def _axis_angles(outline: Sequence[tuple[float, float]], middle: tuple[float, float]) -> list[float]:
    rays = [(x - middle[0], y - middle[1]) for x, y in outline]
    furthest = max(hypot(x, y) for x, y in rays)
    tips = [atan2(y, x) for x, y in rays if hypot(x, y) > furthest - _ALIKE_IN]
    # The principal directions of the outline, from second moments of its edges.
    xx = yy = xy = 0.0
    for (px, py), (qx, qy) in zip(rays, rays[1:] + rays[:1], strict=True):
        long, x, y = hypot(qx - px, qy - py), (px + qx) / 2, (py + qy) / 2
        xx, yy, xy = xx + long * x * x, yy + long * y * y, xy + long * x * y
    main = atan2(2 * xy, xx - yy) / 2
    return [main, main + pi / 2, *tips[:24], *(tip + pi / 2 for tip in tips[:4])]
