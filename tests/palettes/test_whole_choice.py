from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.whole_choice import label_beside, labels_beside, line_up
from tests.palettes.test_looks import look


def test_cloths_stand_from_light_to_dark_with_their_reach() -> None:
    choice = line_up(
        {"bark": look("solid 20"), "leafy": look("leaves #f3ecd8 #1e823c 0.3 0.7"), "sky": look("solid 55")}
    )
    assert [each.name for each in choice.line] == ["leafy", "sky", "bark"]
    leafy = choice.line[0]
    assert leafy.low_L < 50 < leafy.L < leafy.high_L
    assert leafy.is_split
    assert not choice.line[1].is_split
    assert choice.span_L == pytest.approx(leafy.L - 20, abs=0.3)
    assert not choice.clumps
    assert "no three" in choice.note


def test_a_stash_of_mediums_is_said_to_crowd() -> None:
    mediums = {f"medium {L}": look(f"solid {L}") for L in (52, 55, 58, 60)}
    choice = line_up({**mediums, "cream": look("solid 93")})
    assert choice.clumps == (("medium 60", "medium 58", "medium 55", "medium 52"),)
    assert choice.note.startswith("4 of 5 cloths crowd")
    assert "nothing in this choice is light or dark" in line_up(mediums).note


def test_two_crowds_are_two() -> None:
    choice = line_up({str(L): look(f"solid {L}") for L in (90, 88, 86, 30, 28, 26, 58)})
    assert choice.clumps == (("90", "88", "86"), ("30", "28", "26"))


@pytest.mark.parametrize(("names", "words"), [((), "neither"), ((50,), "neither"), ((50, 60), "only")])
def test_small_choices(names: tuple[int, ...], words: str) -> None:
    assert words in line_up({str(L): look(f"solid {L}") for L in names}).note


def test_one_cloth_is_the_light_here_and_the_dark_there() -> None:
    labels = labels_beside(
        {"leaf": 55, "ground": 92, "stem": 25, "bud": 50},
        [("leaf", "ground"), ("leaf", "stem"), ("bud", "leaf"), ("leaf", "leaf")],
    )
    assert labels["leaf"] == (("ground", "dark"), ("stem", "light"), ("bud", "alike"))
    assert labels["stem"] == (("leaf", "dark"),)


@given(st.floats(0, 100), st.floats(0, 100))
def test_labels_are_each_others_opposites(one: float, other: float) -> None:
    opposite = {"light": "dark", "dark": "light", "alike": "alike"}
    assert label_beside(one, other) == opposite[label_beside(other, one)]
