from __future__ import annotations

from fractions import Fraction
from math import cos, radians

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString

from blocks.curves import flatten
from blocks.paths import parse_path
from blocks.svg_transforms import SAME, Affine, TransformError, move_stroke, moving, parse_transform, scaling

F = Fraction
SPOT = (F(3), F(1, 7))


@pytest.mark.parametrize(
    ("text", "point"),
    [
        ("", SPOT),
        ("none", SPOT),
        ("translate(2)", (F(5), F(1, 7))),
        ("translate(2,-1)", (F(5), F(-6, 7))),
        ("translate( 2px , -1px )", (F(5), F(-6, 7))),
        ("scale(2)", (F(6), F(2, 7))),
        ("scale(.5 -1)", (F(3, 2), F(-1, 7))),
        ("rotate(90)", (F(-1, 7), F(3))),
        ("rotate(-90deg)", (F(1, 7), F(-3))),
        ("rotate(180 1 1)", (F(-1), F(13, 7))),
        ("matrix(1 2 3 4 5 6)", (3 + F(3, 7) + 5, 6 + F(4, 7) + 6)),
        ("translate(1) scale(2)", (F(7), F(2, 7))),
        ("scale(2),translate(1)", (F(8), F(2, 7))),
        ("scale(1e-2)", (F(3, 100), F(1, 700))),
        ("translate(-1.42e-14,0)", (F(3) - F("1.42e-14"), F(1, 7))),
    ],
)
def test_lists_of_transforms_are_exact(text, point):
    assert parse_transform(text)(SPOT) == point


@pytest.mark.parametrize(
    ("text", "matrix"),
    [
        ("rotate(30)", (cos(radians(30)), 0.5, -0.5, cos(radians(30)))),
        ("skewX(45)", (1, 0, 1, 1)),
        ("skewY(-30)", (1, -(3**-0.5), 0, 1)),
    ],
)
def test_angles(text, matrix):
    affine = parse_transform(text)
    assert (affine.a, affine.b, affine.c, affine.d) == pytest.approx(matrix, abs=1e-15)


@pytest.mark.parametrize(
    "text",
    [
        *("spin(3)", "scale", "scale(", "scale()", "scale(1,2,3)", "matrix(1 2 3)", "rotate(1 2)"),
        *("translate(10%)", "scale(1e300)", "scale(x)", "skewX(90)", "rotate(0.5turn)", "scale(2);"),
        *("scale(9) " * 40, "translate(" + "9" * 40 + ")", " ".join(["scale(1e8)"] * 3)),
    ],
)
def test_what_is_not_read(text):
    with pytest.raises(TransformError) as caught:
        parse_transform(text)
    assert caught.value.mend


numbers = st.integers(-40, 40).map(lambda n: F(n, 8))
affines = st.builds(Affine, *[numbers] * 6)


@given(affines, affines, st.tuples(numbers, numbers))
def test_after_does_one_and_then_the_other(second, first, point):
    assert second.after(first)(point) == second(first(point))
    assert second.after(first).det() == second.det() * first.det()
    assert second.after(SAME) == SAME.after(second) == second


@given(affines.filter(lambda a: abs(a.det()) > 1), st.booleans(), st.booleans(), st.integers(-90, 90))
def test_moved_arcs_lie_where_their_points_move_to(affine, large, clockwise, tilt):
    """An arc moved and then drawn in points, against its points moved one by one."""
    (stroke,) = parse_path(f"M 1 1 A 2 1 {tilt} {int(large)} {int(clockwise)} 2 2.5")
    grown = max(abs(n) for n in (affine.a, affine.b, affine.c, affine.d, F(1)))
    fine = F(1, 10_000)
    moved = LineString(flatten(move_stroke(stroke, affine), within_in=fine))
    points = LineString([affine(point) for point in flatten(stroke, within_in=fine / grown)])
    assert moved.hausdorff_distance(points) < 2e-3 * float(grown)


def test_curves_keep_their_handles_and_circles_stay_circles():
    (stroke,) = parse_path("M 0 0 C 1 1 2 1 3 0 A 1.5 1.5 30 0 1 0 0 Z")
    moved = move_stroke(stroke, moving(F(1), F(2)).after(scaling(F(1, 2), F(1, 2))))
    cubic, arc = moved.segments
    assert cubic.points == ((1, 2), (F(3, 2), F(5, 2)), (2, F(5, 2)), (F(5, 2), 2))
    assert (arc.radii_in, arc.tilt_deg, arc.clockwise) == ((F(3, 4), F(3, 4)), 0, True)
    mirrored = move_stroke(stroke, scaling(F(-1), F(1)))
    assert mirrored.segments[1].clockwise is False
