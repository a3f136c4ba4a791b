"""Strokes of lines, Bézier curves and elliptical arcs in exact inches, and their flattening to points.

A curve flattens to the same points from either end, so two patches that share a curved edge share its
vertices exactly. Flattened points lie on a grid of a 2^20th of an inch (a millionth), far below any cut.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import acos, atan2, ceil, comb, cos, hypot, lcm, radians, sin, sqrt, tau

__all__ = ["Arc", "Bezier", "CurveError", "ExactPoint", "Segment", "Stroke", "flatten", "heading"]

ExactPoint = tuple[Fraction, Fraction]

_GRID = 1 << 20
_MOST_POINTS = 20_000


class CurveError(ValueError):
    """A stroke that cannot be drawn in points."""

    mend = "Draw it smaller or with fewer curves."


@dataclass(frozen=True, slots=True)
class Bezier:
    """A straight line (2 points), quadratic (3) or cubic (4) Bézier curve."""

    points: tuple[ExactPoint, ...]

    @property
    def start(self) -> ExactPoint:
        """Where the curve begins."""
        return self.points[0]

    @property
    def end(self) -> ExactPoint:
        """Where the curve ends."""
        return self.points[-1]

    def speed(self, t: float) -> tuple[float, float]:
        """The derivative at a parameter from 0 to 1, inches for each whole parameter."""
        degree = len(self.points) - 1
        weights = [comb(degree - 1, k) * t**k * (1 - t) ** (degree - 1 - k) * degree for k in range(degree)]
        steps = _differences(self.points)
        return (
            sum(w * float(x) for w, (x, _) in zip(weights, steps, strict=True)),
            sum(w * float(y) for w, (_, y) in zip(weights, steps, strict=True)),
        )


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of an ellipse between two points, as SVG writes it; `clockwise` is as seen (y runs down)."""

    start: ExactPoint
    end: ExactPoint
    radii_in: tuple[Fraction, Fraction]
    tilt_deg: Fraction
    large: bool
    clockwise: bool

    def speed(self, t: float) -> tuple[float, float]:
        """The derivative at a parameter from 0 to 1, inches for each whole parameter."""
        _, (rx, ry), (c, s), first, sweep = _centre_form(self)
        angle = first + t * sweep
        dx, dy = -rx * sin(angle) * sweep, ry * cos(angle) * sweep
        return c * dx - s * dy, s * dx + c * dy


Segment = Bezier | Arc


@dataclass(frozen=True, slots=True)
class Stroke:
    """Segments end to end; a closed one ends where it began."""

    segments: tuple[Segment, ...]
    closed: bool


def flatten(stroke: Stroke, *, within_in: Fraction = Fraction(1, 1000)) -> tuple[ExactPoint, ...]:
    """Points along a stroke, no chord further from the curve than `within_in`; a closed one without its last.

    Raises: CurveError if it would take more than twenty thousand points.
    """
    points = [stroke.segments[0].start]
    for segment in stroke.segments:
        for point in _points_after_start(segment, float(within_in)):
            if point != points[-1]:
                points.append(point)
        if len(points) > _MOST_POINTS:
            raise CurveError("The curve is too long to follow.")
    if stroke.closed and len(points) > 1 and points[-1] == points[0]:
        points.pop()
    return tuple(points)


def heading(segment: Segment, t: float) -> float:
    """The direction of a segment at a parameter from 0 to 1, radians clockwise from the right.

    Where the curve stands still (a handle lies on its end) it is the direction just inside.
    """
    dx, dy = segment.speed(t)
    if hypot(dx, dy) < 1e-9:
        dx, dy = segment.speed(t + 1e-6 if t < 0.5 else t - 1e-6)
    return atan2(dy, dx)


def _points_after_start(segment: Segment, within_in: float) -> Iterator[ExactPoint]:
    if isinstance(segment, Bezier):
        yield from _bezier_points(segment, within_in)
    elif segment.end < segment.start:
        # Worked from the same end whichever way it is drawn, so that both ways give the same floats.
        other = Arc(
            segment.end,
            segment.start,
            segment.radii_in,
            segment.tilt_deg,
            segment.large,
            not segment.clockwise,
        )
        yield from reversed(_arc_points(other, within_in))
        yield segment.end
    else:
        yield from _arc_points(segment, within_in)
        yield segment.end


