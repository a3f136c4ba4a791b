from __future__ import annotations

import tomllib
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.blockfile import Block, BlockFileError, parse_block
from blocks.blocktext import BlockTextError, block_text
from blocks.curves import Arc, Bezier, Stroke
from blocks.drafting import draft_block
from blocks.lengths import parse_inches
from blocks.library import block_names, open_block
from blocks.paths import parse_path
from blocks.pathtext import decimal_text, length_text, path_text, path_unit, rounded_text
from blocks.scaling import scale_block
from blocks.steps import Outlined, Rectangle, Shape

F = Fraction


@pytest.mark.parametrize("name", block_names())
def test_every_library_block_reads_back_the_same(name):
    block = open_block(name)
    assert parse_block(block_text(block)) == block


@pytest.mark.parametrize("width_in", [F(1500, 127), F(31, 3), F(49, 8)])
@pytest.mark.parametrize("name", ["bow tie", "drunkards path", "orchard lantern", "kaleidoscope"])
def test_redrafted_blocks_read_back_the_same(name, width_in):
    block = scale_block(open_block(name), width_in=width_in)
    text = block_text(block)
    assert parse_block(text) == block
    assert draft_block(parse_block(text)).patches == draft_block(block).patches
    if width_in == F(1500, 127):
        assert 'finished = "300 mm"' in text


def test_metric_templates_are_written_in_millimetres():
    text = block_text(scale_block(open_block("bow tie"), width_in=F(1500, 127)))
    assert 'unit = "1 mm"' in text
    assert '"M 150 75 L 225 150 L 150 225 L 75 150 Z"' in text


def test_a_unit_scales_path_data_of_templates_and_applique():
    block = parse_block(
        """
        name = "Quarter"
        finished = "100 mm"
        [[step]]
        name = "quarter"
        make = "template"
        finished = "100 mm"
        unit = "1 mm"
        patches = [
          { cloth = "pie", path = "M 0 0 H 50 A 50 50 30 0 1 0 50 Z" },
          { cloth = "ground", path = "M 50 0 H 100 V 100 H 0 V 50 A 50 50 30 0 0 50 0 Z" },
        ]
        [[applique]]
        name = "bud"
        shape = "outline"
        cloth = "bud"
        unit = "1 cm"
        path = "M 6 6 H 9 V 9 Z"
        """
    )
    step = block.steps[0]
    assert isinstance(step, Outlined)
    arc = step.shapes[0].outline.segments[1]
    assert isinstance(arc, Arc)
    assert (arc.radii_in, arc.tilt_deg) == ((F(250, 127), F(250, 127)), 30)
    assert max(x for x, _ in block.applique[0].shape.points) == F(450, 127)
    draft = draft_block(block)
    assert [patch.role for patch in draft.patches] == ["pie", "ground", "bud"]
    assert parse_block(block_text(block)) == block


def test_a_unit_that_is_no_length_is_a_fault_of_its_own():
    text = block_text(open_block("bow tie")).replace("patches", 'unit = "one"\npatches')
    with pytest.raises(BlockFileError) as caught:
        parse_block(text)
    (fault,) = caught.value.faults
    assert fault.field == "unit"
    assert fault.where.startswith("block, line ")


def square(name: str = "Plain", *, role: str = "ground", **more) -> Block:
    return Block(name, F(4), F(4), ((role, ""),), (Rectangle("all", F(4), F(4), role),), **more)


@given(
    st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=20).filter(
        lambda t: t.strip() == t and t
    ),
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20).filter(lambda t: t.strip() == t),
)
def test_any_name_and_role_comes_back(name, purpose):
    block = replace(square(name, role=name), roles=((name, purpose),), about=purpose, also=(name,))
    assert parse_block(block_text(block)) == block


