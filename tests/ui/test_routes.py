"""Addresses of the page: exact pictures, files to take away, and no strangers."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from urllib.parse import parse_qsl

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from starlette.testclient import TestClient

from blocks.library import block_names
from tests.ui.asking import asked_of
from ui.choice import Choice, choice_from_query, choice_query
from ui.guard import CONTENT_RULES
from ui.orders import draft_order, take_order
from ui.quilt_choice import QuiltChoice
from ui.workroom import Workroom

NINE = choice_query(Choice("nine patch", (("dark", "soot"), ("light", "cream"))))


@pytest.fixture(scope="module")
def client(room: Workroom) -> Iterator[TestClient]:
    with asked_of(room) as opened:
        yield opened


words = st.text(max_size=30)
quilts = st.builds(
    QuiltChoice,
    st.just(False),
    st.integers(1, 12),
    st.integers(1, 12),
    st.sampled_from(["", "nine patch", "river iris"]),
    st.fractions(0, 12, max_denominator=64),
    st.booleans(),
    st.fractions(0, 24, max_denominator=64),
    st.booleans(),
    st.fractions(0, 3, max_denominator=64),
)


@given(
    choice=st.builds(
        Choice,
        words,
        st.lists(st.tuples(words, st.text("abcdef0123456789-", min_size=1, max_size=16)), max_size=5).map(
            tuple
        ),
        st.fractions(0, 1, max_denominator=500),
        st.none() | st.fractions(1, 240, max_denominator=500),
        st.booleans(),
        st.none() | quilts,
    )
)
def test_a_choice_survives_its_address(choice: Choice) -> None:
    query = choice_query(choice, view="value")
    assert choice_from_query(parse_qsl(query, keep_blank_values=True)) == choice


def test_the_picture_is_lossless_and_exact(client: TestClient, room: Workroom) -> None:
    answer = client.get(f"/picture.png?{NINE}&view=colour")
    assert answer.status_code == 200
    shown = np.asarray(Image.open(io.BytesIO(answer.content)))
    choice = Choice("nine patch", (("dark", "soot"), ("light", "cream")))
    assert (shown == room.fresh_picture(choice, view="colour", ppi=100.0)).all()


def test_a_cloth_is_seen_at_one_scale_with_the_others(client: TestClient) -> None:
    picture = Image.open(io.BytesIO(client.get("/cloth/picnic-cloth.png").content))
    assert picture.size == (144, 144)
    assert client.get("/cloth/no-such-cloth.png").status_code == 422


def test_the_shelf_and_the_outlines(client: TestClient) -> None:
    shelf = client.get("/shelf.json").json()
    assert len(shelf) >= 24
    assert {"key", "name", "kind", "line", "source", "stamp"} == set(shelf[0])
    outlines = client.get(f"/outlines.json?{NINE}").json()
    assert outlines["width_in"] == 12
    assert len(outlines["patches"]) == 9
    assert len(outlines["edges"]) == 12
    assert outlines["patches"][0]["path"].startswith("M0.0000 0.0000L4.0000")


SET = choice_query(
    Choice(
        "nine patch",
        (("dark", "soot"), ("light", "cream"), ("sash", "slate")),
        quilt=QuiltChoice(False, 2, 2, sashing_in=Fraction(2)),
    )
)


def test_a_quilt_is_drawn_and_taken_away(client: TestClient, tmp_path: Path) -> None:
    shown = Image.open(io.BytesIO(client.get(f"/picture.png?{SET}&view=colour").content))
    assert shown.size == (1600, 1600)
    outlines = client.get(f"/outlines.json?{SET}").json()
    assert (outlines["width_in"], len(outlines["patches"])) == (26, 36 + 3)
    assert [edge["name"] for edge in outlines["edges"]] == ["kind-0", "kind-1", "kind-2", "kind-3"]
    taken = Image.open(io.BytesIO(client.get(f"/take/picture.png?{SET}").content))
    assert taken.size == (26 * 200, 26 * 200)
    rows = list(csv.DictReader(io.StringIO(client.get(f"/take/readings.csv?{SET}").text)))
    assert sum(int(row["edges"]) for row in rows if row["should_read"] == "yes") > 48
    assert "1 quilt top 26 x 26 in" in client.get(f"/take/cutting.txt?{SET}").text
    kept = tmp_path / "kept.toml"
    kept.write_text(client.get(f"/take/audition.toml?{SET}").text, "utf-8")
    assert draft_order(take_order(str(kept), ())).draft.finished_width_in == 26


def test_the_binding_of_a_quilt_is_in_every_list(client: TestClient) -> None:
    quilt = QuiltChoice(False, 2, 2, border_in=Fraction(3), mitred=True, binding_in=Fraction(1, 4))
    cloths = (("dark", "soot"), ("light", "cream"), ("border", "slate"), ("binding", "plum"))
    query = choice_query(Choice("nine patch", cloths, quilt=quilt))
    rows = list(csv.DictReader(io.StringIO(client.get(f"/take/cutting.csv?{query}").text)))
    (binding,) = (row for row in rows if row["role"] == "binding")
    # Double-fold: twice (twice 1/4 that shows and the 1/4 of the seam); 4 strips of 40 in, joined on the
    # diagonal, give 155 1/2 in for the 120 in round the quilt and 10 more.
    assert (binding["quantity"], binding["cut_width"], binding["cut_height"]) == ("4", "40", "1 1/2")
    assert sum(row["kind"] == "template" and row["role"] == "border" for row in rows) == 4
    text = " ".join(client.get(f"/take/cutting.txt?{query}").text.split())
    assert "cut 4 strips 1 1/2 in wide across the cloth and join them on the diagonal to 155 1/2 in" in text
    assert "4 40 x 1 1/2 in binding (binding strip, across the cloth)" in text
    kept = client.get(f"/take/audition.toml?{query}").text
    assert 'corners = "mitred"' in kept
    assert "[audition.setting.binding]" in kept or "binding]" in kept


def test_the_blocks_and_their_small_pictures(client: TestClient) -> None:
    blocks = client.get("/blocks.json").json()
    assert {block["name"] for block in blocks} == set(block_names())
    order = [block["difficulty"] for block in blocks]
    assert order.index("advanced") > order.index("intermediate") > order.index("beginner") == 0
    assert Image.open(io.BytesIO(client.get("/block/flying%20geese.png").content)).size == (56, 112)
    assert client.get("/block/none.png").status_code == 422


@pytest.mark.parametrize(
    ("name", "opens"),
    [
        ("cutting.txt", b"Cutting list: Nine Patch"),
        ("audition.toml", b"# An audition"),
        ("cutting.csv", b"cloth,"),
        ("readings.csv", b"first_patch,"),
    ],
)
def test_files_to_take_away(client: TestClient, name: str, opens: bytes) -> None:
    answer = client.get(f"/take/{name}?{NINE}")
    assert answer.content.startswith(opens)
    assert f'filename="nine-patch-{name}"' in answer.headers["content-disposition"]


def test_readings_taken_away_match_those_shown(client: TestClient, room: Workroom) -> None:
    rows = list(csv.DictReader(io.StringIO(client.get(f"/take/readings.csv?{NINE}").text)))
    shown = room.readings(Choice("nine patch", (("dark", "soot"), ("light", "cream"))))
    assert [(row["first_patch"], row["word"]) for row in rows] == [(str(r.first), r.word) for r in shown]


@pytest.mark.parametrize("view", ["colour", "value", "lines"])
def test_a_part_seen_near_is_cut_from_the_picture_at_that_resolution(
    client: TestClient, room: Workroom, view: str
) -> None:
    choice = Choice("nine patch", (("dark", "wet-slate"), ("light", "cream")))
    whole = room.fresh_picture(choice, view=view, ppi=230.0)
    for left, top, wide, high in ((0, 0, 300, 200), (901, 733, 640, 480), (2759, 2700, 1, 60)):
        asked = f"&view={view}&ppi=230&left={left}&top={top}&wide={wide}&high={high}"
        answer = client.get(f"/near.png?{choice_query(choice)}{asked}")
        part = np.asarray(Image.open(io.BytesIO(answer.content)).convert("RGB"))
        there = whole[top : top + high, left : left + wide]
        if view == "lines":  # numbers are set by the room that there is
            assert (part != there).any(axis=2).mean() < 0.03
        else:
            off = np.abs(part.astype(int) - there)
            assert off.max() <= 1
            assert (off > 0).mean() < 1e-4


@pytest.mark.parametrize(
    "part",
    [
        "ppi=230&left=0&top=0&wide=2761&high=10",
        "ppi=230&left=-1&top=0&wide=10&high=10",
        "ppi=230&left=0&top=0&wide=0&high=10",
        "ppi=230&left=0&top=0&wide=9999&high=9999",
        "ppi=2300&left=0&top=0&wide=10&high=10",
        "ppi=1e9&left=0&top=0&wide=10&high=10",
        "ppi=nan&left=0&top=0&wide=10&high=10",
        "left=0&top=0&wide=1000&high=99999999999999999999",
        "",
    ],
)
def test_a_part_that_is_none_is_refused(client: TestClient, part: str) -> None:
    answer = client.get(f"/near.png?{NINE}&view=colour&{part}")
    assert answer.status_code == 422
    assert set(answer.json()) == {"what", "mend"}


@pytest.mark.parametrize(
    "address",
    [
        "/picture.png?block=nine+patch&view=colour",
        "/picture.png?block=..%2F..%2Fetc%2Fpasswd&view=colour",
        f"/picture.png?{NINE}&view=secret",
        f"/picture.png?{NINE}",
        f"/outlines.json?{NINE}&block={'x' * 900}",
        f"/outlines.json?{NINE}&set=round",
        f"/outlines.json?{NINE}&set=straight&across=1000&down=1",
        f"/outlines.json?{NINE}&set=straight&border=2&corners=round",
        f"/outlines.json?{NINE}&set=straight&binding=4",
        f"/outlines.json?{NINE}&set=straight&second=%2Fetc%2Fhostname.toml",
        f"/outlines.json?{NINE}&width=1e9",
        "/outlines.json?block=nine+patch&seam=1e999999999",
        "/photo/none.jpg",
    ],
)
def test_strange_addresses_are_told_what_is_wrong(client: TestClient, address: str) -> None:
    answer = client.get(address)
    assert answer.status_code == 422
    assert set(answer.json()) == {"what", "mend"}


def test_no_other_file_can_be_taken(client: TestClient) -> None:
    assert client.get(f"/take/stash.sqlite?{NINE}").status_code == 404
    assert client.get(f"/take/..%2f..%2fpyproject.toml?{NINE}").status_code == 404


def test_strangers_are_refused(client: TestClient) -> None:
    assert client.get("/shelf.json", headers={"host": "evil.example"}).status_code == 400
    for origin in ("http://evil.example", "null", "http://127.0.0.1:9999", "http://localhost.evil.example"):
        assert client.get("/shelf.json", headers={"origin": origin}).status_code == 403
    assert client.get("/shelf.json", headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert client.get("/shelf.json", headers={"origin": "http://127.0.0.1:8717"}).status_code == 200
    link = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate"}
    assert client.get("/shelf.json", headers=link).status_code == 200


def test_every_answer_carries_the_rules(client: TestClient) -> None:
    headers = client.get("/shelf.json").headers
    assert headers["content-security-policy"] == CONTENT_RULES
    assert "http" not in CONTENT_RULES, "no outside host is allowed for anything"
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
