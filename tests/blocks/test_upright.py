"""One-way prints: how they finish, how pieces are laid so that they finish upright, and what cannot."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blocks.blockfile import Block, parse_block
from blocks.drafting import draft_block
from blocks.library import open_block
from blocks.methods import with_method
from blocks.polygons import area
from blocks.quilt import set_quilt, write_out
from blocks.setting import Setting
from blocks.steps import CORNERS, Corner, FlippedCorners, Made, Mirrored, Part, Rectangle, StripSet, Triangles
from blocks.upright import NoSuchRoleError, lay_upright, print_turns, upright_advice
from blocks.values import CutOutline, CutRectangle
from tests.blocks.random_blocks import SEAMS, blocks

HALF = Triangles("half", "half-square triangle", F(3), F(3), ("rose", "ground"), "two at a time")
GOOSE = Triangles("goose", "flying geese", F(4), F(2), ("rose", "ground"), "four from one square")


def row_of(step, *quarters):
    """A block of one unit, side by side at these turns."""
    rows = (tuple(Part(step.name, q) for q in quarters),)
    return Block("row", step.width_in * len(quarters), step.height_in, (), (step, Made("row", rows, "row")))


def turns_of(draft, role):
    """How many patches of a role finish at each turn."""
    counts = Counter()
    for group in print_turns(draft):
        if group.role == role:
            counts[group.turn_deg] += group.count
    return dict(counts)


def stripe_in_block(draft, number):
    """Which way a stripe that runs along the grain of its piece runs in the finished block."""
    patch = draft.patches[number - 1]
    back = patch.to_piece.inverse()
    (x, y), (u, v) = back((F(0), F(0))), back((F(0), F(1)))
    return "across" if abs(u - x) > abs(v - y) else "up and down"


# --- how prints finish


@pytest.mark.parametrize(("at", "deg"), list(zip(CORNERS, (90, 270, 270, 90), strict=True)))
def test_a_flipped_corner_turns_its_print_by_a_quarter(at, deg):
    """Source: two mirrors. Up stays up as the square is turned over sideways; over a seam that rises to the
    right up becomes right, over one that falls it becomes left."""
    step = FlippedCorners("snow", F(4), F(4), "ground", "", (Corner(at, "rose", F(2)),))
    draft = draft_block(Block("one", F(4), F(4), (), (step,)))
    assert turns_of(draft, "rose") == {deg: 1}
    assert turns_of(draft, "ground") == {0: 1}


def test_groups_carry_step_role_count_and_patches():
    groups = print_turns(draft_block(open_block("sawtooth star")))
    assert sum(group.count for group in groups) == len(draft_block(open_block("sawtooth star")).patches)
    geese = [group for group in groups if group.step == "goose" and group.role == "point"]
    assert [(group.turn_deg, group.count) for group in geese] == [(0, 2), (90, 2), (180, 2), (270, 2)]
    assert all(len(group.patches) == group.count for group in groups)
    bases = {group.turn_deg: group.count for group in groups if group.step == "goose: base"}
    assert bases == {0: 1, 90: 1, 180: 1, 270: 1}


def test_a_bent_strip_is_told_along_its_curve():
    groups = [group for group in print_turns(draft_block(open_block("orchard lantern"))) if group.along_curve]
    assert {group.role for group in groups} == {"stem"}
    assert all(group.turn_deg == 45 for group in groups)


def test_two_halves_of_one_diagonal_are_the_same_unit():
    """Scenario 21: turned half round they look alike, prints upside down; no mirror pair comes of them."""
    draft = draft_block(row_of(HALF, 0, 0))
    first, second = draft.patches[:2], draft.patches[2:]
    assert [[(x + 3, y) for x, y in p.outline] for p in first] == [list(p.outline) for p in second]
    assert turns_of(draft, "rose") == {0: 1, 180: 1}
    assert turns_of(draft, "ground") == {90: 1, 270: 1}


def test_four_geese_of_one_square_show_the_stripe_two_ways():
    """Scenario 21: two come out with the stripe one way, two the other."""
    draft = draft_block(row_of(GOOSE, 0, 0, 0, 0))
    assert turns_of(draft, "rose") == {0: 1, 90: 1, 180: 1, 270: 1}
    ways = Counter(stripe_in_block(draft, patch.number) for patch in draft.patches if patch.role == "rose")
    assert ways == {"across": 2, "up and down": 2}


# --- laid upright


def test_a_stripe_that_is_to_finish_upright_is_laid_across():
    """Scenario 20."""
    step = FlippedCorners("petal", F(4), F(3), "rose", "", (Corner("top left", "ground", F(2)),))
    block = Block("petal", F(4), F(3), (), (step,))
    draft = draft_block(block)
    corner = next(patch.number for patch in draft.patches if patch.role == "ground")
    assert stripe_in_block(draft, corner) == "across"
    laid = lay_upright(draft, roles={"ground"})
    assert stripe_in_block(laid, corner) == "up and down"
    assert turns_of(laid, "ground") == {0: 1}
    assert laid.pieces == draft.pieces
    assert laid.notes == draft.notes
    (told,) = upright_advice(block, roles={"ground"})
    assert "lay 1 ground square face up with the print running across, its top to the left" in told


def test_a_rectangle_is_cut_the_other_way():
    bar = Rectangle("bar", F(4), F(2), "rose")
    block = Block("bars", F(2), F(8), (), (bar, Made("bars", ((Part("bar", 1),), (Part("bar", 3),)), "rows")))
    draft = draft_block(block)
    laid = lay_upright(draft, roles={"rose"})
    assert {(p.shape.width_in, p.shape.height_in) for p in draft.pieces} == {(F(9, 2), F(5, 2))}
    assert {(p.shape.width_in, p.shape.height_in) for p in laid.pieces} == {(F(5, 2), F(9, 2))}
    assert turns_of(laid, "rose") == {0: 2}
    assert [patch.outline for patch in laid.patches] == [patch.outline for patch in draft.patches]


def test_other_roles_stay_as_they_are():
    draft = draft_block(open_block("sawtooth star"))
    laid = lay_upright(draft, roles={"point"})
    others = [(p, draft.pieces[p.piece]) for p in draft.patches if p.role != "point"]
    assert others == [(p, laid.pieces[p.piece]) for p in laid.patches if p.role != "point"]
    assert turns_of(laid, "point") == {0: 8}


def test_four_geese_of_one_square_suit_a_star():
    """Scenario 21: fine for a star. Each goose goes where its print stands upright; nothing is cut anew."""
    block = with_method(open_block("sawtooth star"), "goose", "four from one square")
    draft = draft_block(block)
    assert turns_of(draft, "background") != {0: 8}
    laid = lay_upright(draft, roles={"background", "point"})
    assert turns_of(laid, "background") == {0: 8}
    assert turns_of(laid, "point") == {0: 8}
    assert laid.notes == draft.notes
    assert [p.shape for p in laid.pieces if p.step == "goose"] == [
        p.shape for p in draft.pieces if p.step == "goose"
    ]


def test_four_geese_of_one_square_do_not_suit_a_row():
    """Scenario 21: wrong for a row; one at a time they can."""
    block = row_of(GOOSE, 0, 0, 0, 0)
    laid = lay_upright(draft_block(block), roles={"rose"})
    assert turns_of(laid, "rose")[0] == 1
    (note,) = laid.notes
    assert note.startswith("goose: 3 of 4 rose patches cannot finish with the print upright")
    assert "one at a time" in note
    single = lay_upright(draft_block(with_method(block, "goose", "one at a time")), roles={"rose", "ground"})
    assert turns_of(single, "rose") == {0: 4}
    assert turns_of(single, "ground") == {0: 8}
    assert single.notes == ()


def test_a_pinwheel_takes_pairs_of_two_diagonals():
    """Scenario 21: for opposites half of the squares need the other diagonal, that is, lie across."""
    block = row_of(HALF, 0, 1, 2, 3)
    laid = lay_upright(draft_block(block), roles={"rose", "ground"})
    assert turns_of(laid, "rose") == {0: 4}
    assert turns_of(laid, "ground") == {0: 4}
    assert laid.notes == ()
    told = " ".join(upright_advice(block, roles={"rose", "ground"}))
    assert "1 pair of squares with the rose print upright and the ground print across" in told
    assert "1 pair of squares with the rose print across and the ground print upright" in told


@pytest.mark.parametrize(
    ("method", "way"),
    [
        ("two at a time", "single triangles"),
        ("eight at a time", "single triangles"),
        ("four at a time", "one by one"),
    ],
)
def test_half_squares_all_one_way_are_told_with_their_count(method, way):
    block = with_method(row_of(HALF, *[0] * 8), "half", method)
    laid = lay_upright(draft_block(block), roles={"rose"})
    upright = {"two at a time": 4, "eight at a time": 2, "four at a time": 0}[method]
    assert turns_of(laid, "rose").get(0, 0) == upright
    note = next(note for note in laid.notes if "cannot" in note)
    assert note.startswith(f"half: {8 - upright} of 8 rose patches")
    assert way in note


def test_eight_at_a_time_that_pairs_could_serve_are_told_so():
    """Whichever way one cloth's large square lies, the other's then lies wrong for some; pairs lie free."""
    block = row_of(HALF, 0, 1, 2, 3, 0, 1, 2, 3)
    both = {"rose", "ground"}
    eight = lay_upright(draft_block(with_method(block, "half", "eight at a time")), roles=both)
    assert all("Make them two at a time" in note for note in eight.notes)
    assert len(eight.notes) == 2
    two = lay_upright(draft_block(block), roles=both)
    assert turns_of(two, "rose") == turns_of(two, "ground") == {0: 8}
    alone = lay_upright(draft_block(with_method(block, "half", "eight at a time")), roles={"rose"})
    assert turns_of(alone, "rose") == {0: 8}


def test_a_strip_set_used_both_ways_is_told():
    strips = StripSet("rails", F(3), (("rose", F(1)), ("ground", F(1)), ("leaf", F(1))))
    block = Block(
        "fence",
        F(12),
        F(3),
        (),
        (strips, Made("fence", (tuple(Part("rails", q) for q in (0, 1, 1, 1)),), "row")),
    )
    draft = draft_block(block)
    laid = lay_upright(draft, roles={"rose"})
    assert turns_of(laid, "rose") == {0: 3, 270: 1}
    (note,) = laid.notes
    assert note.startswith("rails: 1 of 4 rose patches")
    assert "one strip set for each way" in note
    strip, before = (next(p.shape for p in d.pieces if p.role == "rose") for d in (laid, draft))
    assert (strip.width_in, strip.height_in) == (before.height_in, before.width_in)


def test_a_square_on_its_point_is_cut_on_the_bias():
    draft = draft_block(open_block("square in a square"))
    laid = lay_upright(draft, roles={"middle"})
    assert turns_of(laid, "middle") == {0: 1}
    (piece,) = [p for p in laid.pieces if p.role == "middle"]
    assert isinstance(piece.shape, CutOutline)
    (before,) = [p for p in draft.pieces if p.role == "middle"]
    assert float(area(piece.shape.outline)) == pytest.approx(float(before.shape.width_in) ** 2)
    assert any("bias edges" in note for note in laid.notes)


def test_appliqué_is_cut_with_its_grain_turned():
    draft = draft_block(open_block("rose of sharon"))
    petals = {piece.number for piece in draft.pieces if piece.step == "outer petal"}
    laid = lay_upright(draft, roles={"rose"})
    assert turns_of(laid, "rose") == {0: len([p for p in draft.patches if p.role == "rose"])}
    before, after = ([d.pieces[n].shape for n in sorted(petals)] for d in (draft, laid))
    assert len(set(before)) == 1
    assert len(set(after)) > 1
    for one, other in zip(before, after, strict=True):
        assert float(area(one.outline)) == pytest.approx(float(area(other.outline)), rel=1e-9)


def test_bent_strips_are_told():
    laid = lay_upright(draft_block(open_block("orchard lantern")), roles={"stem"})
    assert sum("1 stem strip runs at 45 degrees to the curve" in note for note in laid.notes) == 3


def test_an_on_point_quilt_is_laid_upright_too():
    block = open_block("sawtooth star")
    setting = Setting(
        ((Part("star"),) * 2,) * 2, on_point=True, between=((Part("star", 1),),), triangle_cloth="edge"
    )
    quilt = write_out(set_quilt(setting, {"star": block}, seam_in=F(1, 4)))
    assert set(turns_of(quilt, "point")) == {45, 135, 225, 315}
    assert turns_of(lay_upright(quilt, roles={"point"}), "point") == {0: 40}


def test_a_role_that_is_not_there_is_refused():
    with pytest.raises(NoSuchRoleError, match="petunia") as caught:
        lay_upright(draft_block(open_block("sawtooth star")), roles={"petunia"})
    assert "background" in caught.value.mend


# --- for any block


def near(patch):
    """The corners of a patch on its piece, to a millionth of an inch."""
    return frozenset((round(float(x), 6), round(float(y), 6)) for x, y in patch.to_piece.all(patch.outline))


@settings(max_examples=30)
@given(
    quarters=st.lists(st.integers(0, 3), min_size=1, max_size=9),
    method=st.sampled_from(("two at a time", "eight at a time")),
)
def test_units_are_exchanged_as_wholes(quarters, method):
    """Both halves of a unit still come from one pair, and every spot is used by just one unit."""
    block = with_method(row_of(HALF, *quarters), "half", method)
    draft = draft_block(block)
    laid = lay_upright(draft, roles={"rose"})

    # The ground's squares are not turned, so that a unit is known by its spot on them.
    def pairs(d):
        units = zip(d.patches[::2], d.patches[1::2], strict=True)
        return Counter((ground.piece, near(ground), rose.piece) for rose, ground in units)

    assert pairs(draft) == pairs(laid)
    assert turns_of(laid, "rose").get(0, 0) >= turns_of(draft, "rose").get(0, 0)


@settings(max_examples=30)
@given(counts=st.lists(st.integers(0, 3), min_size=2, max_size=2))
def test_pairs_that_can_all_stand_upright_do(counts):
    """As many units one way as the half turn of it: every pair serves one of each, in whatever order."""
    quarters = sorted([0, 2] * counts[0] + [1, 3] * counts[1]) or [0, 2]
    laid = lay_upright(draft_block(row_of(HALF, *quarters)), roles={"rose", "ground"})
    assert turns_of(laid, "rose") == {0: len(quarters)}
    assert turns_of(laid, "ground") == {0: len(quarters)}


@settings(max_examples=30)
@given(block=blocks(), seam_in=st.sampled_from(SEAMS), which=st.sets(st.integers(0, 2), min_size=1))
def test_laying_upright_changes_only_how_cloth_lies(block, seam_in, which):
    draft = draft_block(block, seam_in=seam_in)
    known = sorted({piece.role for piece in draft.pieces})
    roles = {known[i % len(known)] for i in which}
    laid = lay_upright(draft, roles=roles)
    assert [(p.number, p.role, p.outline, p.step) for p in laid.patches] == [
        (p.number, p.role, p.outline, p.step) for p in draft.patches
    ]
    assert [(p.role, p.step) for p in laid.pieces] == [(p.role, p.step) for p in draft.pieces]
    for one, other in zip(draft.pieces, laid.pieces, strict=True):
        if one.role not in roles:
            assert one.shape == other.shape
        elif isinstance(other.shape, CutRectangle):
            assert {one.shape.width_in, one.shape.height_in} == {other.shape.width_in, other.shape.height_in}
    for role in roles:
        left = sum(n for deg, n in turns_of(laid, role).items() if deg)
        told = sum(
            int(note.split(": ")[-1].split(" of ")[0]) for note in laid.notes if f"{role} patch" in note
        )
        assert left == told
        assert left <= sum(n for deg, n in turns_of(draft, role).items() if deg)
    again = lay_upright(laid, roles=roles)
    assert print_turns(again) == print_turns(laid)
    upright_advice(block, roles=roles, seam_in=seam_in)


# --- advice


def test_a_star_of_geese_made_singly_is_told_in_versions():
    told = upright_advice(open_block("sawtooth star"), roles={"background", "point"})
    assert any(
        line.startswith("goose: make 4 versions, 1 as drawn, 1 turned 90 degrees, 1 turned 180 degrees")
        for line in told
    )
    (squares,) = [line for line in told if "lay 8 point squares" in line]
    assert "its top to the left for a top left or bottom right corner (4)" in squares
    assert "its top to the right for a top right or bottom left corner (4)" in squares
    (bases,) = [line for line in told if line.startswith("goose: base")]
    assert "2 background pieces with the print along the short side" in bases
    assert "2 background pieces with the print along the long side" in bases


def test_mirrored_petals_are_laid_the_other_way():
    step = FlippedCorners("left", F(2), F(3), "rose", "", (Corner("top left", "ground", F(1)),))
    rows = ((Part("left"), Part("right")),)
    block = Block("pair", F(4), F(3), (), (step, Mirrored("right", "left"), Made("pair", rows, "row")))
    left, right = upright_advice(block, roles={"ground"})
    assert left.startswith("left:")
    assert "its top to the left for a top left" in left
    assert right.startswith("right:")
    assert "its top to the right for a top right" in right


def test_strips_of_a_set_that_is_turned_clockwise_lie_to_the_left():
    """Turned by a quarter clockwise with its segment, a print whose top points left stands up."""
    strips = StripSet("rails", F(3), (("rose", F(1)), ("ground", F(2))))
    fence = Made("fence", ((Part("rails", 1), Part("rails", 1)),), "row")
    block = Block("fence", F(6), F(3), (), (strips, fence))
    told = upright_advice(block, roles={"rose"})
    assert any("with the rose print along the strip with its top to the left" in line for line in told)


def test_geese_from_one_square_are_told_as_a_set():
    """The small squares' prints run across, those on opposite corners alike."""
    block = with_method(open_block("sawtooth star"), "goose", "four from one square")
    told = upright_advice(block, roles={"background", "point"})
    assert "goose: the block uses 1 as drawn, 1 turned 90 degrees, 1 turned 180 degrees" in told[0]
    assert told[1].startswith("goose: lay 1 set of squares with the background print ")
    assert "across with its top to the left (lower right and upper left)" in told[1]
    assert "across with its top to the right (upper right and lower left)" in told[1]
    assert not any("cannot" in line for line in told)


def test_nothing_is_told_where_everything_is_upright():
    block = parse_block(
        'name = "plain"\nfinished = "4 x 2"\n[[step]]\nname = "plain"\nmake = "rectangle"\n'
        'finished = "4 x 2"\ncloth = "rose"\n'
    )
    assert upright_advice(block, roles={"rose"}) == ()
