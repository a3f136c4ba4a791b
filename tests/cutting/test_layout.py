from __future__ import annotations

from fractions import Fraction
from itertools import combinations
from math import sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from blocks.lengths import MM_PER_IN
from blocks.values import CutBias, CutOutline, CutPiece, CutRectangle, Draft
from cutting.layout import ClothPlan, MissingClothError, TooWideError, all_places, lay_out
from cutting.plan import metres_to_buy, yards_to_buy
from cutting.rules import CuttingRules, RulesError
from tests.cutting.handmade import (
    Shape,
    half_square,
    leaf,
    make_draft,
    rectangles,
    square_points,
    squares,
    stem,
)

F = Fraction

NO_TRIM = CuttingRules(selvage_in=F(0))
TURNING = CuttingRules(selvage_in=F(0), may_turn=True)


def plan_one(
    draft: Draft, *, width: int | F = 42, rules: CuttingRules = NO_TRIM, **settings: object
) -> ClothPlan:
    """The plan when every role is cut from one cloth of this width."""
    roles = dict.fromkeys((piece.role for piece in draft.pieces), "hay")
    (plan,) = lay_out(
        draft,
        cloth_of=roles,
        width_of_fabric_in={"hay": F(width)},
        rules=rules,
        **settings,  # type: ignore[arg-type]
    )
    return plan


def on_cloth(piece: CutPiece, plan: ClothPlan) -> Polygon:
    """The piece as it lies on its cloth."""
    shape = piece.shape
    if isinstance(shape, CutOutline):
        outline = shape.outline
    elif isinstance(shape, CutBias):
        outline = square_points(F(shape.length_in), shape.width_in)
    else:
        outline = square_points(shape.width_in, shape.height_in)
    points = plan.places[piece.number].all(outline)
    return Polygon([(float(x), float(y)) for x, y in points])


# What makers meet


def test_a_hundred_squares_leave_nothing_at_42_and_fall_short_at_41() -> None:
    draft = make_draft(squares(F(7, 2), 100))
    wide, narrow = plan_one(draft, width=42), plan_one(draft, width=41)
    assert (wide.length_in, wide.yards, wide.spare_length_in) == (F(63, 2), F(7, 8), 0)
    assert len(wide.strips) == 9
    assert wide.spare_width_in == 0
    assert (narrow.length_in, len(narrow.strips)) == (F(35), 10)
    assert wide.narrower_length_in == F(35)
    assert any("Nothing of the length" in warning for warning in wide.warnings)
    assert any("takes 35 in, not 31 1/2 in" in warning for warning in wide.warnings)


def test_a_plan_with_room_to_spare_warns_of_nothing() -> None:
    plan = plan_one(make_draft(squares(F(7, 2), 5)))
    assert plan.warnings == ()
    assert (plan.spare_length_in, plan.spare_width_in) == (F(1), F(49, 2))


def test_upright_pieces_of_a_one_way_print_are_never_turned() -> None:
    draft = make_draft(rectangles(F(5, 2), F(9, 2), 24))
    upright = plan_one(draft, rules=TURNING, one_way={"hay"})
    turned = plan_one(draft, rules=TURNING)
    assert (upright.length_in, len(upright.strips)) == (F(9), 2)
    assert (turned.length_in, len(turned.strips)) == (F(15, 2), 3)
    assert not any(laid.turned for laid in upright.laid)
    assert all(laid.turned for laid in turned.laid)
    # Unless the maker allows turning, nothing turns either.
    assert plan_one(draft).length_in == F(9)


def test_seventy_squares_from_44_inches_take_five_strips() -> None:
    plan = plan_one(make_draft(squares(F(5, 2), 70)), width=44)
    assert len(plan.strips) == 5
    assert len(plan.strips[0].blanks) == 17


def test_seven_inch_squares_from_a_yard_of_44() -> None:
    plan = plan_one(make_draft(squares(F(7), 30)), width=44)
    assert plan.length_in <= 36
    assert plan_one(make_draft(squares(F(7), 31)), width=44).length_in > 36


def test_eight_fives_fit_across_forty() -> None:
    plan = plan_one(make_draft(squares(F(5), 8)), rules=CuttingRules())
    assert (plan.width_of_fabric_in, plan.usable_in, plan.length_in) == (F(42), F(40), F(5))
    assert plan.spare_width_in == 0
    # Half the selvage is trimmed at each side.
    assert min(laid.left_in for laid in plan.laid) == 1
    assert max(laid.left_in + laid.width_in for laid in plan.laid) == 41
    assert plan.narrower_length_in == F(10)


# What to buy


def test_yards_are_rounded_up_to_eighths_and_metres_to_five_centimetres() -> None:
    hair = F(1, 10**9)
    assert [yards_to_buy(F(9, 2) + more) for more in (-hair, F(0), hair)] == [F(1, 8), F(1, 8), F(1, 4)]
    five_cm = 50 / MM_PER_IN
    assert [metres_to_buy(five_cm + more) for more in (-hair, F(0), hair)] == [F(1, 20), F(1, 20), F(1, 10)]


