"""Methods change what is cut, what is wasted and how prints lie; the finished unit stays what it is."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from fractions import Fraction as F

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blocks.blockfile import Block, parse_block
from blocks.drafting import draft_block
from blocks.lengths import parse_inches
from blocks.library import block_names, open_block
from blocks.methods import METHODS, MethodError, compare_methods, methods_of, with_method
from blocks.steps import Corner, FlippedCorners, Made, Mirrored, Part, Rectangle, Triangles
from tests.blocks.random_blocks import SEAMS, SIDES
from tests.published.tables import read_rows

HALF_DIGIT = 5e-5
TWO = ("rose", "ground")


def costs(kind, side, *, count, cloths=TWO, seam_in=F(1, 4)):
    """Each method's cost, by its name."""
    size = (F(side), F(side) / 2 if kind == "flying geese" else F(side))
    found = compare_methods(kind, size, cloths=cloths, count=count, seam_in=seam_in)
    return {cost.method: cost for cost in found}


def cut(cost, role):
    (found,) = [cut for cut in cost.cuts if cut.role == role]
    return found


# --- what is cut


@pytest.mark.parametrize("row", read_rows("triangles_from_squares.csv"), ids=lambda row: row["finished"])
def test_squares_for_triangles_are_the_published_ones(row):
    halves = costs("half-square triangle", parse_inches(row["finished"]), count=8)
    for method, column in (
        ("two at a time", "hst"),
        ("four at a time", "four"),
        ("eight at a time", "eight"),
    ):
        square = cut(halves[method], "rose")
        assert (
            square.width_in
            == square.height_in
            == pytest.approx(float(row[f"{column}_exact"]), abs=HALF_DIGIT)
        )
        assert square.rounded_width_in == parse_inches(row[f"{column}_up8"])
    quarters = costs("quarter-square triangle", parse_inches(row["finished"]), count=4)
    for method in ("two at a time", "cut twice"):
        assert cut(quarters[method], "rose").width_in == pytest.approx(
            float(row["qst_exact"]), abs=HALF_DIGIT
        )


@pytest.mark.parametrize("row", read_rows("flying_geese.csv"), ids=lambda row: row["fin_w"])
def test_pieces_for_geese_are_the_published_ones(row):
    geese = costs("flying geese", parse_inches(row["fin_w"]), count=4)
    base, corner = (cut(geese["one at a time"], role) for role in TWO)
    assert (base.width_in, base.height_in) == (parse_inches(row["rect_w"]), parse_inches(row["rect_h"]))
    assert corner.width_in == corner.height_in == parse_inches(row["flip_square"])
    assert (base.quantity, corner.quantity) == (4, 8)
    large, small = (cut(geese["four from one square"], role) for role in TWO)
    assert large.width_in == pytest.approx(float(row["large_exact"]), abs=HALF_DIGIT)
    assert small.width_in == pytest.approx(float(row["small_exact"]), abs=HALF_DIGIT)
    assert small.rounded_width_in == parse_inches(row["small_up8"])
    assert (large.quantity, small.quantity) == (1, 4)


def test_a_square_in_a_square_is_cut_two_ways():
    """Source: plane geometry; the centre's side is the unit's over sqrt 2, and the corners are half squares."""
    both = costs("square in a square", 4, count=3)
    assert cut(both["cut twice"], "rose").width_in == pytest.approx(4 / 2**0.5 + 0.5)
    assert cut(both["cut twice"], "ground").width_in == pytest.approx(2 + (2 + 2**0.5) / 4)
    assert [cut(both["cut twice"], role).quantity for role in TWO] == [3, 6]
    assert cut(both["flipped corners"], "rose").width_in == F(9, 2)
    assert cut(both["flipped corners"], "ground").width_in == F(5, 2)
    assert [cut(both["flipped corners"], role).quantity for role in TWO] == [3, 12]


# --- what it costs


@pytest.mark.parametrize(
    ("kind", "count", "spare"),
    [
        ("half-square triangle", 9, {"two at a time": 1, "four at a time": 3, "eight at a time": 7}),
        ("half-square triangle", 8, {"two at a time": 0, "four at a time": 0, "eight at a time": 0}),
        ("quarter-square triangle", 3, {"two at a time": 1, "cut twice": 1}),
        ("flying geese", 5, {"one at a time": 0, "four from one square": 3}),
        ("square in a square", 5, {"cut twice": 0, "flipped corners": 0}),
    ],
)
def test_units_beyond_need(kind, count, spare):
    found = costs(kind, 4, count=count)
    assert {method: cost.spare for method, cost in found.items()} == spare
    assert all(cost.made == count + cost.spare for cost in found.values())


