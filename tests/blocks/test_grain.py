"""Grain maps: every patch is a real part of its piece, reached by hands that turn cloth but never mirror it.

Source: the making itself. A motion keeps lengths and the sense of turning; a patch lies on its piece with the
seam allowance round it; no thread of a piece shows in two patches.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction as F
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon, box

from blocks.drafting import draft_block
from blocks.library import block_names, open_block
from blocks.motion import shift, turn
from blocks.polygons import area
from blocks.upright import lay_upright
from blocks.values import Bend, CutBias, CutOutline, CutRectangle
from tests.blocks.random_blocks import SEAMS, blocks

NEAR = 1e-6
ARC = 0.99
"""Round corners are cut as many straight sides, whose middles lie up to a hundredth nearer."""


def polygon(outline):
    return Polygon([(float(x), float(y)) for x, y in outline])


def cloth_of(shape):
    return (
        polygon(shape.outline)
        if isinstance(shape, CutOutline)
        else box(0, 0, float(shape.width_in), float(shape.height_in))
    )


def check_is_rigid(motion, outline):
    """Lengths and the right-handed frame stay as they are: a turn and a shift, determinant +1."""
    if isinstance(motion.cos, F) and isinstance(motion.sin, F):
        assert motion.cos**2 + motion.sin**2 == 1
    (ox, oy), (ax, ay), (bx, by) = (motion((F(x), F(y))) for x, y in ((0, 0), (1, 0), (0, 1)))
    across, down = (ax - ox, ay - oy), (bx - ox, by - oy)
    assert float(across[0] * down[1] - across[1] * down[0]) == pytest.approx(1, abs=1e-12)
    assert float(across[0] ** 2 + across[1] ** 2) == pytest.approx(1, abs=1e-12)
    assert float(down[0] ** 2 + down[1] ** 2) == pytest.approx(1, abs=1e-12)
    assert float(area(motion.all(outline))) == pytest.approx(float(area(outline)), rel=1e-9)


def check_lies_on_strip(bend, outline, shape):
    """A bent strip covers its patch, and its centre line with all tucks is no longer than the strip."""
    line = LineString(bend.centre)
    assert bend.middle_in == float(shape.width_in) / 2
    assert bend.start_in >= 0
    assert bend.start_in + line.length <= shape.length_in + NEAR
    half = float(shape.finished_width_in) / 2
    assert half <= bend.middle_in
    for x, y in outline:
        assert line.distance(Point(x, y)) <= half * 1.02 + 1e-3


def check_grain(draft, *, turned_under):
    """`turned_under` gives the allowance of each appliqué step; everything else is sewn into seams."""
    spots = defaultdict(list)
    for patch in draft.patches:
        piece = draft.pieces[patch.piece]
        assert piece.number == patch.piece
        assert piece.role == patch.role
        if isinstance(patch.to_piece, Bend):
            assert isinstance(piece.shape, CutBias)
            check_lies_on_strip(patch.to_piece, patch.outline, piece.shape)
            continue
        check_is_rigid(patch.to_piece, patch.outline)
        spot, cloth = polygon(patch.to_piece.all(patch.outline)), cloth_of(piece.shape)
        margin = ARC * float(turned_under[patch.step]) if patch.is_applique() else float(draft.seam_in)
        assert cloth.buffer(NEAR).contains(spot), (patch.step, spot.wkt, cloth.wkt)
        assert cloth.exterior.distance(spot) >= margin - NEAR, (patch.step, spot.wkt, cloth.wkt)
        if isinstance(piece.shape, CutOutline):
            assert polygon(piece.shape.finished).buffer(10 * NEAR).contains(spot)
        spots[patch.piece].append(spot)
    for on_one_piece in spots.values():
        for first, second in combinations(on_one_piece, 2):
            assert first.intersection(second).area < NEAR


@pytest.mark.parametrize("name", block_names())
def test_every_patch_of_the_library_lies_on_its_cloth(name):
    block = open_block(name)
    draft = draft_block(block)
    turned_under = {item.name: item.turn_under_in for item in block.applique}
    check_grain(draft, turned_under=turned_under)
    upright = lay_upright(draft, roles={piece.role for piece in draft.pieces})
    check_grain(upright, turned_under=turned_under)


@settings(max_examples=30)
@given(block=blocks(), seam_in=st.sampled_from(SEAMS))
def test_every_patch_of_a_random_block_lies_on_its_cloth(block, seam_in):
    draft = draft_block(block, seam_in=seam_in)
    check_grain(draft, turned_under={})
    check_grain(lay_upright(draft, roles={piece.role for piece in draft.pieces}), turned_under={})


@settings(max_examples=30)
@given(block=blocks(), seam_in=st.sampled_from(SEAMS))
def test_exact_cloth_stays_exact(block, seam_in):
    """Where the ruler is exact, so is the map: rectangles hold their patches without any slack."""
    draft = draft_block(block, seam_in=seam_in)
    for patch in draft.patches:
        shape = draft.pieces[patch.piece].shape
        spot = patch.to_piece.all(patch.outline)
        cut = (shape.width_in, shape.height_in) if isinstance(shape, CutRectangle) else (0.0,)
        if all(isinstance(length, F) for length in (*cut, *(n for point in spot for n in point))):
            for x, y in spot:
                assert seam_in <= x <= cut[0] - seam_in
                assert seam_in <= y <= cut[1] - seam_in


def moved(draft, number, change):
    """A draft with the map of one patch spoilt."""
    patches = tuple(
        replace(p, to_piece=change(p.to_piece)) if p.number == number else p for p in draft.patches
    )
    return replace(draft, patches=patches)


@pytest.mark.parametrize(
    "change",
    [
        lambda motion: shift(F(1, 8), F(0)).after(motion),
        lambda motion: turn(90).after(motion),
        lambda motion: replace(motion, cos=motion.sin, sin=motion.sin),
    ],
    ids=["an eighth aside", "turned about a corner", "stretched"],
)
def test_a_wrong_map_is_noticed(change):
    draft = draft_block(open_block("sawtooth star"))
    check_grain(draft, turned_under={})
    for patch in draft.patches:
        with pytest.raises(AssertionError):
            check_grain(moved(draft, patch.number, change), turned_under={})
