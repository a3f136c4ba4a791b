"""Weighing a choice on the page: what its handlers answer, and what its addresses give."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import replace
from html import unescape

import numpy as np
import pytest
from fastapi import FastAPI
from PIL import Image
from starlette.testclient import TestClient

from swatches.solids import solid_swatch
from ui.guard import guard
from ui.page_handlers import Asked
from ui.photo_tray import PhotoTray
from ui.reading_settings import ALL_VIEWS
from ui.routes import add_routes
from ui.settings import VIEWS
from ui.shelf import Shelf
from ui.weigh_handlers import LOOKING, help_html, line_html, look_html, looking_from
from ui.weigh_part import _LABELS
from ui.weigh_routes import add_weigh_routes
from ui.workroom import Workroom

NINE = {"block": "nine patch", "cloths": {"dark": "soot", "light": "cream"}}
NEAR = {"block": "nine patch", "cloths": {"dark": "chalk", "light": "cream"}}
USUAL = ("6 ft", "cloth", "daylight", "", "", "seams")
QUILT = Asked(how="straight", across=2, down=2)


@pytest.fixture(scope="module")
def client(room: Workroom) -> Iterator[TestClient]:
    app = FastAPI()
    guard(app)
    add_routes(app, room, PhotoTray())
    add_weigh_routes(app, room)
    with TestClient(app, base_url="http://127.0.0.1:8717") as opened:
        yield opened


def source(html: str) -> str:
    found = re.search(r'src="(.+?)"', html)
    assert found is not None, html
    return unescape(found[1])


def picture(client: TestClient, address: str) -> np.ndarray:
    answer = client.get(address)
    assert answer.status_code == 200, answer.text
    return np.asarray(Image.open(io.BytesIO(answer.content)))


def test_every_view_that_the_page_lacks_is_offered_here() -> None:
    assert set(_LABELS) == set(ALL_VIEWS) - set(VIEWS)


def test_a_way_of_looking_in_the_pages_words() -> None:
    viewing, view = looking_from(
        dict(zip(LOOKING, ("10 ft", "screen", "warm-lamp", "tritan", "70", "dim"), strict=True))
    )
    assert view == "dim"
    assert (
        viewing.full_words
        == "from 10 feet on a screen under a warm lamp to tritan eyes through a lens of 70 years"
    )
    assert looking_from({})[0].full_words == "from 6 feet"


@pytest.mark.parametrize(
    "words",
    [
        {"look": "x-ray"},
        {"shown": "wall"},
        {"light": "moon"},
        {"eyes": "cat"},
        {"distance": "far"},
        {"years": "9"},
    ],
)
def test_strange_words_are_a_mistake(words: dict[str, str]) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        looking_from(words)
    assert getattr(caught.value, "mend", "")


def test_a_look_is_a_picture_and_its_readings(room: Workroom, client: TestClient) -> None:
    html = look_html(room, NEAR, Asked(), USUAL)
    assert "12 are lost" in html
    assert html.count("<li value=") == 12
    seams = picture(client, source(html))
    far = picture(client, source(look_html(room, NEAR, Asked(), ("20 ft", *USUAL[1:5], "step-back"))))
    assert seams.shape == far.shape == (1200, 1200, 3)
    assert (seams == (213, 94, 0)).all(axis=2).mean() > 0.002, "lost edges are dotted"


def test_eyes_change_the_picture(room: Workroom, client: TestClient) -> None:
    held = {"block": "nine patch", "cloths": {"dark": "berry", "light": "clover"}}
    shown = [
        picture(client, source(look_html(room, held, Asked(), (*USUAL[:3], eyes, "", "seen"))))
        for eyes in ("protan", "tritan")
    ]
    assert (shown[0] != shown[1]).any(axis=2).mean() > 0.9


def test_what_would_help(room: Workroom) -> None:
    html = help_html(room, NEAR, Asked(), USUAL)
    assert "Cut the" in html
    assert "becomes <b>" in html
    assert "All of the 12 edges that should read are clear." in help_html(room, NINE, Asked(), USUAL)


def test_the_cloths_on_one_line(room: Workroom, client: TestClient) -> None:
    html = line_html(room, NINE, Asked())
    assert "spread over" in html
    assert picture(client, source(html)).shape[1] == 1040


def test_a_quilt_is_lined_up_but_not_advised(room: Workroom) -> None:
    assert "/line.png?" in line_html(room, NINE, QUILT)
    assert "this is a quilt" in help_html(room, NINE, QUILT, USUAL)
    assert "this is a quilt" in look_html(room, NINE, QUILT, USUAL)
    assert "<figure>" in look_html(room, NINE, QUILT, (*USUAL[:5], "dim"))


def test_mistakes_are_told(room: Workroom) -> None:
    assert "out of bounds" in look_html(room, NINE, Asked(), ("1 in", *USUAL[1:]))
    assert "Choose a warm lamp" in look_html(room, NINE, Asked(), (*USUAL[:5], "seen"))
    assert "should not" in line_html(room, {"block": 4}, Asked())


def test_names_cannot_be_markup(shelf: Shelf) -> None:
    shelf.add(replace(solid_swatch("teal", name="<img src=x>"), colour_from="not measured"))
    (own,) = (entry.key for entry in shelf.entries() if entry.source == "stash")
    held = {"block": "nine patch", "cloths": {"dark": own, "light": "cream"}}
    mine = Workroom(shelf)
    near = {"block": "nine patch", "cloths": {"dark": own, "light": own}}
    for html in (
        look_html(mine, held, Asked(), USUAL),
        line_html(mine, held, Asked()),
        help_html(mine, near, Asked(), USUAL),
    ):
        assert "<img src=x>" not in html
        assert "&lt;img" in html


def test_addresses_refuse_strangers(client: TestClient) -> None:
    assert client.get("/weigh.png?block=nine%20patch&look=x-ray").status_code == 422
    assert client.get("/line.png?block=no%20such").status_code == 422
