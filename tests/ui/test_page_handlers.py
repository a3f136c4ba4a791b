"""The page's handlers as plain functions: from what a browser sends to what is shown."""

from __future__ import annotations

import re

import pytest

from ui.page_handlers import Said, Seen, say_block, say_choice, see_block, see_choice
from ui.workroom import Workroom


def held(room: Workroom, block: str, **cloths: str) -> dict[str, object]:
    """What a browser holds after choosing a block and then these cloths."""
    seen = see_block(room, block, "1/4", "colour")
    assert seen.shelf is not None
    return {"block": seen.shelf["block"], "cloths": {**seen.shelf["cloths"], **cloths}}


def test_a_block_opens_with_every_role_in_cloth(room: Workroom) -> None:
    seen = see_block(room, "orchard lantern", "1/4", "colour")
    assert seen.shelf is not None
    assert seen.wall is not None
    assert [each["role"] for each in seen.shelf["roles"]][:2] == ["background", "petal"]
    assert set(seen.shelf["cloths"]) == {each["role"] for each in seen.shelf["roles"]}
    assert seen.wall["src"].startswith("/picture.png?block=orchard+lantern&seam=1%2F4&cloth=background")
    assert "frost fern" in seen.wall["cloths"].values()
    assert seen.mistake == ""
    assert "frost fern" in str(say_block(room, "orchard lantern", "1/4").cutting)


def test_another_cloth_changes_all_that_is_said(room: Workroom) -> None:
    sent = held(room, "nine patch", dark="soot", light="cream")
    seen, said = see_choice(room, sent, "1/4", "value"), say_choice(room, sent, "1/4")
    assert seen.wall is not None
    assert "view=value" in seen.wall["src"]
    assert "cloth=dark%3Dsoot" in str(seen.take)
    assert "All of the 12 edges that should read are clear." in str(said.seams)
    assert "soot" in str(said.cutting)


def test_figures_stand_beside_the_word_and_match_it(room: Workroom) -> None:
    said = say_choice(room, held(room, "nine patch", dark="soot", light="soot"), "")
    row = re.search(r"<button.*?</button>", str(said.seams))
    assert row is not None
    assert '<span class="word">lost</span>' in row[0]
    assert "<b>0 %</b>" in row[0]
    assert "0 apart" in row[0]


def test_the_seam_allowance_reaches_the_list(room: Workroom) -> None:
    assert "4 3/4 x 4 3/4 in" in str(say_choice(room, held(room, "nine patch"), "3/8").cutting)


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
    seen = see_block(room, block, seam, view)
    assert what in seen.mistake
    assert 'role="alert"' in seen.mistake
    assert seen == Seen(None, None, None, seen.mistake)


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
    seen = see_choice(room, sent, "1/4", "colour")
    assert "alert" in seen.mistake
    assert seen.wall is None
    assert say_choice(room, sent, "1/4") == Said(None, None)


def test_a_fault_of_the_program_is_not_hidden(room: Workroom, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("ui.page_handlers.read_choice", broken)
    with pytest.raises(ZeroDivisionError):
        see_choice(room, {}, "1/4", "colour")
    with pytest.raises(ZeroDivisionError):
        say_choice(room, {}, "1/4")
