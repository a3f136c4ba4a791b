from __future__ import annotations

import tomllib
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.appliquefile import applique_faults, parse_applique
from blocks.faults import FaultsError
from blocks.repeats import Repeat
from blocks.shapes import Circle, Outline, Pointed
from blocks.stems import Stem

F = Fraction

GOOD = {
    "stem": """
        name = "left stem"
        shape = "stem"
        cloth = "stem"
        path = "M 6 12 C 6 9 4 8 3 6"
        width = "1/4"
        start_tuck = "1/4"
        end_tuck = "3/8"
        fold = "tube on a bar"
    """,
    "leaf": """
        name = "low leaf"
        shape = "leaf"
        cloth = "leaf"
        at = "6, 4 1/2"
        length = "2"
        width = "3/4"
        turn = -22.5
        base_tuck = "1/8"
        repeat = { turns = 4, about = "6, 6", mirrored = true }
        turn_under = "1/4"
        grain = "with the block"
        reading = "not wanted"
    """,
    "petal": """
        name = "petal"
        shape = "petal"
        cloth = "petal"
        at = "6, 4"
        length = "50 mm"
        width = "2 cm"
    """,
    "circle": """
        name = "eye"
        shape = "circle"
        cloth = "eye"
        at = "6, 6"
        across = "3/4"
    """,
    "outline": """
        name = "bud"
        shape = "outline"
        cloth = "petal"
        path = "M 2 5 H 5 C 4 2 3 2 2 5 Z"
    """,
}


def read(kind, **changes):
    table = tomllib.loads("\n".join(line.strip() for line in GOOD[kind].splitlines()))
    table |= changes
    return applique_faults({k: v for k, v in table.items() if v is not None}, where="applique 3")


@pytest.mark.parametrize("kind", GOOD)
def test_good_tables_have_no_faults(kind):
    faults, item = read(kind)
    assert faults == ()
    assert item.where == "applique 3"


def test_what_is_written_is_what_is_read():
    _, item = read("leaf")
    assert (item.name, item.cloth, item.turn_under_in) == ("low leaf", "leaf", F(1, 4))
    assert item.shape == Pointed("leaf", (F(6), F(9, 2)), F(2), F(3, 4), F(-45, 2), F(1, 8))
    assert item.repeat == Repeat(4, (F(6), F(6)), mirrored=True)
    assert (item.grain, item.reads) == ("with the block", False)
    _, item = read("stem")
    assert isinstance(item.shape, Stem)
    assert (item.shape.start_tuck_in, item.shape.end_tuck_in, item.shape.fold) == (
        F(1, 4),
        F(3, 8),
        "tube on a bar",
    )
    assert (item.turn_under_in, item.grain, item.reads, item.repeat) == (
        F(3, 16),
        "with the shape",
        True,
        Repeat(),
    )
    _, item = read("petal")
    assert item.shape.length_in == F(250, 127)
    _, item = read("circle")
    assert item.shape == Circle((F(6), F(6)), F(3, 4))


def test_outlines_come_clockwise_whichever_way_they_are_drawn():
    _, one = read("outline", path="M 2 5 L 5 5 L 4 2 Z")
    _, other = read("outline", path="M 2 5 L 4 2 L 5 5 Z")
    _, unclosed = read("outline", path="M 2 5 L 4 2 L 5 5 L 2 5")
    assert isinstance(one.shape, Outline)
    assert set(one.shape.points) == set(other.shape.points) == set(unclosed.shape.points)
    (ax, ay), (bx, by), (cx, cy) = one.shape.points
    assert (bx - ax) * (cy - ay) - (by - ay) * (cx - ax) > 0


