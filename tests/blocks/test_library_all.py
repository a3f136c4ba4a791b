"""Every built-in block: it reads, drafts and tiles exactly, and looks on paper as tradition draws it."""

from __future__ import annotations

import re
import tomllib
from fractions import Fraction

import pytest

from blocks.drafting import draft_block
from blocks.library import block_names, block_path, open_block
from blocks.polygons import area
from blocks.stepfile import KINDS

OWN = ("bee balm", "clover gate", "orchard lantern", "river iris")

DIFFICULTIES = ("beginner", "confident beginner", "intermediate", "advanced")

# Patches counted on the traditional drawing, unit by unit. Source: public-domain tradition, common practice,
# no source.
PIECED = {
    "nine patch": 9,
    "double nine patch": 5 * 9 + 4,  # five small nine patches, four plain squares
    "double irish chain": 2 * 25 + 2 * 7,  # two checkered; two of a middle, two sides and four corners
    "shoo fly": 4 * 2 + 5,  # four triangle squares, five squares
    "churn dash": 4 * 2 + 4 * 2 + 1,  # triangle squares, two-strip bars, the middle
    "friendship star": 4 * 2 + 5,
    "ohio star": 4 * 4 + 5,  # four hourglasses, five squares
    "sawtooth star": 4 * 3 + 4 + 1,  # four geese, four corners, the middle
    "variable star": 4 * 3 + 4 + 5,  # the same, its middle a square in a square
    "rising star": 4 * 3 + 4 + (4 * 3 + 4 + 1),  # a star in a star
    "lemoyne star": 8 + 4 + 4,  # diamonds, squares, triangles
    "jacob's ladder": 5 * 4 + 4 * 2,  # five four patches, four triangle squares
    "bear's paw": 4 * (1 + 4 * 2 + 1) + 4 + 1,  # paws of pad, four claws and corner; four bars; the middle
    "sister's choice": 8 * 2 + 17,  # eight triangle squares among twenty-five
    "duck and ducklings": 4 * (1 + 2 + 2) + 4 * 2 + 1,  # corners, arms, the middle
    "dutchman's puzzle": 8 * 3,
    "flying geese": 4 * 3,
    "wild goose chase": 4 * 4 * 3 + 4 + 4 + 1,  # four flights of four, corners, sides, the middle
    "log cabin": 1 + 5 * 4,  # five rounds of logs
    "courthouse steps": 1 + 5 * 4,
    "pinwheel": 4 * 2,
    "double pinwheel": 4 * 3,
    "broken dishes": 16 * 2,
    "yankee puzzle": 4 * 4,
    "economy patch": 1 + 4 + 4,
    "cake stand": 1 + 6 * 2 + 2 + 2 + 2 + 1,  # corner, six small squares, a large one, strips, foot, corner
    "maple leaf": 4 * 2 + 4 + 3,  # triangle squares, plain squares, the stem and its two corners
    "birds in the air": 6 + 3 + 1,
    "ocean waves": 4 * (24 + 2),  # in each quarter twenty-four small triangles between two large ones
    "drunkard's path": 16 * 2,
    "grandmother's fan": 6 + 1 + 1,
    "kaleidoscope": 8 + 4,
    "bow tie": 5,
    "robbing peter to pay paul": 4 * 5,
    "flock of geese": 2 * 2 + 8 * 2,
    "streak of lightning": 16 * 2,
}

# Appliqué shapes, counted the same way.
LAID = {
    "dresden plate": 16 + 1,
    "orange peel": 4,
    "honey bee": 4 * 3,  # a body and two wings at each corner
    "grandmother's flower garden": 7,
    "cherry basket": 1,
    "carolina lily": 3 + 2,
}


def read(name):
    return open_block(name.replace("'", ""))


@pytest.fixture(scope="module")
def drafts():
    return {name: draft_block(open_block(name)) for name in block_names()}


def test_there_are_enough_of_both():
    assert set(OWN) <= set(block_names())
    assert len(set(block_names()) - set(OWN)) >= 46


@pytest.mark.parametrize("name", block_names())
def test_what_a_file_says_of_itself(name):
    table = tomllib.loads(block_path(name).read_text(encoding="utf-8"))
    block = open_block(name)
    assert block.name.lower().replace("'", "") == name
    assert block.about == table["about"]
    assert "\n" not in block.about
    assert 20 <= len(block.about) <= 110
    assert re.match(r"[A-Z].*\.$", block.about)
    assert table["difficulty"] in DIFFICULTIES
    assert table["roles"], "a built-in block says what each role is for"
    assert all(purpose.strip() for purpose in table["roles"].values())


def test_no_name_is_used_twice():
    """A traditional name may belong to several drawings; here it leads to one."""
    names = [name.lower() for one in block_names() for name in (open_block(one).name, *open_block(one).also)]
    assert len(names) == len(set(names))


def test_the_patches_fill_their_block_exactly(drafts):
    for name, draft in drafts.items():
        ground = [patch for patch in draft.patches if not patch.is_applique()]
        exact = all(
            isinstance(c, Fraction | int) for patch in ground for point in patch.outline for c in point
        )
        assert exact, name
        assert all(area(patch.outline) > 0 for patch in ground), name
        whole = draft.finished_width_in * draft.finished_height_in
        assert sum(area(patch.outline) for patch in ground) == whole, name


def test_every_role_is_seen_and_declared(drafts):
    for name, draft in drafts.items():
        declared = {role for role, _ in open_block(name).roles}
        assert {patch.role for patch in draft.patches} == declared, name


@pytest.mark.parametrize(("name", "count"), PIECED.items())
def test_pieced_patches_as_tradition_draws_them(name, count):
    draft = draft_block(read(name))
    assert sum(not patch.is_applique() for patch in draft.patches) == count


@pytest.mark.parametrize(("name", "count"), LAID.items())
def test_applique_as_tradition_draws_it(name, count):
    draft = draft_block(read(name))
    assert sum(patch.is_applique() for patch in draft.patches) == count


def test_no_applique_end_is_left_bare_or_strained(drafts):
    for name, draft in drafts.items():
        for note in draft.notes:
            assert not re.search(r"tuck|wholly hidden|stretches", note), f"{name}: {note}"


def test_the_library_shows_every_kind_of_unit_and_shape():
    tables = [tomllib.loads(block_path(name).read_text(encoding="utf-8")) for name in block_names()]
    assert {step["make"] for table in tables for step in table["step"]} == set(KINDS)
    shapes = {shape["shape"] for table in tables for shape in table.get("applique", ())}
    assert shapes == {"stem", "leaf", "petal", "circle", "outline"}


def test_names_open_as_they_are_said():
    assert open_block("Bear's Paw") == open_block("bears-paw") == open_block(" BEARS  paw ")