def _bezier_points(curve: Bezier, within_in: float) -> Iterator[ExactPoint]:
    """Points at equal parameters, in whole numbers throughout.

    A chord strays at most |B''| / (8 n^2) from its curve.
    """
    degree = len(curve.points) - 1
    bends = _differences(_differences(curve.points))
    sharpest = degree * (degree - 1) * max((hypot(x, y) for x, y in bends), default=0.0)
    n = _counted(sqrt(sharpest / (8 * within_in)))
    if n > 1:
        bottom = lcm(*(number.denominator for point in curve.points for number in point))
        whole = [(int(x * bottom), int(y * bottom)) for x, y in curve.points]
        for i in range(1, n):
            weights = [comb(degree, k) * i**k * (n - i) ** (degree - k) for k in range(degree + 1)]
            yield (
                _on_grid(sum(w * x for w, (x, _) in zip(weights, whole, strict=True)), bottom * n**degree),
                _on_grid(sum(w * y for w, (_, y) in zip(weights, whole, strict=True)), bottom * n**degree),
            )
    yield curve.end


def _arc_points(arc: Arc, within_in: float) -> list[ExactPoint]:
    """Points strictly between the ends at equal angles; a chord strays r (1 - cos(step / 2))."""
    (x, y), (rx, ry), (c, s), first, sweep = _centre_form(arc)
    step = 2 * acos(max(1 - within_in / max(rx, ry), 0.5))
    n = _counted(abs(sweep) / step)
    points = []
    for i in range(1, n):
        u, v = rx * cos(first + sweep * i / n), ry * sin(first + sweep * i / n)
        points.append(
            (
                Fraction(round((x + c * u - s * v) * _GRID), _GRID),
                Fraction(round((y + s * u + c * v) * _GRID), _GRID),
            )
        )
    return points


_Pair = tuple[float, float]


def _centre_form(arc: Arc) -> tuple[_Pair, _Pair, _Pair, float, float]:
    """Centre, radii as used, cosine and sine of the tilt, first angle and swept angle of an arc.

    Radii too short to reach are scaled up until they do.
    Source: W3C SVG 2 (2018), appendix B.2.4 and B.2.5.
    """
    (x1, y1), (x2, y2) = ((float(x), float(y)) for x, y in (arc.start, arc.end))
    rx, ry = float(arc.radii_in[0]), float(arc.radii_in[1])
    c, s = cos(radians(arc.tilt_deg)), sin(radians(arc.tilt_deg))
    half_x, half_y = (x1 - x2) / 2, (y1 - y2) / 2
    u, v = (c * half_x + s * half_y) / rx, (c * half_y - s * half_x) / ry  # B.5.1, on the unit circle
    reach = u * u + v * v
    if reach > 1:  # B.6.2 to B.6.3
        grow = sqrt(reach)
        rx, ry, u, v, reach = rx * grow, ry * grow, u / grow, v / grow, 1.0
    side = sqrt(max(1 - reach, 0.0) / reach) * (-1 if arc.large == arc.clockwise else 1)  # B.5.2
    cu, cv = side * v, -side * u
    centre = (c * cu * rx - s * cv * ry + (x1 + x2) / 2, s * cu * rx + c * cv * ry + (y1 + y2) / 2)  # B.5.3
    first = atan2(v - cv, u - cu)
    sweep = (atan2(-v - cv, -u - cu) - first) % tau  # B.5.6
    return centre, (rx, ry), (c, s), first, sweep if arc.clockwise else sweep - tau


def _differences(points: tuple[ExactPoint, ...]) -> tuple[ExactPoint, ...]:
    return tuple((q[0] - p[0], q[1] - p[1]) for p, q in pairwise(points))


def _counted(steps: float) -> int:
    if steps > _MOST_POINTS:
        raise CurveError("The curve is too long to follow.")
    return max(1, ceil(steps))


def _on_grid(top: int, bottom: int) -> Fraction:
    """top / bottom rounded to the grid, halves up whichever way the curve is drawn."""
    return Fraction((2 * top * _GRID + bottom) // (2 * bottom), _GRID)
