from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import hypot, pi

import pytest
from shapely.geometry import LineString, Point, Polygon

from blocks.motion import turn
from blocks.paths import parse_path
from blocks.stems import Stem
from blocks.strips import lay_strip, overlaps_itself

F = Fraction


def stem(path, *, width="1/4", start="0", end="0"):
    (stroke,) = parse_path(path)
    return Stem(stroke, F(width), F(start), F(end), "two edges to the middle")


def lay(drawn, place=lambda point: point):
    return lay_strip(drawn, turn_under_in=F(3, 16), place=place)


def length(strip):
    return sum(hypot(qx - px, qy - py) for (px, py), (qx, qy) in pairwise(strip.bend.centre))


def test_a_straight_strip_with_one_tuck_and_one_turned_end():
    strip = lay(stem("M 2 3 H 8", start="1/2"))
    assert strip.shape.width_in == F(5, 8)
    assert strip.shape.length_in == pytest.approx(6 + 1 / 2 + 3 / 16)
    assert strip.bend.start_in == 0  # the tuck is part of the centre line
    assert strip.bend.centre[0] == pytest.approx((1.5, 3))
    assert strip.bend.centre[-1] == (8, 3)
    assert strip.bend.middle_in == 5 / 16
    assert strip.region.equals(Polygon([(1.5, 2.875), (8, 2.875), (8, 3.125), (1.5, 3.125)]))
    ((word, at, zone),) = strip.tucks
    assert (word, at) == ("start", (2, 3))
    assert zone.bounds == pytest.approx((1.5, 2.875, 2, 3.125))


def test_a_turned_start_begins_further_along_the_strip():
    strip = lay(stem("M 2 3 H 8", end="1/2"))
    assert strip.bend.start_in == 3 / 16
    assert strip.bend.centre[0] == (2, 3)
    assert strip.shape.length_in == pytest.approx(3 / 16 + 6 + 1 / 2)


@pytest.mark.parametrize("path", ["M 1 9 C 2 2 9 9 10 2", "M 2 6 A 4 4 0 0 1 10 6", "M 1 1 Q 6 9 11 1"])
@pytest.mark.parametrize("width", ["1/4", "1/2", "1"])
def test_a_curved_stem_covers_length_times_width_about_its_centre(path, width):
    strip = lay(stem(path, width=width, start="1/4", end="3/8"))
    assert strip.region.is_valid
    # The mitres of a finely flattened curve take off less than they add: the area is exact.
    assert strip.region.area == pytest.approx(length(strip) * float(F(width)), rel=1e-4)
    witness = LineString(strip.bend.centre).buffer(float(F(width)) / 2, cap_style="flat", join_style="mitre")
    # shapely thins a line by up to a hundredth of the offset before it moves it out.
    assert strip.region.hausdorff_distance(witness) < 0.011 * float(F(width)) / 2 + 0.001


def test_a_strip_turns_with_its_placement_and_keeps_its_length():
    drawn = stem("M 1 9 C 2 2 9 9 10 2", start="1/4")
    there, moved = lay(drawn), lay(drawn, place=turn(72, about=(F(6), F(6))))
    assert moved.shape.length_in == pytest.approx(there.shape.length_in)
    assert moved.region.area == pytest.approx(there.region.area)
    mirrored = lay(drawn, place=lambda point: (12 - point[0], point[1]))
    assert mirrored.bend.centre[0][0] == pytest.approx(12 - there.bend.centre[0][0])
    assert mirrored.region.area == pytest.approx(there.region.area)


def test_a_ring_meets_itself_in_one_outline():
    ring = stem("M 6 3 A 3 3 0 0 1 6 9 A 3 3 0 0 1 6 3 Z", start="1/2", end="1/4")
    strip = lay(ring)
    assert strip.bend.centre[0] == strip.bend.centre[-1]
    assert strip.tucks == ()
    assert strip.bend.start_in == 1 / 2
    assert strip.shape.length_in == pytest.approx(6 * pi + 3 / 4, abs=0.01)
    assert strip.region.is_valid
    assert not strip.region.interiors
    assert strip.region.area == pytest.approx(6 * pi / 4, rel=1e-3)
    assert not strip.region.contains(Point(6, 6))
    assert not overlaps_itself(ring)


@pytest.mark.parametrize(
    ("path", "crosses"),
    [
        ("M 2 2 C 12 12 0 12 10 2", True),  # a loop
        (
            "M 2 6 A 3 3 0 0 1 8 6 A 3 3 0 0 1 2 6 A 3 3 0 0 1 2.4 4.5",
            True,
        ),  # a ring that runs on over its start
        ("M 2 6 A 3 3 0 1 1 2.6 7.6", False),
        ("M 1 9 C 2 2 9 9 10 2", False),
    ],
)
def test_a_stem_that_lies_over_itself_is_seen(path, crosses):
    assert overlaps_itself(stem(path)) is crosses
