"""Turned and flat edges: what shows is turned, what lies under something or in a seam is not."""

from __future__ import annotations

from math import pi

import pytest

from blocks.blockfile import parse_block
from blocks.drafting import draft_block
from blocks.library import open_block
from blocks.turning import turned_edges

GROUND = 'name="g"\nfinished="8"\n[[step]]\nname="g"\nmake="square"\nfinished="8"\ncloth="x"\n'


def circle(name, at, across):
    return f'[[applique]]\nname="{name}"\nshape="circle"\ncloth="c"\nat="{at}"\nacross="{across}"\n'


def test_a_free_circle_is_turned_all_round():
    (turning,) = turned_edges(draft_block(parse_block(GROUND + circle("a", "4, 4", "2"))))
    assert turning.turned_in == pytest.approx(2 * pi, rel=1e-3)
    assert turning.flat == ()
    assert "all edges" in turning.sentence()


def test_the_part_under_a_later_shape_lies_flat():
    """Two circles of radius 1 whose centres lie 1 in apart hide a third of each other's edge (plane geometry)."""
    under, over = turned_edges(
        draft_block(parse_block(GROUND + circle("a", "3, 4", "2") + circle("b", "4, 4", "2")))
    )
    assert under.flat_in == pytest.approx(2 * pi / 3, rel=5e-3)
    assert under.turned_in == pytest.approx(4 * pi / 3, rel=5e-3)
    assert over.flat == ()


def test_stems_are_flat_at_hidden_ends_only():
    draft = draft_block(open_block("orchard lantern"))
    by_step = {draft.patches[t.patch - 1].step: t for t in turned_edges(draft)}
    stem = by_step["left stem"]
    assert stem.flat_in == pytest.approx(2 * 0.25, abs=0.02)
    assert by_step["left leaf"].flat_in > 0.2
    assert by_step["heart"].flat == ()


def test_a_slanting_tuck_into_a_seam_is_no_raw_end():
    stem = '[[applique]]\nname="s"\nshape="stem"\ncloth="s"\npath="M 3 8 C 3.5 7 2.5 6 3 4"\nwidth="1/4"\nstart_tuck="1/4"\n'
    assert not [note for note in draft_block(parse_block(GROUND + stem)).notes if "shows" in note]


def test_a_block_without_applique_has_none():
    assert turned_edges(draft_block(open_block("nine patch"))) == ()
