"""The page's handlers as plain functions: from what a browser sends to what is shown."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from cutting.sheet import CAUTIONS
from swatches.solids import solid_swatch
from ui.page_handlers import Asked, Said, Seen, say_choice, see_choice
from ui.shelf import Shelf
from ui.workroom import Workroom

PLAIN = Asked("1/4")


def held(room: Workroom, block: str, asked: Asked = PLAIN, **cloths: str) -> dict[str, object]:
    """What a browser holds after choosing a block and then these cloths."""
    seen = see_choice(room, {"block": block, "cloths": {}}, asked)
    assert seen.shelf is not None
    return {**seen.shelf, "cloths": {**seen.shelf["cloths"], **cloths}}


def test_a_block_opens_with_every_role_in_cloth(room: Workroom) -> None:
    seen = see_choice(room, {"block": "orchard lantern", "cloths": {}, "serial": 3}, PLAIN)
    assert seen.shelf is not None
    assert seen.wall is not None
    assert seen.shelf["serial"] == 3
    assert [each["role"] for each in seen.shelf["roles"]][:2] == ["background", "petal"]
    assert set(seen.shelf["cloths"]) == {each["role"] for each in seen.shelf["roles"]}
    assert seen.wall["src"].startswith("/picture.png?block=orchard+lantern&seam=1%2F4&cloth=background")
    assert seen.wall["cloths"]["background"] == "frost fern"
    assert seen.wall["one_way"] is False
    assert seen.mistake == ""
    assert "frost fern" in str(say_choice(room, {"block": "orchard lantern", "cloths": {}}, PLAIN).cutting)


def test_another_cloth_changes_all_that_is_said(room: Workroom) -> None:
    sent = held(room, "nine patch", dark="soot", light="cream")
    asked = Asked("1/4", "value")
    seen, said = see_choice(room, sent, asked), say_choice(room, sent, asked)
    assert seen.shelf is None, "the shelf is the browser's own while its roles stay"
    assert seen.wall is not None
    assert "view=value" in seen.wall["src"]
    assert "cloth=dark%3Dsoot" in str(seen.take)
    assert "All of the 12 edges that should read are clear." in str(said.seams)
    assert "soot" in str(said.cutting)


def test_a_colour_that_was_not_measured_is_told_beside_the_readings(shelf: Shelf) -> None:
    shelf.add(replace(solid_swatch("teal"), key="mine", name="river <b>", colour_from="not measured"))
    own = Workroom(shelf)
    said = say_choice(own, held(own, "nine patch", dark="mine"), PLAIN)
    assert '<p class="caution">The colour of river &lt;b&gt; was not measured' in str(said.seams)
    assert "caution" not in str(say_choice(own, held(own, "nine patch", dark="soot"), PLAIN).seams)


def test_figures_stand_beside_the_word_and_match_it(room: Workroom) -> None:
    said = say_choice(room, held(room, "nine patch", dark="soot", light="soot"), PLAIN)
    row = re.search(r"<button.*?</button>", str(said.seams))
    assert row is not None
    assert '<span class="word">lost</span>' in row[0]
    assert "<b>0 %</b>" in row[0]
    assert "0 apart" in row[0]


def test_seam_and_width_reach_the_list(room: Workroom) -> None:
    sent = held(room, "nine patch")
    assert "4 3/4 x 4 3/4 in" in str(say_choice(room, sent, Asked("3/8")).cutting)
    assert "3 1/2 x 3 1/2 in" in str(say_choice(room, sent, Asked("1/4", width="9")).cutting)
    assert "lengths miss the marks" in str(say_choice(room, sent, Asked("1/4", width="10 cm")).cutting)


def test_blades_irons_and_pins_are_cautioned_of_beside_the_list(room: Workroom) -> None:
    cutting = str(say_choice(room, held(room, "nine patch"), PLAIN).cutting)
    assert "Take care" in cutting
    for caution in CAUTIONS:
        assert caution.split(":")[0].replace("'", "&#x27;") in cutting


def test_one_way_cloth_can_be_laid_upright(room: Workroom) -> None:
    sent = held(room, "churn dash", dash="hay-meadow")
    seen = see_choice(room, sent, PLAIN)
    assert seen.wall is not None
    assert seen.wall["one_way"] is True
    upright = see_choice(room, sent, Asked("1/4", upright=True)).wall
    assert upright is not None
    assert "upright=yes" in upright["src"]
    assert "laid for an upright print" in str(say_choice(room, sent, Asked("1/4", upright=True)).cutting)


QUILT = Asked(
    "1/4", how="straight", across=3, down=2, second="shoo fly", sashing="1", stones=True, border="2"
)


def test_a_block_is_set_into_a_quilt(room: Workroom) -> None:
    sent = held(room, "nine patch", dark="soot", gone="plum")
    seen, said = see_choice(room, sent, QUILT), say_choice(room, sent, QUILT)
    assert seen.shelf is not None
    roles = [each["role"] for each in seen.shelf["roles"]]
    assert roles == ["dark", "light", "background", "fly", "sash", "cornerstone", "border"]
    assert seen.shelf["cloths"]["dark"] == "soot"
    assert seen.shelf["cloths"]["gone"] == "plum", "a role that comes back finds its cloth again"
    assert seen.wall is not None
    assert "42 x 29 in" in seen.wall["caption"]
    assert "set=straight&across=3&down=2&second=shoo+fly&sashing=1&stones=yes&border=2" in seen.wall["src"]
    assert "kinds of edge that should read" in str(said.seams)
    assert 'data-edge="kind-' in str(said.seams)
    assert "border: rectangle" in str(said.cutting)
    point = see_choice(room, sent, Asked("1/4", how="on point", across=2, down=2))
    assert point.shelf is not None
    assert [each["role"] for each in point.shelf["roles"]] == ["dark", "light", "triangle"]


def test_mitred_corners_and_binding_reach_picture_roles_and_list(room: Workroom) -> None:
    sent = held(room, "nine patch", dark="soot")
    plain = Asked("1/4", how="straight", across=2, down=2, border="3")
    mitred = replace(plain, corners="mitred")
    bound = replace(mitred, binding="3/8")
    walls = [see_choice(room, sent, asked).wall for asked in (plain, mitred, bound)]
    assert all(walls)
    assert "corners=mitred" in str(walls[1])
    assert "corners=mitred&binding=3%2F8" in str(walls[2])
    shelf = see_choice(room, sent, bound).shelf
    assert shelf is not None
    assert [each["role"] for each in shelf["roles"]] == ["dark", "light", "border", "binding"]
    assert "border: template" in str(say_choice(room, sent, mitred).cutting)
    assert "binding strip" not in str(say_choice(room, sent, mitred).cutting)
    for cloth, told in (
        ("plum", "buy 1/4 yd for the binding, 42 in wide"),
        ("soot", "buy 3/8 yd, 42 in wide, and 1/4 yd for the binding"),
    ):
        chosen = {**sent, "cloths": {**sent["cloths"], "binding": cloth}}  # type: ignore[dict-item]
        cutting = str(say_choice(room, chosen, bound).cutting)
        assert told in cutting
        assert "<td>binding: binding strip</td>" in cutting
        assert "<th scope=row>binding</th><td>4</td>" in cutting
        assert "Binding (binding, " in cutting


@pytest.mark.parametrize(
    ("block", "asked", "what"),
    [
        ("no such block", PLAIN, "There is no such block."),
        (None, PLAIN, "The page sent what it should not."),
        ("nine patch", Asked("2 furlongs"), "Seam allowance: &#x27;2 furlongs&#x27; is not a length"),
        ("nine patch", Asked("1/4", "x-ray"), "There is no such view."),
        ("nine patch", Asked("1/4", ["colour"]), "There is no such view."),
        ("nine patch", Asked("1/4", width="999"), "Finished width 999 in is out of bounds."),
        ("nine patch", Asked("1/4", how="round"), "There is no such setting."),
        ("nine patch", Asked("1/4", how="straight", across=99, down=2), "Number of blocks 99"),
        ("nine patch", Asked("1/4", how="straight", across=2.5, down=2), "is not a whole number"),
        ("nine patch", Asked("1/4", how="straight", sashing="wide"), "is not a length"),
        ("nine patch", Asked("1/4", how="straight", second="../x.toml"), "There is no such second block."),
        ("nine patch", Asked("1/4", how="straight", corners="round"), "no such corners"),
        ("nine patch", Asked("1/4", how="straight", binding="9"), "Binding 9 in is out of bounds."),
        ("flying geese", Asked("1/4", how="on point"), "not square"),
    ],
)
def test_what_a_browser_may_not_ask(room: Workroom, block: object, asked: Asked, what: str) -> None:
    seen = see_choice(room, {"block": block, "cloths": {}}, asked)
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
        {"block": "../../etc/passwd", "cloths": {}},
        {"block": "/etc/hostname.toml", "cloths": {}},
    ],
)
def test_whatever_is_sent_is_told_and_nothing_else_happens(room: Workroom, sent: object) -> None:
    seen = see_choice(room, sent, PLAIN)
    assert "alert" in seen.mistake
    assert seen.wall is None
    assert say_choice(room, sent, PLAIN) == Said(None, None)


def test_a_fault_of_the_program_is_not_hidden(room: Workroom, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr("ui.page_handlers.read_choice", broken)
    with pytest.raises(ZeroDivisionError):
        see_choice(room, {}, PLAIN)
    with pytest.raises(ZeroDivisionError):
        say_choice(room, {}, PLAIN)
