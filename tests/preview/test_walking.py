"""Edges are walked evenly, with the first patch to the right."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from blocks.values import Edge
from preview.walking import walk_edge


def edge(*runs):
    return Edge(first=1, second=2, kind="seam", runs=runs, length_in=0.0, wanted=True)


def test_places_are_even_over_all_runs_and_stand_for_equal_lengths():
    walk = walk_edge(edge(((0, 0), (3, 0)), ((3, 2), (3, 3), (3, 3))), step_in=0.25)
    assert len(walk.points_in) == 16
    np.testing.assert_allclose(walk.points_in[:12, 0], 0.125 + 0.25 * np.arange(12))
    np.testing.assert_allclose(walk.points_in[12:], [(3, 2.125 + 0.25 * i) for i in range(4)])


def test_the_right_hand_is_down_when_walking_to_the_right():
    walk = walk_edge(
        edge(((Fraction(0), Fraction(1)), (Fraction(2), Fraction(1)), (Fraction(2), Fraction(5)))), step_in=1
    )
    np.testing.assert_allclose(walk.right[0], (0, 1))
    np.testing.assert_allclose(walk.right[-1], (-1, 0))


def test_short_edges_are_still_walked_in_several_places():
    assert len(walk_edge(edge(((0, 0), (0.1, 0))), step_in=0.25).points_in) == 8
