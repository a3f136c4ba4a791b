"""Blocks at other sizes: everything drawn follows, allowances do not, and the ruler's marks are checked."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.blockfile import parse_block
from blocks.drafting import draft_block
from blocks.lengths import parse_inches
from blocks.library import open_block
from blocks.polygons import area
from blocks.scaling import ScaleError, check_grid, scale_block


@given(st.fractions(1, 40, max_denominator=16))
def test_a_scaled_block_still_tiles(width):
    block = scale_block(open_block("sawtooth star"), width_in=width)
    draft = draft_block(block)
    assert sum(area(patch.outline) for patch in draft.patches) == width**2


def test_stems_keep_their_tucks_and_grow():
    small, large = (scale_block(open_block("orchard lantern"), width_in=F(w)) for w in (12, 18))
    stems = [block.applique[0].shape for block in (small, large)]
    assert stems[1].width_in == stems[0].width_in * F(3, 2)
    assert stems[1].start_tuck_in == stems[0].start_tuck_in
    assert stems[1].centre.segments[0].start == tuple(F(3, 2) * v for v in stems[0].centre.segments[0].start)
    draft_block(large)


def test_metric_blocks_have_their_own_seam():
    """30 cm with 7.5 mm seams: squares of 10 cm are cut 11.5 cm. Common practice, no source."""
    block = scale_block(open_block("nine patch"), width_in=parse_inches("30 cm"))
    draft = draft_block(block, seam_in=parse_inches("7.5 mm"))
    assert {piece.shape.width_in for piece in draft.pieces} == {parse_inches("11.5 cm")}


@pytest.mark.parametrize(
    ("width", "grid", "below", "above"),
    [
        ("10", "1/8", F(39, 4), F(81, 8)),
        ("9", "1/8", F(9), F(9)),
        ("25 cm", "5 mm", "24 cm", "25.5 cm"),
    ],
)
def test_sizes_that_miss_the_marks_name_those_that_do(width, grid, below, above):
    """A nine patch lands where a third of it does: multiples of 3/8 in, of 15 mm."""
    report = check_grid(
        scale_block(open_block("nine patch"), width_in=parse_inches(width)), grid_in=parse_inches(grid)
    )
    below, above = (parse_inches(v) if isinstance(v, str) else v for v in (below, above))
    assert (report.below_in, report.above_in) == (below, above)
    assert bool(report.off) == (below != above)
    assert bool(report.sentence()) == bool(report.off)
    for size in (below, above):
        again = scale_block(open_block("nine patch"), width_in=size)
        assert not check_grid(again, grid_in=parse_inches(grid)).off


def test_template_paths_scale_too():
    text = 'name="q"\nfinished="4"\n[[step]]\nname="q"\nmake="template"\nfinished="4"\npatches=[{cloth="x",path="M 0 0 L 3 0 A 3 3 0 0 1 0 3 Z"},{cloth="y",path="M 3 0 L 4 0 L 4 4 L 0 4 L 0 3 A 3 3 0 0 0 3 0 Z"}]'
    draft = draft_block(scale_block(parse_block(text), width_in=F(7)))
    assert sum(area(patch.outline) for patch in draft.patches) == 49


@pytest.mark.parametrize("width", [F(0), F(1, 8), F(1000)])
def test_absurd_sizes_are_refused(width):
    with pytest.raises(ScaleError):
        scale_block(open_block("nine patch"), width_in=width)