@given(st.fractions(F(1, 16), 500, max_denominator=64))
def test_what_is_bought_is_enough_and_not_a_step_too_much(length: F) -> None:
    assert 0 <= yards_to_buy(length) * 36 - length < F(9, 2)
    assert 0 <= metres_to_buy(length) * 1000 - length * MM_PER_IN < 50


# Every piece has its own place


SIDES = st.integers(8, 80).map(lambda eighths: F(eighths, 8))
SHAPES = st.one_of(
    st.builds(CutRectangle, SIDES, SIDES),
    st.builds(lambda side: CutRectangle(side * sqrt(2), side * sqrt(2)), st.integers(1, 6)),
    st.builds(CutBias, st.sampled_from([F(5, 8), F(1), F(3, 4)]), st.floats(2, 12), st.just(F(1, 4))),
    st.builds(lambda left, top: leaf(left=left, top=top)[1], st.floats(-3, 3), st.floats(-3, 3)),
)


@settings(max_examples=40, deadline=None)
@given(
    shapes=st.lists(SHAPES, min_size=1, max_size=14),
    width=st.integers(20, 46),
    may_turn=st.booleans(),
    grid=st.sampled_from([F(1, 8), 1 / MM_PER_IN]),
)
def test_no_piece_overlaps_another_or_leaves_the_cloth(
    shapes: list[Shape], width: int, may_turn: bool, grid: F
) -> None:
    draft = make_draft([("ground", shape) for shape in shapes])
    rules = CuttingRules(grid_in=grid, may_turn=may_turn)
    plan = plan_one(draft, width=width, rules=rules)
    lying = [on_cloth(piece, plan) for piece in draft.pieces]
    usable = box(1, 0, width - 1, float(plan.length_in)).buffer(1e-6)
    assert all(usable.contains(polygon) for polygon in lying)
    for one, two in combinations(lying, 2):
        assert one.intersection(two).area < 1e-6
    # Bias strips also stay inside their own square, and whole pieces inside their own box.
    for laid in plan.laid:
        cut = box(
            *map(
                float, (laid.left_in, laid.top_in, laid.left_in + laid.width_in, laid.top_in + laid.height_in)
            )
        )
        assert cut.buffer(1e-6).contains(lying[laid.piece])
    assert sorted(laid.piece for laid in plan.laid) == list(range(len(shapes)))


def test_exact_pieces_keep_exact_places() -> None:
    draft = make_draft([*squares(F(10, 3), 3), *rectangles(F(5, 2), F(9, 2), 2)])
    plan = plan_one(draft, rules=TURNING)
    for place in plan.places.values():
        assert all(isinstance(number, F) for number in (place.cos, place.sin, place.dx_in, place.dy_in))


def test_a_piece_lies_in_the_middle_of_its_rounded_box() -> None:
    draft = make_draft([half_square(F(3))])
    plan = plan_one(draft)
    (laid,) = plan.laid
    assert (laid.width_in, laid.height_in) == (F(31, 8), F(31, 8))
    middle = 3.8535533 / 2
    assert laid.place((middle, middle)) == pytest.approx((31 / 16, 31 / 16), abs=1e-6)


def test_an_upright_piece_keeps_its_grain_along_the_cloth() -> None:
    plan = plan_one(make_draft(rectangles(F(5, 2), F(9, 2), 1)))
    assert plan.places[0]((F(0), F(9, 2))) == (F(0), F(9, 2))


def test_a_turned_piece_carries_the_turn_in_its_place() -> None:
    plan = plan_one(make_draft(rectangles(F(5, 2), F(9, 2), 24)), rules=TURNING)
    place = plan.places[0]
    # A clockwise quarter turn: the piece's top left lies at the box's top right, its left edge on top.
    assert place((F(0), F(0))) == (F(9, 2), F(0))
    assert place((F(5, 2), F(0))) == (F(9, 2), F(5, 2))
    assert place((F(0), F(9, 2))) == (F(0), F(0))


def test_a_template_is_moved_by_its_box_wherever_its_frame_begins() -> None:
    plan = plan_one(make_draft([leaf(left=-2.0, top=5.0)]), rules=CuttingRules())
    assert plan.places[0]((-1.5, 5.0)) == pytest.approx((1.5, 0.0))


def test_a_bias_strip_lies_at_45_degrees_with_its_middle_on_the_other_diagonal() -> None:
    draft = make_draft([stem(6.0), stem(5.0), stem(5.0)])
    plan = plan_one(draft)
    ((placed,),) = [plan.squares]
    side = placed.square.side_in
    for piece in draft.pieces:
        assert isinstance(piece.shape, CutBias)
        place = plan.places[piece.number]
        assert (place.cos, place.sin) == pytest.approx((sqrt(0.5), sqrt(0.5)))
        x, y = place((piece.shape.length_in / 2, float(piece.shape.width_in) / 2))
        assert x + y == pytest.approx(float(side))
    # The longest lies nearest to the corner-to-corner line.
    away = [abs(s.across_in + s.width_in / 2) for s in sorted(placed.square.strips, key=lambda s: s.number)]
    assert away[0] <= min(away[1:])