@pytest.mark.parametrize(
    ("block", "told"),
    [
        (square(" outer blanks "), "without loss"),
        (replace(square(), steps=(Rectangle("a:b", F(4), F(4), "ground"),)), "turned unit"),
        (
            replace(
                square(),
                steps=(
                    Outlined(
                        "t",
                        F(4),
                        F(4),
                        (Shape("ground", parse_path("M0 0H4V4H0Z")[0]),),
                        "template",
                        mirrored=True,
                    ),
                ),
            ),
            "without loss",
        ),
    ],
)
def test_what_cannot_be_said_is_refused(block, told):
    with pytest.raises(BlockTextError, match=told) as caught:
        block_text(block)
    assert caught.value.mend


def test_an_outline_of_too_many_points_is_refused():
    points = [(F(i, 1000), F(i % 7 * i, 100_000)) for i in range(4000)]
    sides = tuple(Bezier((p, q)) for p, q in zip(points, points[1:] + points[:1], strict=True))
    step = Outlined("t", F(4), F(4), (Shape("ground", Stroke(sides, closed=True)),), "template")
    with pytest.raises(BlockTextError, match="20,000 signs"):
        block_text(replace(square(), steps=(step,)))


numbers = st.builds(F, st.integers(-(10**9), 10**9), st.sampled_from([1, 8, 1000, 2**20, 3, 127, 3 * 2**20]))


@given(numbers)
def test_decimals_are_exact_or_none(number):
    text = decimal_text(number)
    assert (text is None) == (number.denominator % 3 == 0 or number.denominator % 127 == 0)
    if text is not None:
        assert F(text) == number
        assert not text.endswith(".")
    assert abs(F(rounded_text(number, places=6)) - number) <= F(1, 2_000_000)


@pytest.mark.parametrize(
    ("length_in", "text"),
    [
        (F(27, 8), "3 3/8"),
        (F(137, 100), "1.37"),
        (F(1500, 127), "300 mm"),
        (F(10, 3), "3 1/3"),
        (F(1, 3), "1/3"),
    ],
)
def test_lengths_are_written_as_makers_do(length_in, text):
    assert length_text(length_in) == text


@given(st.builds(F, st.integers(0, 10**5), st.integers(1, 10**4)))
def test_every_length_reads_back(length_in):
    assert parse_inches(length_text(length_in)) == length_in


points = st.tuples(*[st.builds(F, st.integers(0, 12 * 720), st.sampled_from([720, 1 << 20, 127]))] * 2)


@given(st.lists(points, min_size=3, max_size=8, unique=True), st.booleans())
def test_every_stroke_reads_back_in_its_unit(spots, closed):
    ends = [*spots, spots[0]] if closed else spots
    sides = tuple(Bezier((p, q)) for p, q in pairwise(ends))
    stroke = Stroke(sides, closed)
    unit_in = path_unit([stroke])
    text = path_text(stroke, unit_in=unit_in)
    assert text is not None
    assert parse_path(text, unit_in=unit_in) == (stroke,)


def test_curves_and_arcs_read_back():
    data = "M 1 1 C 2 0.5 3 1 4 1 Q 5 2 4 3 A 2 1 -30 1 0 1 3 L 1 2 Z"
    (stroke,) = parse_path(data)
    assert path_text(stroke) == data
    assert path_text(Stroke(stroke.segments[:2], closed=False)) == "M 1 1 C 2 0.5 3 1 4 1 Q 5 2 4 3"


def test_the_text_is_plain_toml():
    table = tomllib.loads(block_text(open_block("orchard lantern")))
    assert table["name"] == "Orchard Lantern"
    assert table["applique"][0]["start_tuck"] == "1/4"


@pytest.mark.parametrize("grain", ["nan", "inf", "-1e300", "361"])
def test_a_grain_that_is_no_turn_is_told(grain):
    text = block_text(open_block("bow tie"))
    with pytest.raises(BlockFileError, match="is not a turn"):
        parse_block(text.replace('cloth = "knot"', f'cloth = "knot", grain = {grain}'))


def test_a_grain_reads_back():
    text = block_text(open_block("bow tie")).replace('cloth = "knot"', 'cloth = "knot", grain = 22.1')
    block = parse_block(text)
    assert "grain = 22.1" in block_text(block)
    assert parse_block(block_text(block)) == block
