"""The maker's own cloth on the page: renamed, taken out and put back, and what a strange page may not do."""

from __future__ import annotations

from pathlib import Path

import pytest

from swatches.solids import solid_swatch
from ui.own_part import keep_order
from ui.shelf import Shelf


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    shelf = Shelf(tmp_path / "stash.sqlite")
    for colour, name in (("#3a6a8a", "river"), ("#d8c8a0", "straw")):
        shelf.add(solid_swatch(colour, name=name))
    return shelf


def asked(do: str, cloth: str, name: str = "") -> dict[str, object]:
    return {"do": do, "cloth": cloth, "name": name, "serial": 3}


def test_a_cloth_goes_out_and_comes_back_under_its_new_name(shelf: Shelf) -> None:
    key = shelf.key_of("river")
    said = keep_order(shelf, asked("rename", key, " brook "))
    assert said == {
        "serial": 3, "wrong": False, "do": "", "said": "river is called brook from now on.", "aside": [],
    }  # fmt: skip
    said = keep_order(shelf, asked("take out", key))
    assert (said["said"], said["aside"]) == ("brook is out of your stash.", ["brook"])
    assert "brook" not in [entry.name for entry in shelf.entries()]
    said = keep_order(shelf, asked("put back", "brook"))
    assert (said["said"], said["aside"]) == ("brook is in your stash again.", [])
    assert shelf.key_of("brook") == key


@pytest.mark.parametrize(
    ("held", "what"),
    [
        (asked("rename", "river", "straw"), "already holds a cloth called 'straw'. Choose another name."),
        (asked("rename", "river", " "), "is empty"),
        (asked("take out", "hay-meadow"), 'no cloth called "hay-meadow" in your stash'),
        (asked("put back", "river"), "no cloth called 'river' that was taken out"),
        (asked("sell", "river"), "should not"),
        ("<b>", "should not"),
        ({"do": ["rename"], "serial": "x"}, "should not"),
    ],
)
def test_what_cannot_be_done_is_said_and_nothing_changes(shelf: Shelf, held: object, what: str) -> None:
    said = keep_order(shelf, held)
    assert said["wrong"] is True
    assert what in said["said"]
    assert [entry.name for entry in shelf.entries() if entry.source == "stash"] == ["river", "straw"]
    assert said["aside"] == []