def test_small_pieces_are_cut_beside_the_bias_square() -> None:
    draft = make_draft([*[stem(8.0, role="ground")] * 4, *squares(F(2), 20)])
    plan = plan_one(draft, rules=CuttingRules())
    (placed,) = plan.squares
    assert plan.length_in == placed.square.side_in


def test_long_stems_get_a_square_of_their_own_size() -> None:
    plan = plan_one(make_draft([stem(30.0)]), rules=CuttingRules())
    (placed,) = plan.squares
    assert placed.square.side_in > CuttingRules().largest_bias_in


# Several blocks, several cloths


def test_forty_blocks_are_cut_together_and_every_piece_counts() -> None:
    draft = make_draft([*squares(F(5, 2), 9), stem(5.0), leaf()])
    plan = plan_one(draft, blocks=40)
    assert len(plan.laid) == 40 * 11
    assert sorted(plan.places) == list(range(11))
    assert len({(laid.left_in, laid.top_in) for laid in plan.laid if laid.piece < 9}) == 360
    # Cut one block at a time, the same would take more.
    assert plan.length_in < 40 * plan_one(draft).length_in
    assert all(placed.square.side_in <= CuttingRules().largest_bias_in for placed in plan.squares)


def test_roles_may_share_a_cloth_and_single_pieces_may_leave_it() -> None:
    draft = make_draft([*squares(F(3), 2), *squares(F(3), 2, role="petal"), *squares(F(2), 1, role="leaf")])
    plans = lay_out(
        draft,
        cloth_of={"ground": "hay", "petal": "hay", "leaf": "moss"},
        width_of_fabric_in={"hay": F(42), "moss": F(44), "rose": F(43)},
        overrides={3: "rose"},
    )
    assert [(plan.cloth, sorted(plan.places), plan.usable_in) for plan in plans] == [
        ("hay", [0, 1, 2], F(40)),
        ("rose", [3], F(41)),
        ("moss", [4], F(42)),
    ]
    assert sorted(all_places(plans)) == [0, 1, 2, 3, 4]


def test_a_cloth_of_unknown_width_is_taken_as_42_and_says_so() -> None:
    (plan,) = lay_out(make_draft(squares(F(3), 2)), cloth_of={"ground": "hay"}, width_of_fabric_in={})
    assert plan.width_of_fabric_in == 42
    assert "not given" in plan.warnings[0]


# Mistakes


def test_a_role_without_cloth_is_named() -> None:
    with pytest.raises(MissingClothError, match='"petal"') as found:
        lay_out(make_draft(squares(F(3), 1, role="petal")), cloth_of={}, width_of_fabric_in={})
    assert "petal" in found.value.mend


def test_a_piece_wider_than_its_cloth_is_refused_with_both_lengths() -> None:
    draft = make_draft(rectangles(F(81, 2), F(2), 1))
    with pytest.raises(TooWideError, match=r"ground.*40 1/2 in wide.*40 in") as found:
        plan_one(draft, rules=CuttingRules())
    assert found.value.mend.endswith(".")
    # Turned, it fits.
    plan = plan_one(draft, rules=CuttingRules(may_turn=True))
    assert plan.laid[0].turned
    assert plan.length_in == F(81, 2)


def test_a_stem_too_long_for_the_cloth_is_refused() -> None:
    with pytest.raises(TooWideError, match=r"70\.00 in long") as found:
        plan_one(make_draft([stem(70.0)]))
    assert found.value.mend


def test_a_cloth_narrower_than_its_selvages_is_refused() -> None:
    with pytest.raises(RulesError, match="hay"):
        plan_one(make_draft(squares(F(3), 1)), width=2, rules=CuttingRules())


def test_a_plan_that_fails_one_inch_narrower_says_so() -> None:
    plan = plan_one(make_draft(rectangles(F(40), F(2), 1)), rules=CuttingRules())
    assert plan.narrower_length_in is None
    assert any("no longer fits" in warning for warning in plan.warnings)


def test_pieces_of_one_role_lie_side_by_side() -> None:
    draft = make_draft([*squares(F(3), 1), *squares(F(3), 1, role="petal")] * 3)
    plan = plan_one(draft, blocks=2)
    from_left = sorted(plan.laid, key=lambda laid: laid.left_in)
    assert [draft.pieces[laid.piece].role for laid in from_left] == ["ground"] * 6 + ["petal"] * 6


def test_an_absurd_number_of_blocks_is_refused() -> None:
    with pytest.raises(RulesError, match="1000000 is not a number of blocks"):
        plan_one(make_draft(squares(F(3), 1)), blocks=10**6)
