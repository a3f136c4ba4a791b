from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import floor, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cutting.bias import (
    BiasSquare,
    BiasStrip,
    SquareTooSmallError,
    bias_plan,
    smallest_square,
    strips_from_piece,
)

F = Fraction

QUARTER = F(1, 4)
WIDTHS = st.sampled_from([F(1, 2), F(5, 8), F(7, 8), F(1), F(5, 4)])
LENGTHS = st.integers(4, 160).map(lambda eighths: F(eighths, 8))
STRIPS = st.lists(st.builds(BiasStrip, WIDTHS, LENGTHS), min_size=1, max_size=20)


def assert_lies_within(square: BiasSquare) -> None:
    """Every strip is whole: both its long edges are at least its length inside the square."""
    diagonal = sqrt(2) * float(square.side_in)
    for strip in square.strips:
        for edge in (strip.across_in, strip.across_in + strip.width_in):
            assert diagonal - 2 * abs(float(edge)) >= float(strip.length_in) - 1e-9
    for strip, following in pairwise(square.strips):
        assert strip.across_in + strip.width_in == following.across_in


def test_square_ends_count_by_the_outer_edge() -> None:
    # Stems 5 1/2 in long, cut 5/8 in wide: 13 fit in a 10 in square.
    assert strips_from_piece(F(10), F(10), length_in=F(11, 2), strip_in=F(5, 8)) == 13
    # 18 in stems 1 in wide from 18 x 21 in: 9, where the area rule promises 21.
    assert strips_from_piece(F(18), F(21), length_in=F(18), strip_in=F(1)) == 9
    assert strips_from_piece(F(21), F(18), length_in=F(18), strip_in=F(1)) == 9
    # 16 in strips do not come out of a 12 in square.
    assert strips_from_piece(F(12), F(12), length_in=F(16), strip_in=F(1)) == 0


def test_the_limit_is_compared_exactly() -> None:
    # The limit, 12 sqrt(2), is irrational: the nearest fractions on both sides of it must fall on their own.
    limit = F(1697056274847714, 10**14)  # just below 12 sqrt(2)
    assert strips_from_piece(F(12), F(12), length_in=limit - 1, strip_in=F(1)) == 1
    assert strips_from_piece(F(12), F(12), length_in=limit - 1 + F(1, 10**12), strip_in=F(1)) == 0


def test_nothing_longer_than_the_shorter_diagonal_comes_out() -> None:
    assert strips_from_piece(F(10), F(40), length_in=F(15), strip_in=F(1)) == 0
    assert strips_from_piece(F(10), F(40), length_in=F(14), strip_in=F(1)) == 21


def test_three_stems_need_a_square_of_five_and_a_quarter() -> None:
    square = smallest_square([BiasStrip(F(5, 8), F(11, 2))] * 3, step_in=QUARTER)
    assert square.side_in == F(21, 4)
    assert_lies_within(square)


@settings(max_examples=80, deadline=None)
@given(width=WIDTHS, length=LENGTHS, many=st.integers(1, 15))
def test_for_equal_strips_no_smaller_square_would_do(width: F, length: F, many: int) -> None:
    square = smallest_square([BiasStrip(width, length)] * many, step_in=QUARTER)
    side = square.side_in
    assert strips_from_piece(side, side, length_in=length, strip_in=width) >= many
    less = side - QUARTER
    assert strips_from_piece(less, less, length_in=length, strip_in=width) < many


@settings(max_examples=80, deadline=None)
@given(strips=STRIPS)
def test_a_mixture_lies_whole_with_the_longest_nearest_the_diagonal(strips: list[BiasStrip]) -> None:
    square = smallest_square(strips, step_in=QUARTER)
    assert_lies_within(square)
    seated = sorted(square.strips, key=lambda strip: strip.number)
    assert [(strip.width_in, strip.length_in) for strip in seated] == [
        (strip.width_in, strip.length_in) for strip in strips
    ]
    for side in (1, -1):
        outwards = sorted(
            (s for s in square.strips if side * (2 * s.across_in + s.width_in) > s.width_in),
            key=lambda s: abs(2 * s.across_in + s.width_in),
        )
        lengths = [strip.length_in for strip in outwards]
        assert lengths == sorted(lengths, reverse=True)


def test_the_first_cut_runs_corner_to_corner_when_there_is_room() -> None:
    roomy = smallest_square([BiasStrip(F(1), F(8))] * 2, step_in=F(1, 2))
    assert roomy.first_cut_in() == 0
    # Three in the smallest square must straddle the diagonal.
    tight = smallest_square([BiasStrip(F(5, 8), F(11, 2))] * 3, step_in=QUARTER)
    assert abs(tight.first_cut_in()) in (F(1, 4), F(5, 16), F(3, 8))


@settings(max_examples=30, deadline=None)
@given(strips=STRIPS)
def test_squares_together_give_every_strip_once(strips: list[BiasStrip]) -> None:
    squares = bias_plan(strips, step_in=QUARTER, largest_in=F(10), widest_in=F(40))
    numbers = sorted(strip.number for square in squares for strip in square.strips)
    assert numbers == list(range(len(strips)))
    for square in squares:
        assert_lies_within(square)
        alone = max(smallest_square([strips[s.number]], step_in=QUARTER).side_in for s in square.strips)
        assert square.side_in <= max(F(10), alone)


def test_no_strips_need_no_square() -> None:
    assert bias_plan([], step_in=QUARTER, largest_in=F(18), widest_in=F(40)) == ()


def test_a_strip_too_long_for_the_cloth_is_refused() -> None:
    with pytest.raises(SquareTooSmallError, match=r"60\.00 in long.*40 in") as found:
        bias_plan([BiasStrip(F(1), F(60))], step_in=QUARTER, largest_in=F(18), widest_in=F(40))
    assert "join" in found.value.mend


def test_the_count_is_the_trade_formula() -> None:
    for side, length, width in ((10, 5, 1), (14, 9, F(5, 8)), (18, 12, F(3, 4)), (20, 3, F(1, 2))):
        expected = floor((sqrt(2) * side - length) / float(width))
        assert strips_from_piece(F(side), F(side), length_in=F(length), strip_in=F(width)) == expected