def test_triangles_that_fill_their_squares_waste_nothing_but_spare_units():
    found = costs("half-square triangle", 3, count=8)
    assert {cost.wasted_sq_in for cost in found.values()} == {0}
    nine = costs("half-square triangle", 3, count=9)["two at a time"]
    one_unit = 2 * (3 + (2 + 2**0.5) / 4) ** 2 / 2
    assert nine.wasted_sq_in == pytest.approx(one_unit)


def test_flipped_corners_throw_triangles_away():
    """Source: plane geometry; the pieces less a quarter square and two half squares with their seams."""
    both = costs("flying geese", 4, count=4)
    assert both["four from one square"].wasted_sq_in == pytest.approx(0, abs=1e-9)
    pieces = F(9, 2) * F(5, 2) + 2 * F(5, 2) ** 2
    needed = (4 + (1 + 2**0.5) / 2) ** 2 / 4 + (2 + (2 + 2**0.5) / 4) ** 2
    assert both["one at a time"].cloth_sq_in == pytest.approx(4 * float(pieces))
    assert both["one at a time"].wasted_sq_in == pytest.approx(4 * (float(pieces) - needed))


def test_only_four_at_a_time_leaves_bias_edges_outside():
    """Common practice, no source: squares sewn all round and cut on both diagonals stretch at their edges."""
    stretching = [
        (kind, cost.method)
        for kind in METHODS
        for cost in costs(kind, 4, count=4).values()
        if cost.bias_outside
    ]
    assert stretching == [("half-square triangle", "four at a time")]


def test_print_directions_are_counted():
    """Scenario 21, and two mirrors for every flipped corner."""
    geese = costs("flying geese", 4, count=4)
    assert geese["one at a time"].turns == (("ground", 90, 4), ("ground", 270, 4), ("rose", 0, 4))
    from_one = geese["four from one square"].turns
    assert [turn for turn in from_one if turn[0] == "rose"] == [("rose", deg, 1) for deg in (0, 90, 180, 270)]
    halves = costs("half-square triangle", 3, count=5)
    counts = {(role, deg): n for role, deg, n in halves["two at a time"].turns}
    assert counts == {("rose", 0): 3, ("rose", 180): 2, ("ground", 90): 3, ("ground", 270): 2}
    assert all(deg % 90 == 45 for _, deg, _ in halves["four at a time"].turns)


kinds_and_methods = st.sampled_from(
    [(kind, method) for kind, methods in METHODS.items() for method in methods]
)


@settings(max_examples=40)
@given(
    which=kinds_and_methods,
    side=st.sampled_from(SIDES),
    count=st.integers(1, 17),
    seam_in=st.sampled_from(SEAMS),
)
def test_costs_are_those_of_a_drafted_block(which, side, count, seam_in):
    """The same pieces and prints as a block of so many units side by side; nothing is worked out twice."""
    kind, method = which
    cost = costs(kind, side, count=count, seam_in=seam_in)[method]
    height = side / 2 if kind == "flying geese" else side
    usual = Triangles("unit", kind, side, height, TWO, METHODS[kind][-1 if kind == "flying geese" else 0])
    one = with_method(Block("one", side, height, (), (usual,)), "unit", method)
    row = Made("row", (tuple(Part("unit") for _ in range(count)),), "row")
    draft = draft_block(
        replace(one, finished_width_in=count * side, steps=(*one.steps, row)), seam_in=seam_in
    )
    pieces = Counter((p.role, p.shape.width_in, p.shape.height_in) for p in draft.pieces)
    assert pieces == {(c.role, c.width_in, c.height_in): c.quantity for c in cost.cuts}
    assert sum(n for _, _, n in cost.turns) == len(draft.patches)
    assert cost.spare == sum(int(note.split(" makes ")[1].split()[0]) for note in draft.notes)
    assert -1e-9 <= cost.wasted_sq_in < cost.cloth_sq_in


# --- one step, another method


def look(draft):
    """Every patch's role and outline, in no order."""
    return Counter((patch.role, frozenset(patch.outline)) for patch in draft.patches)


@settings(max_examples=60)
@given(
    first=kinds_and_methods,
    second=st.integers(0, 2),
    side=st.sampled_from(SIDES),
    quarters=st.lists(st.integers(0, 3), min_size=1, max_size=4),
    mirrored=st.booleans(),
)
def test_a_method_never_changes_the_finished_block(first, second, side, quarters, mirrored):
    kind, method = first
    height = side / 2 if kind == "flying geese" else side
    usual = Triangles("unit", kind, side, height, TWO, METHODS[kind][-1 if kind == "flying geese" else 0])
    used, steps = "unit", (usual,)
    if mirrored:
        used, steps = "twin", (usual, Mirrored("twin", "unit"))
    if kind == "flying geese":
        quarters = [2 * (q % 2) for q in quarters]
    row = Made("row", (tuple(Part(used, q) for q in quarters),), "row")
    block = Block("row", side * len(quarters), height, (), (*steps, row))
    before = with_method(block, "unit", method)
    other = METHODS[kind][second % len(METHODS[kind])]
    after = with_method(before, "unit", other)
    assert look(draft_block(after)) == look(draft_block(before)) == look(draft_block(block))
    assert with_method(after, "unit", method) == before
    assert [step.name for step in after.steps] == [step.name for step in block.steps]


