"""The strip of a stem as it lies: its centre line with tucks, the cut strip, and the region it covers."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import cos, hypot, pi, sin

from shapely import make_valid
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from blocks.curves import flatten, heading
from blocks.motion import Point
from blocks.stems import Stem, cut_width
from blocks.values import Bend, CutBias

__all__ = ["Strip", "lay_strip", "overlaps_itself"]

_WITHIN_IN = Fraction(1, 2000)
_SLIT_IN = 1e-6

_Spot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Strip:
    """A stem laid in the block; `tucks` go under something: which end, where it begins, its region."""

    shape: CutBias
    bend: Bend
    region: Polygon
    tucks: tuple[tuple[str, _Spot, Polygon], ...]


def lay_strip(stem: Stem, *, turn_under_in: Fraction, place: Callable[[Point], Point]) -> Strip:
    """The strip of a stem under a placement.

    The length follows the centre line, with both tucks; where an end is not tucked, cloth to turn it under is
    added beyond the line. The ends of a ring lap over each other by their tucks.
    """
    line, ends = _line_with_tucks(stem)
    centre = tuple(_floats(place(point)) for point in line)
    laid = [(word, _floats(place(at)), _floats(place(end))) for word, at, end in ends]
    closed = stem.centre.closed
    start_in = _beyond(stem.start_tuck_in, turn_under_in, closed=closed)
    end_in = _beyond(stem.end_tuck_in, turn_under_in, closed=closed)
    width_in = cut_width(stem.width_in, fold=stem.fold)
    half_in = float(stem.width_in) / 2
    return Strip(
        CutBias(width_in, start_in + _length(centre) + end_in, stem.width_in),
        Bend(centre, start_in, float(width_in) / 2),
        _body(centre, half_in, closed=closed),
        tuple((word, at, _body((at, end), half_in, closed=False)) for word, at, end in laid),
    )


def _line_with_tucks(stem: Stem) -> tuple[list[_Spot], list[tuple[str, _Spot, _Spot]]]:
    """The centre line, carried straight on by its tucks; and each tuck: its name, its beginning, its end."""
    line = [(float(x), float(y)) for x, y in flatten(stem.centre, within_in=_WITHIN_IN)]
    if stem.centre.closed:
        return [*line, line[0]], []
    ends = []
    if stem.start_tuck_in:
        back = heading(stem.centre.segments[0], 0.0) + pi
        ends.append(("start", line[0], _ahead(line[0], back, stem.start_tuck_in)))
        line.insert(0, ends[0][2])
    if stem.end_tuck_in:
        on = heading(stem.centre.segments[-1], 1.0)
        ends.append(("end", line[-1], _ahead(line[-1], on, stem.end_tuck_in)))
        line.append(ends[-1][2])
    return line, ends


def _ahead(at: _Spot, angle: float, by_in: Fraction) -> _Spot:
    return at[0] + cos(angle) * float(by_in), at[1] + sin(angle) * float(by_in)


def _beyond(tuck_in: Fraction, turn_under_in: Fraction, *, closed: bool) -> float:
    """Cloth beyond the end of the centre line, which holds the tucks of an open stem already."""
    if not tuck_in:
        return float(turn_under_in)
    return float(tuck_in) if closed else 0.0


def _length(line: Sequence[_Spot]) -> float:
    return sum(hypot(qx - px, qy - py) for (px, py), (qx, qy) in pairwise(line))


def overlaps_itself(stem: Stem) -> bool:
    """Whether a stem crosses or touches itself; if not, it covers its length times its width."""
    strip = lay_strip(stem, turn_under_in=Fraction(0), place=lambda point: point)
    length_in = _length(strip.bend.centre)
    return strip.region.area < 0.999 * length_in * float(stem.width_in) or len(strip.region.interiors) > 0


def _body(centre: tuple[_Spot, ...], half_in: float, *, closed: bool) -> Polygon:
    """What a strip covers, ends cut square.

    A ring is left open by two millionths of an inch where its ends meet, so that its outline is one line.
    """
    before, after = centre[:-1], centre[1:]
    unit = [_unit(p, q) for p, q in zip(before, after, strict=True)]
    normals = [unit[0], *(_mitre(one, other) for one, other in pairwise(unit)), unit[-1]]
    if closed:
        normals[0] = normals[-1] = _mitre(unit[-1], unit[0])
    sides: list[list[_Spot]] = [
        [
            (x - side * half_in * dy, y + side * half_in * dx)
            for (x, y), (dx, dy) in zip(centre, normals, strict=True)
        ]
        for side in (-1, 1)
    ]
    if closed:
        for points in sides:
            for end, way in ((0, _SLIT_IN), (-1, -_SLIT_IN)):
                points[end] = (points[end][0] + way * unit[end][0], points[end][1] + way * unit[end][1])
    body = Polygon([*sides[0], *reversed(sides[1])])
    # A fold breaks the outline up; the checks report it from the area that is left.
    return body if body.is_valid else max(_polygons(make_valid(body)), key=lambda part: part.area)


def _unit(p: _Spot, q: _Spot) -> _Spot:
    long = hypot(q[0] - p[0], q[1] - p[1])
    return (q[0] - p[0]) / long, (q[1] - p[1]) / long


def _mitre(one: _Spot, other: _Spot) -> _Spot:
    """The direction between two, as long as it must be for both sides to keep their distance."""
    x, y = one[0] + other[0], one[1] + other[1]
    share = max(1 + one[0] * other[0] + one[1] * other[1], 0.5)
    return x / share, y / share


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    return [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]


def _floats(point: Point) -> _Spot:
    return float(point[0]), float(point[1])
