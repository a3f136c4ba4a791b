"""Block files: all faults at once, each with its line and mend; misfits name both lengths and the step."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from blocks.blockfile import BlockFileError, parse_block, read_block
from blocks.drafting import draft_block
from blocks.pieced import MisfitError
from blocks.tiling import TilingError

HEAD = 'name = "Try"\nfinished = "4"\n'


def faults_of(text):
    with pytest.raises(BlockFileError) as caught:
        parse_block(text, source="try.toml")
    assert caught.value.mend
    return [str(fault) for fault in caught.value.faults]


def test_every_fault_is_reported_with_its_line():
    text = (
        HEAD
        + """
[[step]]
name = "goose"
make = "flying goose"
finished = "4 x 2"

[[step]]
name = "ground"
make = "rectangle"
finished = "4 by 2"
cloth = "background"
colour = "blue"

[[step]]
name = "whole"
make = "column"
of = ["goose", "gruond"]
"""
    )
    faults = faults_of(text)
    assert [fault.split(", ")[1] for fault in faults] == ["line 6", "line 12", "line 14", "line 19"]
    assert '"flying goose" is not known' in faults[0]
    assert "'4 by 2' is not a length" in faults[1]
    assert "colour" in faults[2]
    assert 'no earlier step "gruond"' in faults[3]


def test_unknown_roles_suggest_the_nearest():
    text = (
        HEAD
        + '[roles]\nbackground = "x"\n[[step]]\nname = "a"\nmake = "square"\nfinished = "4"\ncloth = "backgruond"\n'
    )
    faults = faults_of(text)
    assert any('no role "backgruond"' in fault for fault in faults)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "name"),
        ("name = ", "not TOML"),
        (HEAD, "step: is missing"),
        (HEAD + "step = 3", "step"),
        (HEAD + '[[step]]\nname="a turned 90"\nmake="square"\nfinished="4"\ncloth="x"', "turned unit"),
        (HEAD + '[[step]]\nname="a"\nmake="square"\nfinished=4.5\ncloth="x"', "4.5 will not do"),
        (HEAD + '[[step]]\nname="a"\nmake="turned"\nof="a"\nby=45', "no quarter turn"),
        (HEAD + '[[step]]\nname="a"\nmake="flying geese"\nfinished="4"\ncloths=["x","y"]', "twice as wide"),
        (HEAD + '[[step]]\nname="a"\nmake="square"\nfinished="4"\ncloth="x"\n[[reading]]\nroles=["x"]\nwanted=1', "wanted"),
    ],
)  # fmt: skip
def test_single_faults(text, words):
    assert any(words in fault for fault in faults_of(text))


def test_a_missing_file_and_one_that_is_no_text(tmp_path):
    with pytest.raises(BlockFileError, match="cannot be read"):
        read_block(tmp_path / "nowhere.toml")
    (tmp_path / "picture.toml").write_bytes(b"\x89PNG\xff")
    with pytest.raises(BlockFileError, match="not plain text"):
        read_block(tmp_path / "picture.toml")


def step(name, finished):
    return f'[[step]]\nname = "{name}"\nmake = "rectangle"\nfinished = "{finished}"\ncloth = "x"\n'


def test_edges_that_do_not_fit_name_both_lengths_and_the_step():
    text = (
        HEAD
        + step("a", "2 x 4")
        + step("b", "2 x 3 3/8")
        + '[[step]]\nname="joined"\nmake="row"\nof=["a","b"]'
    )
    with pytest.raises(MisfitError) as caught:
        draft_block(parse_block(text))
    assert "'joined'" in str(caught.value)
    assert "3 3/8 in" in str(caught.value)
    assert "4 in" in str(caught.value)


def test_a_block_of_the_wrong_size_names_both():
    with pytest.raises(MisfitError, match=r"5 x 4 in, but 4 x 4 in"):
        draft_block(parse_block(HEAD + step("a", "5 x 4")))


def test_templates_with_a_gap_are_refused_with_the_place():
    text = (
        HEAD
        + """[[step]]
name = "kites"
make = "template"
finished = "4"
patches = [
  { cloth = "x", path = "M 0 0 L 4 0 L 0 4 Z" },
  { cloth = "y", path = "M 4 0 L 4 4 L 0.01 4 Z" },
]
"""
    )
    with pytest.raises(TilingError, match="kites: the patches leave a gap"):
        draft_block(parse_block(text))


def test_a_curved_seam_tiles_exactly():
    text = (
        HEAD
        + """[[step]]
name = "quarter round"
make = "template"
finished = "4"
patches = [
  { cloth = "x", path = "M 0 0 L 3 0 A 3 3 0 0 1 0 3 Z" },
  { cloth = "y", path = "M 3 0 L 4 0 L 4 4 L 0 4 L 0 3 A 3 3 0 0 0 3 0 Z" },
]
"""
    )
    draft = draft_block(parse_block(text))
    assert len(draft.patches) == 2


def test_pieces_are_counted_by_making():
    """Five half-square triangles two at a time need three squares of each cloth and leave one unit over."""
    text = 'name="Five"\nfinished="10 x 2"\n[[step]]\nname="hst"\nmake="half-square triangle"\nfinished="2"\ncloths=["x","y"]\n'
    text += '[[step]]\nname="five"\nmake="row"\nof=["hst","hst","hst","hst","hst"]'
    draft = draft_block(parse_block(text))
    assert [piece.role for piece in draft.pieces] == ["x", "y"] * 3
    assert draft.notes == ("The hst step makes 1 more than needed.",)


def test_strip_sets_share_their_strips():
    text = 'name="Four Patch"\nfinished="4"\n[[step]]\nname="pair"\nmake="strip set"\nsegment="2"\n'
    text += 'strips=[{cloth="x",finished="2"},{cloth="y",finished="2"}]\n'
    text += '[[step]]\nname="four"\nmake="row"\nof=["pair","pair turned 180"]'
    draft = draft_block(parse_block(text))
    assert [(p.role, p.shape.width_in, p.shape.height_in) for p in draft.pieces] == [
        ("x", F(5), F(5, 2)), ("y", F(5), F(5, 2)),
    ]  # fmt: skip
    assert [patch.role for patch in draft.patches] == ["x", "y", "x", "y"]


def test_mirror_versions_are_noted_with_counts():
    text = 'name="Pair"\nfinished="4 x 3"\n[[step]]\nname="left petal"\nmake="flipped corners"\nfinished="2 x 3"\n'
    text += 'cloth="petal"\ncorners=[{at="top left",finished="1",cloth="x"}]\n'
    text += '[[step]]\nname="right petal"\nmake="mirrored"\nof="left petal"\n'
    text += '[[step]]\nname="both"\nmake="row"\nof=["left petal","right petal"]'
    draft = draft_block(parse_block(text))
    assert draft.notes == (
        "left petal and right petal are mirror images: make 1 of the first and 1 of the second; "
        "turning one never gives the other.",
    )
    assert draft.patches[3].outline == ((3, 0), (4, 1), (4, 0)) or set(draft.patches[3].outline) == {
        (3, 0),
        (4, 0),
        (4, 1),
    }


def test_a_square_in_a_square_by_either_method_looks_the_same():
    text = 'name="s"\nfinished="4"\n[[step]]\nname="s"\nmake="square in a square"\nfinished="4"\ncloths=["x","y"]\n'
    looks = []
    for method in ("cut twice", "flipped corners"):
        draft = draft_block(parse_block(text + f'method="{method}"\n'))
        looks.append({(patch.role, frozenset(patch.outline)) for patch in draft.patches})
    assert looks[0] == looks[1]