@pytest.mark.parametrize("name", block_names())
def test_every_step_of_the_library_keeps_its_look_by_any_method(name):
    block = replace(open_block(name), applique=())
    choices = [(step.name, method) for step in block.steps for method in methods_of(step)]
    whole = look(draft_block(block)) if choices else None
    for step_name, method in choices:
        assert look(draft_block(with_method(block, step_name, method))) == whole


def test_four_cloths_have_their_triangles_cut_singly():
    four = ("rose", "ground", "leaf", "bud")
    assert list(costs("quarter-square triangle", 4, count=4, cloths=four)) == ["cut twice"]
    twice = ("rose", "ground", "rose", "ground")
    assert list(costs("quarter-square triangle", 4, count=4, cloths=twice)) == ["two at a time", "cut twice"]


@pytest.mark.parametrize(
    ("make", "finished", "method"),
    [
        ("half-square triangle", "3", "eight at a time"),
        ("quarter-square triangle", "3", "two at a time"),
        ("flying geese", "4 x 2", "one at a time"),
        ("flying geese", "4 x 2", "four from one square"),
        ("square in a square", "3", "cut twice"),
    ],
)
def test_what_a_block_file_writes_has_its_method_among_the_choices(make, finished, method):
    block = parse_block(
        f'name = "one"\nfinished = "{finished}"\n[[step]]\nname = "unit"\nmake = "{make}"\n'
        f'finished = "{finished}"\ncloths = ["a", "b"]\nmethod = "{method}"\n'
    )
    assert methods_of(block.steps[0]) == METHODS[make]
    assert with_method(block, "unit", method) == block


@pytest.mark.parametrize(
    "step",
    [
        Rectangle("unit", F(4), F(2), "rose"),
        FlippedCorners("unit", F(4), F(2), "rose", "", (Corner("top left", "ground", F(2)),)),
        FlippedCorners(
            "unit", F(4), F(2), "rose", "", tuple(Corner(at, "ground", F(1)) for at in ("top left", "top right"))
        ),
        FlippedCorners(
            "unit", F(4), F(2), "rose", "",
            (Corner("top left", "ground", F(2)), Corner("top right", "leaf", F(2))),
        ),
        FlippedCorners(
            "unit", F(4), F(2), "rose", "", tuple(Corner(at, "ground", F(2)) for at in ("bottom left", "bottom right"))
        ),
        FlippedCorners("unit", F(4), F(2), "rose", "", ()),
    ],
    ids=["a rectangle", "one corner", "small corners", "two skies", "upside down", "no corner"],
)  # fmt: skip
def test_steps_without_a_choice_say_so(step):
    assert methods_of(step) == ()
    with pytest.raises(MethodError, match="cannot be made") as caught:
        with_method(Block("one", F(4), F(2), (), (step,)), "unit", "four from one square")
    assert caught.value.mend.endswith(".")


def test_mistakes_are_told_with_their_mend():
    star = open_block("sawtooth star")
    with pytest.raises(MethodError, match='no step "gander"') as caught:
        with_method(star, "gander", "one at a time")
    assert "goose" in caught.value.mend
    with pytest.raises(MethodError, match="eight at a time") as caught:
        with_method(star, "goose", "eight at a time")
    assert "one at a time, four from one square" in caught.value.mend


@pytest.mark.parametrize(
    ("kind", "size", "cloths", "count", "told"),
    [
        ("nine patch", (3, 3), TWO, 1, "nine patch"),
        ("half-square triangle", (3, 2), TWO, 1, "square"),
        ("half-square triangle", (0, 0), TWO, 1, "square"),
        ("flying geese", (4, 4), TWO, 1, "twice as wide"),
        ("half-square triangle", (3, 3), ("a", "b", "c"), 1, "3 cloths"),
        ("half-square triangle", (3, 3), TWO, 0, "0 is not"),
        ("half-square triangle", (3, 3), TWO, 10**9, "is not a number of units"),
    ],
)
def test_impossible_questions_are_refused(kind, size, cloths, count, told):
    with pytest.raises(MethodError, match=told) as caught:
        compare_methods(kind, (F(size[0]), F(size[1])), cloths=cloths, count=count)
    assert caught.value.mend.endswith(".")
