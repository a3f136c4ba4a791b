"""The strip of a stem as it lies: its centre line with tucks, the cut strip, and the region it covers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import cos, hypot, pi, sin

from shapely.geometry import LinearRing, LineString, Polygon
from shapely.geometry.base import BaseGeometry

from blocks.curves import flatten, heading
from blocks.motion import Point
from blocks.stems import Stem, cut_width
from blocks.values import Bend, CutBias

__all__ = ["Strip", "lay_strip", "overlaps_itself"]

_WITHIN_IN = Fraction(1, 2000)
_SLIT_IN = 1e-6


@dataclass(frozen=True, slots=True)
class Strip:
    """A stem laid in the block; `tucks` go under something: which end, where it begins, its region."""

    shape: CutBias
    bend: Bend
    region: Polygon
    tucks: tuple[tuple[str, tuple[float, float], Polygon], ...]


def lay_strip(stem: Stem, *, turn_under_in: Fraction, place: Callable[[Point], Point]) -> Strip:
    """The strip of a stem under a placement.

    The length follows the centre line, with both tucks; where an end is not tucked, cloth to turn it under is
    added beyond the line. The ends of a ring lap over each other by their tucks.
    """
    points = [(float(x), float(y)) for x, y in flatten(stem.centre, within_in=_WITHIN_IN)]
    tucks = (float(stem.start_tuck_in), float(stem.end_tuck_in))
    ends: list[tuple[str, tuple[float, float], tuple[float, float]]] = []
    if stem.centre.closed:
        points.append(points[0])
    else:
        back = heading(stem.centre.segments[0], 0.0) + pi
        on = heading(stem.centre.segments[-1], 1.0)
        for word, at, angle, tuck_in in (
            ("start", points[0], back, tucks[0]),
            ("end", points[-1], on, tucks[1]),
        ):
            if tuck_in:
                ends.append((word, at, (at[0] + cos(angle) * tuck_in, at[1] + sin(angle) * tuck_in)))
        points = [end for word, _, end in ends if word == "start"] + points
        points += [end for word, _, end in ends if word == "end"]
    in_centre = 0.0 if stem.centre.closed else 1.0
    beyond = [
        max(0.0 if tuck and in_centre else tuck, 0.0 if tuck else float(turn_under_in)) for tuck in tucks
    ]
    centre = tuple(_floats(place(point)) for point in points)
    length_in = sum(hypot(qx - px, qy - py) for (px, py), (qx, qy) in pairwise(centre))
    width_in = cut_width(stem.width_in, fold=stem.fold)
    half_in = float(stem.width_in) / 2
    return Strip(
        CutBias(width_in, beyond[0] + length_in + beyond[1], stem.width_in),
        Bend(centre, beyond[0], float(width_in) / 2),
        _body(centre, half_in, closed=stem.centre.closed),
        tuple(
            (
                word,
                _floats(place(at)),
                _body((_floats(place(at)), _floats(place(end))), half_in, closed=False),
            )
            for word, at, end in ends
        ),
    )


def overlaps_itself(stem: Stem) -> bool:
    """Whether a stem crosses or touches itself; if not, it covers its length times its width."""
    strip = lay_strip(stem, turn_under_in=Fraction(0), place=lambda point: point)
    length_in = sum(hypot(qx - px, qy - py) for (px, py), (qx, qy) in pairwise(strip.bend.centre))
    return strip.region.area < 0.999 * length_in * float(stem.width_in) or len(strip.region.interiors) > 0


def _body(centre: tuple[tuple[float, float], ...], half_in: float, *, closed: bool) -> Polygon:
    """What a strip covers, ends cut square. A ring is slit by a millionth of an inch where its ends meet,
    so that its outline is one line.
    """
    if not closed:
        return _one(LineString(centre).buffer(half_in, cap_style="flat", join_style="mitre", mitre_limit=2.0))
    ring = LinearRing(centre).buffer(half_in, join_style="mitre", mitre_limit=2.0)
    (px, py), (qx, qy) = centre[-2], centre[1]
    long = hypot(qx - px, qy - py)
    across = ((py - qy) / long * half_in * 1.5, (qx - px) / long * half_in * 1.5)
    (x, y), (dx, dy) = centre[0], across
    return _one(
        ring.difference(LineString([(x - dx, y - dy), (x + dx, y + dy)]).buffer(_SLIT_IN, cap_style="flat"))
    )


def _one(region: BaseGeometry) -> Polygon:
    """The region, or its largest part where a fold broke it up (which the checks then report)."""
    return region if isinstance(region, Polygon) else max(region.geoms, key=lambda part: part.area)


def _floats(point: Point) -> tuple[float, float]:
    return float(point[0]), float(point[1])
