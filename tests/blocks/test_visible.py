from __future__ import annotations

from fractions import Fraction

import pytest
from shapely.geometry import Polygon

from blocks.applique import Applique
from blocks.polygons import area
from blocks.shapes import Outline
from blocks.visible import lies_over, visible_outlines
from tests.blocks.test_edges import HALVES, WHOLE, box, circle, draft, stem

F = Fraction


def shown_area(parts):
    # Outer rings run clockwise as seen and holes the other way, so the signed areas add up.
    return float(sum(area(ring) for part in parts for ring in part))


def test_a_bare_ground_shows_as_it_is():
    found = draft(HALVES)
    assert visible_outlines(found) == tuple(((patch.outline,),) for patch in found.patches)


def test_all_that_shows_fills_the_block_once():
    items = [
        Applique("stem", "stem", stem("M 2 12 C 3 8 8 9 6 6")),
        Applique("ring", "stem", stem("M 6 3 A 3 3 0 0 1 6 9 A 3 3 0 0 1 6 3 Z")),
        Applique("eye", "eye", circle(6, 6, "3/2")),
    ]
    found = draft(HALVES, items)
    parts = visible_outlines(found)
    assert sum(map(shown_area, parts)) == pytest.approx(144, abs=1e-4)
    assert all(Polygon(part[0], part[1:]).is_valid for shown in parts for part in shown)
    left = parts[0]
    assert len(left) >= 2  # the ring cuts the left half into what is inside and outside


def test_a_shape_with_another_on_it_has_a_hole_and_a_hidden_one_nothing():
    found = draft(WHOLE, [Applique("a", "a", circle(6, 6, 4)), Applique("b", "b", circle(6, 6, 2))])
    ground, big, small = visible_outlines(found)
    assert [len(part) for part in (*ground, *big, *small)] == [2, 2, 1]
    assert small == ((found.patches[2].outline,),)
    cover = Outline(box(2, 2, 10, 10))
    hidden = visible_outlines(draft(WHOLE, [Applique("a", "a", circle(6, 6, 4)), Applique("b", "b", cover)]))[
        1
    ]
    assert hidden == ()


def test_layers_then_numbers_decide_what_lies_over():
    found = draft(WHOLE, [Applique("a", "a", circle(6, 6, 4)), Applique("b", "b", circle(6, 6, 2))])
    ground, big, small = found.patches
    assert lies_over(big, ground)
    assert lies_over(small, big)
    assert not lies_over(big, small)
