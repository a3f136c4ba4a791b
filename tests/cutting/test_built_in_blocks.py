"""The cutting plans of the blocks that come with the tool: what is seen lies on the cloth that is cut."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
from shapely.geometry import Polygon, box

from blocks.drafting import draft_block
from blocks.library import block_names, open_block
from blocks.motion import Motion
from blocks.values import CutBias, CutOutline, Draft
from cutting.layout import all_places, lay_out
from cutting.rules import CuttingRules
from cutting.sheet import cutting_text
from tests.cutting.handmade import square_points

F = Fraction
CLOTHS = ("hay meadow", "clover field", "bee garden")


def polygon(points: tuple[tuple[float | F, float | F], ...]) -> Polygon:
    return Polygon([(float(x), float(y)) for x, y in points])


def drafted(name: str) -> tuple[Draft, dict[str, str]]:
    """A block, its roles shared among three cloths."""
    draft = draft_block(open_block(name))
    roles = list(dict.fromkeys(piece.role for piece in draft.pieces))
    return draft, {role: CLOTHS[i % len(CLOTHS)] for i, role in enumerate(roles)}


@pytest.mark.parametrize("may_turn", [False, True])
@pytest.mark.parametrize("name", block_names())
def test_what_shows_of_a_patch_lies_inside_its_own_cut_piece(name: str, may_turn: bool) -> None:
    draft, cloth_of = drafted(name)
    plans = lay_out(draft, cloth_of=cloth_of, width_of_fabric_in={}, rules=CuttingRules(may_turn=may_turn))
    places = all_places(plans)
    boxes = {laid.piece: (plan.cloth, laid) for plan in plans for laid in plan.laid}
    assert sorted(places) == [piece.number for piece in draft.pieces]
    lying: dict[int, Polygon] = {}
    for piece in draft.pieces:
        shape = piece.shape
        if isinstance(shape, CutOutline):
            outline = shape.outline
        elif isinstance(shape, CutBias):
            outline = square_points(F(shape.length_in), shape.width_in)
        else:
            outline = square_points(shape.width_in, shape.height_in)  # type: ignore[arg-type]
        lying[piece.number] = polygon(places[piece.number].all(outline))
        _, laid = boxes[piece.number]
        cut = box(
            *map(
                float, (laid.left_in, laid.top_in, laid.left_in + laid.width_in, laid.top_in + laid.height_in)
            )
        )
        assert cut.buffer(1e-6).contains(lying[piece.number])
    for one, two in combinations(lying, 2):
        if boxes[one][0] == boxes[two][0]:
            assert lying[one].intersection(lying[two]).area < 1e-6
    for patch in draft.patches:
        if isinstance(patch.to_piece, Motion):
            seen = polygon(places[patch.piece].after(patch.to_piece).all(patch.outline))
            assert lying[patch.piece].buffer(2e-3).contains(seen)


@pytest.mark.parametrize("name", block_names())
def test_a_sheet_lists_every_piece_of_the_block(name: str) -> None:
    draft, cloth_of = drafted(name)
    text = cutting_text(draft, lay_out(draft, cloth_of=cloth_of, width_of_fabric_in={}, blocks=2))
    assert draft.name in text
    assert all(role in text for role in cloth_of)
    assert max(map(len, text.splitlines())) <= 96
