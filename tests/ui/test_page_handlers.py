"""The page's handlers as plain functions: from what a browser sends to what is shown."""

from __future__ import annotations

import re

import pytest

from ui.page_handlers import Shown, change_block, change_look, open_page
from ui.workroom import Workroom


def held(shown: Shown, **cloths: str) -> dict[str, object]:
    assert shown.shelf is not None
    return {"block": shown.shelf["block"], "cloths": {**shown.shelf["cloths"], **cloths}}


def test_it_opens_with_every_role_in_cloth(room: Workroom) -> None:
    shown = open_page(room, "orchard lantern")
    assert shown.shelf is not None
    assert shown.wall is not None
    assert [each["role"] for each in shown.shelf["roles"]][:2] == ["background", "petal"]
    assert set(shown.shelf["cloths"]) == {each["role"] for each in shown.shelf["roles"]}
    assert shown.wall["src"].startswith("/picture.png?block=orchard+lantern&seam=1%2F4&cloth=background")
    assert "frost fern" in shown.wall["cloths"].values()
    assert shown.mistake == ""


def test_another_cloth_changes_all_that_is_said(room: Workroom) -> None:
    before = change_block(room, "nine patch", "1/4", "colour")
    after = change_look(room, held(before, dark="soot", light="cream"), "1/4", "value")
    assert after.wall is not None
    assert "view=value" in after.wall["src"]
    assert "All of the 12 edges that should read are clear." in str(after.seams)
    assert "soot" in str(after.cutting)
    assert "cloth=dark%3Dsoot" in str(after.take)


def test_figures_stand_beside_the_word_and_match_it(room: Workroom) -> None:
    shown = change_look(
        room, held(change_block(room, "nine patch", "1/4", "colour"), dark="soot", light="soot"), "", "colour"
    )
    row = re.search(r"<button.*?</button>", str(shown.seams))
    assert row is not None
    assert '<span class="word">lost</span>' in row[0]
    assert "<b>0 %</b>" in row[0]
    assert "0 apart" in row[0]


def test_the_seam_allowance_reaches_the_list(room: Workroom) -> None:
    shown = change_look(room, held(change_block(room, "nine patch", "", "colour")), "3/8", "colour")
    assert "4 3/4 x 4 3/4 in" in str(shown.cutting)


@pytest.mark.parametrize(
    ("block", "seam", "view", "what"),
    [
        ("no such block", "1/4", "colour", "There is no such block."),
        (None, "1/4", "colour", "There is no such block."),
        ("nine patch", "2 furlongs", "colour", "is not a length"),
        ("nine patch", "1/4", "x-ray", "There is no such view."),
        ("nine patch", "1/4", ["colour"], "There is no such view."),
    ],
)
def test_what_a_browser_may_not_ask(
    room: Workroom, block: object, seam: object, view: object, what: str
) -> None:
    shown = change_block(room, block, seam, view)
    assert what in shown.mistake
    assert 'role="alert"' in shown.mistake
    assert (shown.shelf, shown.wall, shown.seams, shown.cutting, shown.take) == (None,) * 5


@pytest.mark.parametrize(
    "sent",
    [
        None,
        [],
        {"block": 3, "cloths": {}},
        {"block": "nine patch", "cloths": ["dark"]},
        {"block": "nine patch", "cloths": {"dark": 7, "light": "cream"}},
        {"block": "nine patch", "cloths": {str(n): "cream" for n in range(500)}},
        {"block": "nine patch", "cloths": {"dark": "no such cloth", "light": "cream"}},
        {"block": "nine patch", "cloths": {"dark": "soot"}},
        {"block": "../../etc/passwd", "cloths": {}},
        {"block": "/etc/hostname.toml", "cloths": {}},
    ],
)
def test_whatever_is_sent_is_told_and_nothing_else_happens(room: Workroom, sent: object) -> None:
    shown = change_look(room, sent, "1/4", "colour")
    assert "alert" in shown.mistake
    assert shown.wall is None


def test_a_fault_of_the_program_is_not_hidden(room: Workroom, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("ui.page_handlers.seams_html", broken)
    with pytest.raises(ZeroDivisionError):
        open_page(room, "nine patch")