@pytest.mark.parametrize(
    ("kind", "changes", "field", "message", "mend"),
    [
        ("stem", {"name": None}, "name", "is missing", "left stem"),
        ("stem", {"shape": "stems"}, "shape", '"stems" is not known', 'Did you mean "stem"'),
        ("stem", {"cloth": ""}, "cloth", "is empty", "role"),
        ("stem", {"width": "wide"}, "width", "'wide' is not a length", "3 3/8"),
        ("stem", {"width": 0.25}, "width", "0.25 will not do", "width"),
        ("stem", {"width": "0"}, "width", "is nothing", "width"),
        ("stem", {"start_tuck": "-1"}, "start_tuck", "'-1' is not a length", "Write a length"),
        ("stem", {"fold": "rolled"}, "fold", '"rolled" is not known', "folded double"),
        ("stem", {"path": None}, "path", "is missing", "M 2 10"),
        ("stem", {"path": "6 12 L 3 3"}, "path", "after 0 signs, at '6 12 L 3 3': a command", "SVG path data"),
        ("stem", {"path": "M 6 12 L 3 3 M 1 1 L 2 2"}, "path", "2 separate lines", "one M only"),
        ("stem", {"path": "M 6 12 L 3 3 L 6 4"}, "path", "corner at 3, 3", "Round the corner"),
        ("stem", {"path": "M 2 2 C 12 12 0 12 10 2"}, "path", "crosses or touches itself", "two stems"),
        ("stem", {"path": "M 2 2 a 1 1 0 0 1 2 0", "width": "2 1/2"}, "path", "must fold", "Widen the curve"),
        ("stem", {"with": "1/4"}, "with", "is not a field", 'Did you mean "width"'),
        ("leaf", {"at": None}, "at", "is missing", "inches across, a comma, inches down"),
        ("leaf", {"at": "6"}, "at", '"6" is not a place', "a comma"),
        ("leaf", {"at": "6, 4, 2"}, "at", "is not a place", "a comma"),
        ("leaf", {"at": "six, 4"}, "at", "'six' is not a length", "a comma"),
        ("leaf", {"turn": "45"}, "turn", "'45' will not do", "degrees"),
        ("leaf", {"turn": 1000}, "turn", "1000 is not a turn", "-360 to 360"),
        ("leaf", {"turn": float("nan")}, "turn", "nan is not a turn", "-360 to 360"),
        ("leaf", {"turn": True}, "turn", "True will not do", "degrees"),
        ("leaf", {"base_tuck": "2"}, "base_tuck", "as long as the shape", "shorter"),
        ("leaf", {"repeat": 4}, "repeat", "4 will not do", "turns = 4"),
        ("leaf", {"repeat": {"turns": 0}}, "repeat.turns", "0 copies", "from 1 to 72"),
        ("leaf", {"repeat": {"turn": 4}}, "repeat.turn", "is not a field", 'Did you mean "turns"'),
        ("leaf", {"repeat": {"turns": 4, "about": "middle"}}, "repeat.about", "is not a place", "a comma"),
        ("leaf", {"repeat": {"mirrored": "yes"}}, "repeat.mirrored", "'yes' will not do", "mirrored = true"),
        ("leaf", {"grain": "up"}, "grain", '"up" is not known', "with the block"),
        ("leaf", {"reading": "no"}, "reading", '"no" is not known', "not wanted"),
        ("circle", {"across": None}, "across", "is missing", "across"),
        ("circle", {"path": "M 0 0"}, "path", "is not a field", "Write one of"),
        ("outline", {"path": "M 2 5 H 5 V 8"}, "path", "the outline is open", "Z"),
        ("outline", {"path": "M 2 5 L 5 5 Z"}, "path", "no area", "three corners"),
        ("outline", {"path": "M 2 5 L 5 5 L 3 5 Z"}, "path", "no area", "thread"),
        ("outline", {"path": "M 2 2 L 4 4 L 4 2 L 2 4 Z"}, "path", "crosses or touches itself near 3.00, 3.00", "two shapes"),
        ("outline", {"path": "M 2 2 H 4 V 4 H 3 L 4 3 L 3 3 Z"}, "path", "crosses or touches itself", "two shapes"),
    ],
)  # fmt: skip
def test_each_fault_names_its_field_and_its_mend(kind, changes, field, message, mend):
    faults, item = read(kind, **changes)
    assert item is None
    (fault,) = faults
    assert (fault.where, fault.field) == ("applique 3", field)
    assert message in fault.message
    assert not fault.message.endswith(".")
    assert mend in fault.mend


def test_all_faults_of_a_table_come_together():
    faults, item = read("leaf", width="wide", turn="up", colour="green", repeat={"turns": "four"})
    assert item is None
    assert {fault.field for fault in faults} == {"width", "turn", "colour", "repeat.turns"}
    with pytest.raises(FaultsError) as caught:
        parse_applique({"shape": "leaf"}, where="applique 9")
    assert [fault.field for fault in caught.value.faults] == ["name", "cloth", "at", "length", "width"]
    assert str(caught.value).count("Mend: ") == 5


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20) | st.just("6, 4"),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=5,
)


@given(st.sampled_from(list(GOOD)), st.dictionaries(st.sampled_from(
    ["name", "cloth", "at", "path", "width", "length", "across", "turn", "repeat", "turn_under", "base_tuck", "fold"]
), values, max_size=4))  # fmt: skip
def test_whatever_is_typed_is_read_or_told(kind, changes):
    faults, item = read(kind, **{k: v for k, v in changes.items() if v is not None})
    assert (item is None) == bool(faults)
    assert all(fault.mend and fault.message for fault in faults)
