from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import atan2, cos, hypot, pi, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point

from blocks.curves import Arc, Bezier, CurveError, Stroke, flatten, heading

F = Fraction
sixteenths = st.integers(-160, 160).map(lambda n: F(n, 16))
spots = st.tuples(sixteenths, sixteenths)
beziers = st.lists(spots, min_size=2, max_size=4, unique=True).map(lambda points: Bezier(tuple(points)))
arcs = st.builds(
    Arc,
    spots,
    spots,
    st.tuples(st.integers(1, 80).map(lambda n: F(n, 16)), st.integers(1, 80).map(lambda n: F(n, 16))),
    st.integers(-90, 180).map(F),
    st.booleans(),
    st.booleans(),
).filter(lambda arc: arc.start != arc.end)


def backwards(segment):
    if isinstance(segment, Bezier):
        return Bezier(segment.points[::-1])
    return Arc(
        segment.end, segment.start, segment.radii_in, segment.tilt_deg, segment.large, not segment.clockwise
    )


def on_curve(curve, t):
    """De Casteljau: a second way to a point of a Bézier curve."""
    points = [(float(x), float(y)) for x, y in curve.points]
    while len(points) > 1:
        points = [((1 - t) * px + t * qx, (1 - t) * py + t * qy) for (px, py), (qx, qy) in pairwise(points)]
    return points[0]


@given(st.one_of(beziers, arcs))
def test_a_curve_has_the_same_points_from_either_end(segment):
    there = flatten(Stroke((segment,), closed=False))
    back = flatten(Stroke((backwards(segment),), closed=False))
    assert there == back[::-1]
    assert (there[0], there[-1]) == (segment.start, segment.end)


@given(beziers, st.sampled_from([F(1, 100), F(1, 1000), F(1, 5000)]))
def test_no_point_of_a_curve_strays_from_its_chords(curve, within_in):
    points = flatten(Stroke((curve,), closed=False), within_in=within_in)
    line = LineString([(float(x), float(y)) for x, y in points])
    strays = [line.distance(Point(on_curve(curve, i / 97))) for i in range(98)]
    assert max(strays) <= float(within_in) + 1e-6


@given(st.integers(1, 64), st.floats(0, 6.28), st.booleans(), st.booleans())
def test_points_of_a_circular_arc_lie_on_its_circle(radius, angle, large, clockwise):
    r = F(radius, 8)
    end = (F(round(64 * float(r) * (1 + cos(angle))), 64), F(round(64 * float(r) * sin(angle)), 64))
    start = (F(0), F(0))
    chord = hypot(float(end[0]), float(end[1]))
    if not 0.01 < chord < 2 * float(r):
        return
    points = flatten(Stroke((Arc(start, end, (r, r), F(0), large, clockwise),), closed=False))
    # The centre from the chord alone: on its middle line, to the left or right by the flags.
    off = (float(r) ** 2 - chord**2 / 4) ** 0.5 * (-1 if large != clockwise else 1)
    mx, my = float(end[0]) / 2, float(end[1]) / 2
    cx, cy = mx + off * float(end[1]) / chord, my - off * float(end[0]) / chord
    assert all(abs(hypot(float(x) - cx, float(y) - cy) - float(r)) < 2e-6 for x, y in points)
    swept = LineString([(float(x), float(y)) for x, y in points]).length / float(r)
    assert (swept > pi) == large or abs(swept - pi) < 0.02
    (x0, y0), (x1, y1) = ((float(x), float(y)) for x, y in points[:2])
    turns_right = (x1 - x0) * (cy - y0) - (y1 - y0) * (cx - x0) > 0
    assert turns_right == clockwise


def test_lines_stay_exact_and_a_closed_stroke_ends_before_its_start():
    a, b, c = (F(0), F(1, 3)), (F(5, 7), F(0)), (F(1), F(1))
    sides = (Bezier((a, b)), Bezier((b, c)), Bezier((c, a)))
    assert flatten(Stroke(sides, closed=True)) == (a, b, c)
    assert flatten(Stroke(sides, closed=False)) == (a, b, c, a)


def test_a_heading_where_a_handle_lies_on_its_end():
    curve = Bezier(((F(0), F(0)), (F(0), F(0)), (F(1), F(1)), (F(1), F(1))))
    assert heading(curve, 0.0) == pytest.approx(pi / 4)
    assert heading(curve, 1.0) == pytest.approx(pi / 4)
    arc = Arc((F(0), F(0)), (F(2), F(0)), (F(1), F(1)), F(0), large=False, clockwise=True)
    assert heading(arc, 0.0) == pytest.approx(-pi / 2)  # straight up
    assert heading(arc, 0.5) == pytest.approx(atan2(0, 1), abs=1e-12)


def test_a_curve_too_long_to_follow_is_refused():
    far = F(100_000)
    curve = Bezier(((F(0), F(0)), (far, far), (-far, far), (F(1), F(0))))
    with pytest.raises(CurveError, match="too long") as caught:
        flatten(Stroke((curve,) * 3, closed=False), within_in=F(1, 10**6))
    assert caught.value.mend
    with pytest.raises(CurveError, match="too long"):
        flatten(Stroke((curve,), closed=False), within_in=F(1, 10**9))
