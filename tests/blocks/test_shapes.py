from __future__ import annotations

from fractions import Fraction
from math import cos, hypot, pi, radians, sin

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from shapely.geometry import Polygon

from blocks.motion import STAY
from blocks.polygons import area
from blocks.shapes import Circle, Outline, Pointed, circle_outline, leaf_outline, petal_outline, template_of

F = Fraction
eighths = st.integers(2, 60).map(lambda n: F(n, 8))


@given(eighths, eighths, st.sampled_from([leaf_outline, petal_outline]))
def test_leaves_and_petals_have_their_measures_and_are_symmetric(length_in, width_in, draw):
    outline = draw(length_in, width_in)
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    assert (min(ys), max(ys)) == (-length_in, 0)
    assert outline[0] == (0, 0)
    # The widest place falls between two flattened points, so a sliver of the width is cut off.
    assert float(width_in) - 0.003 < max(xs) - min(xs) <= width_in
    assert {(-x, y) for x, y in outline} == set(outline)
    assert area(outline) > 0  # clockwise as seen
    assert Polygon(outline).is_valid


def test_a_leaf_is_pointed_at_both_ends_and_a_petal_round_at_its_tip():
    def tip_angle(outline):
        tip = outline.index((0, -2))
        (ax, ay), (x, y), (bx, by) = (outline[(tip + k) % len(outline)] for k in (-1, 0, 1))
        dot = (ax - x) * (bx - x) + (ay - y) * (by - y)
        return float(dot) / (hypot(ax - x, ay - y) * hypot(bx - x, by - y))

    assert tip_angle(leaf_outline(F(2), F(1))) > cos(radians(95))
    assert tip_angle(petal_outline(F(2), F(1))) < cos(radians(165))


@given(eighths)
def test_circle_points_lie_on_the_circle(across_in):
    outline = circle_outline(across_in)
    assert all(abs(hypot(x, y) - float(across_in) / 2) < 2e-6 for x, y in outline)
    assert len(set(outline)) == len(outline)
    full = pi * float(across_in) ** 2 / 4
    assert 0 < full - float(area(outline)) < 0.001 * pi * float(across_in)


def test_a_leaf_points_where_it_is_turned_and_tucks_its_base_behind_its_place():
    leaf = template_of(Pointed("leaf", (F(6), F(4)), F(2), F(3, 4), F(90), F(1, 4)))
    assert leaf.lay((F(0), F(-2))) == (F(31, 4), F(4))  # the tip, to the right
    assert leaf.lay((F(0), F(0))) == (F(23, 4), F(4))  # the base, a quarter inch behind
    assert {y for _, y in leaf.tuck} == {0, F(-1, 4)}


def turned(points, deg, at=(0.0, 0.0)):
    c, s = cos(radians(deg)), sin(radians(deg))
    return tuple((c * x - s * y + at[0], s * x + c * y + at[1]) for x, y in points)


KITE = ((0, 0), (2, 1), (2.5, 4), (-0.25, 2.5))  # four unlike sides
ARROW = ((0, -2), (2, 1), (0.5, 0.5), (0, 3), (-0.5, 0.5), (-2, 1))
STAR = tuple(
    (sin(k * pi / 5) * (2 if k % 2 else 1), cos(k * pi / 5) * (2 if k % 2 else 1)) for k in range(10)
)
PARALLELOGRAM = ((0, 0), (3, 0), (4, 2), (1, 2))  # looks the same after half a turn, yet has no mirror line


@given(
    st.sampled_from([ARROW, STAR, ((0, 0), (3, 0), (3, 1), (0, 1)), tuple(leaf_outline(F(2), F(1)))]),
    st.floats(0, 360),
)
@example(STAR, 155.909175387597)  # an arbitrary direction of the star lay within a degree of a true axis
def test_a_symmetric_shape_is_turned_onto_its_mirror_image(points, deg):
    points = turned([(float(x), float(y)) for x, y in points], deg, at=(5, 7))
    motion = template_of(Outline(points)).to_mirror
    assert motion is not None
    assert motion.cos**2 + motion.sin**2 == pytest.approx(1)
    moved = Polygon([motion(point) for point in points])
    assert moved.symmetric_difference(Polygon([(-x, y) for x, y in points])).area < 0.01


@given(st.sampled_from([KITE, PARALLELOGRAM]), st.floats(0, 360))
def test_a_shape_without_a_mirror_line_has_no_such_turn(points, deg):
    assert template_of(Outline(turned(points, deg))).to_mirror is None


def test_circles_are_symmetric():
    circle = template_of(Circle((F(1), F(2)), F(1)))
    assert circle.to_mirror == STAY
    assert circle.lay((F(0), F(0))) == (1, 2)
