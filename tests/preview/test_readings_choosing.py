"""Cloths chosen for the open roles of a block."""

from __future__ import annotations

import pytest

from palettes.choosing import ChoiceError
from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from preview.audition import make_audition
from preview.choosing_for_block import choose_for_block
from preview.readings import read_edges
from tests.palettes.judged_set import draw
from tests.preview.scenes import plain, stay_places
from tests.preview.test_readings import EDGES, three_patches

STASH = (
    plain(20, 20, 30, name="soot"),
    plain(110, 110, 110, name="stone"),
    plain(245, 243, 235, name="milk"),
    plain(40, 110, 60, name="fern"),
    plain(170, 40, 50, name="berry"),
    draw("multi 50 0.5 warm"),
)
ROLES = {
    "left": plain(240, 235, 220, name="cream"),
    "middle": plain(235, 230, 215, name="linen"),
    "right": plain(238, 232, 222, name="oat"),
}


def audition():
    block = three_patches()
    return make_audition(block, roles=ROLES, places=stay_places(block))


def test_an_open_role_takes_the_cloth_that_reads_best_between_its_neighbours():
    found = choose_for_block(audition(), EDGES, open_roles={"middle"}, stash=STASH)
    # Any of the darks is as clear as can be beside two lights.
    assert dict(found[0].cloths)["middle"].name in ("soot", "fern", "berry")
    assert dict(found[-1].cloths)["middle"].name == "milk"
    assert dict(found[0].cloths)["left"].name == "cream"
    assert found[0].is_proven
    assert found[0].weakest > 0.99
    assert [choice.weakest for choice in found] == sorted((choice.weakest for choice in found), reverse=True)
    assert {dict(choice.cloths)["middle"].name for choice in found} == {cloth.name for cloth in STASH}


def test_a_weak_edge_between_cloths_that_stay_does_not_make_all_choices_alike():
    """Left and middle stay and hardly differ; the right cloth is still chosen for its own edge."""
    found = choose_for_block(audition(), EDGES, open_roles={"right"}, stash=STASH)
    assert dict(found[0].cloths)["right"].name in ("soot", "fern", "berry")
    assert found[0].weakest > 0.99
    assert "right" in found[0].weakest_roles
    assert dict(found[-1].cloths)["right"].name == "milk"


def test_each_choice_is_read_as_it_lies():
    found = choose_for_block(audition(), EDGES, open_roles={"left", "middle"}, stash=STASH, count=3)
    assert len(found) == 3
    for choice in found:
        assert choice.as_laid == read_edges(choice.audition, EDGES)
        assert set(choice.weakest_roles) <= set(ROLES)
    names = [{cloth.name for role, cloth in choice.cloths if role != "right"} for choice in found]
    assert all(one != other for i, one in enumerate(names) for other in names[:i])


def test_hue_families_and_a_wished_palette_are_kept():
    green = choose_for_block(
        audition(), EDGES, open_roles={"middle"}, stash=STASH, families={"middle": {"green"}}
    )
    assert [dict(choice.cloths)["middle"].name for choice in green] == ["fern"]
    red = lab_from_lin(srgb8_to_lin(STASH[4].tile_srgb8[0, 0]))
    wished = choose_for_block(audition(), EDGES, open_roles={"middle"}, stash=STASH, wished_lab=red)
    assert [dict(choice.cloths)["middle"].name for choice in wished] == ["berry"]


def test_a_role_without_a_cloth_is_named():
    with pytest.raises(ChoiceError, match="middle") as told:
        choose_for_block(
            audition(), EDGES, open_roles={"middle"}, stash=STASH, families={"middle": {"violet"}}
        )
    assert told.value.mend
    with pytest.raises(ValueError, match="sleeve"):
        choose_for_block(audition(), EDGES, open_roles={"sleeve"}, stash=STASH)
