"""Tiling is decided exactly: any cutting up tiles, any gap or overlap is found."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.polygons import area, bounds, cut_away, rectangle
from blocks.tiling import TilingError, check_tiling

BLOCK = rectangle(F(12), F(12))
points = st.tuples(st.fractions(0, 12, max_denominator=48), st.fractions(0, 12, max_denominator=48))


def cut_up(cuts):
    """The block cut by straight lines, each through every patch it meets."""
    patches = [BLOCK]
    for start, end in cuts:
        if start == end:
            continue
        halves = [cut_away(p, a, b) for p in patches for a, b in ((start, end), (end, start))]
        patches = [half for half in halves if half]
    return patches


@given(st.lists(st.tuples(points, points), max_size=5))
def test_any_cutting_up_tiles(cuts):
    patches = cut_up(cuts)
    assert sum(area(p) for p in patches) == 144
    check_tiling(patches, block=BLOCK, step="cuts")


@given(st.lists(st.tuples(points, points), min_size=1, max_size=4), st.data())
def test_a_patch_left_out_or_doubled_or_moved_is_found(cuts, data):
    patches = cut_up(cuts)
    i = data.draw(st.integers(0, len(patches) - 1))
    moved = tuple((x + F(1, 1000000), y) for x, y in patches[i])
    for wrong in (
        patches[:i] + patches[i + 1 :],
        [*patches, patches[i]],
        [*patches[:i], moved, *patches[i + 1 :]],
    ):
        with pytest.raises(TilingError, match="cuts"):
            check_tiling(wrong, block=BLOCK, step="cuts")


def test_a_gap_and_an_overlap_of_equal_area_are_found():
    left, right = rectangle(F(6), F(12)), tuple((x + F(5), y) for x, y in rectangle(F(6), F(12)))
    with pytest.raises(TilingError, match=r"\(5, "):
        check_tiling([left, right], block=BLOCK, step="halves")


def test_bounds():
    assert bounds(BLOCK) == (0, 0, 12, 12)
