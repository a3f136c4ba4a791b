"""The stash beside an open page: whatever changes it, the page shows it as it now is, and no slower."""

from __future__ import annotations

import io
import os
import shutil
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from starlette.testclient import TestClient

from swatches.solids import solid_swatch
from swatches.stash import Stash
from tests.ui.asking import asked_of, run
from ui.choice import Choice
from ui.page_handlers import Asked, say_choice, see_choice
from ui.shelf import Shelf
from ui.stash_book import StashBook
from ui.weigh_handlers import line_html
from ui.workroom import Workroom

RIVER = solid_swatch("#3a6a8a", name="river")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    Stash(tmp_path / "stash.sqlite").add(RIVER)
    return tmp_path / "stash.sqlite"


def test_there_need_be_no_stash(tmp_path: Path) -> None:
    assert (StashBook(None).entries(), dict(StashBook(None).stamps())) == ((), {})
    later = StashBook(tmp_path / "later.sqlite")
    assert later.entries() == ()
    assert not (tmp_path / "later.sqlite").exists(), "looking begins no stash"
    Stash(tmp_path / "later.sqlite").add(RIVER)
    assert [entry.name for entry in later.entries()] == ["river"]
    (tmp_path / "later.sqlite").unlink()
    assert later.entries() == ()
    with pytest.raises(ValueError, match="no stash"):
        StashBook(None).begun()


def test_every_change_by_another_program_is_seen_at_once(file: Path) -> None:
    book, other = StashBook(file), Stash(file)
    first = dict(book.stamps())
    assert list(first) == [RIVER.key]
    for shade in range(1, 30):
        other.replace(replace(RIVER, by_eye=replace(RIVER.by_eye, light=float(shade))))
        assert dict(book.stamps()) != first, "writes within one tick of the clock are seen too"
        first = dict(book.stamps())
        assert "corrected by eye" in book.entries()[0].trust
    other.add(replace(RIVER, key="twin", name="twin"))
    assert [entry.name for entry in book.entries()] == ["river", "twin"]
    assert book.stamps()[RIVER.key] == first[RIVER.key], "another cloth leaves its stamp alone"
    other.remove("twin")
    assert dict(book.stamps()) == first


def test_a_backup_copied_into_its_place_is_seen(file: Path, tmp_path: Path) -> None:
    shutil.copy(file, tmp_path / "backup.sqlite")
    book = StashBook(file)
    Stash(file).add(replace(RIVER, key="twin", name="twin"))
    assert len(book.entries()) == 2
    (tmp_path / "backup.sqlite").replace(file)
    assert [entry.name for entry in book.entries()] == ["river"]


def test_a_stash_that_stays_is_not_opened_again(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    old = time.time() - 60
    os.utime(file, (old, old))
    book = StashBook(file)
    kept = book.entries()

    def opened(*_: object) -> None:
        raise AssertionError("the file was opened")

    monkeypatch.setattr("swatches.stash.connect", opened)
    monkeypatch.setattr("swatches.stash.prepare", opened)
    for _ in range(50):
        assert book.entries() is kept
        assert list(book.stamps()) == [RIVER.key]


@pytest.fixture
def room(file: Path) -> Workroom:
    return Workroom(Shelf(file))


@pytest.fixture
def client(room: Workroom) -> Iterator[TestClient]:
    with asked_of(room) as opened:
        yield opened


HELD = {"block": "nine patch", "cloths": {"dark": RIVER.key, "light": "cream"}}


def test_an_open_page_shows_what_a_command_changed(
    capsys: pytest.CaptureFixture[str], room: Workroom, client: TestClient, file: Path
) -> None:
    def shown() -> tuple[str, tuple[int, ...]]:
        wall = see_choice(room, HELD, Asked()).wall
        assert wall is not None
        answer = client.get(wall["src"])
        picture = np.asarray(Image.open(io.BytesIO(answer.content)))
        return wall["src"], tuple(picture[100, 100].tolist())

    version = client.get("/shelf-version.json").json()
    (entry,) = (each for each in client.get("/shelf.json").json() if each["key"] == RIVER.key)
    small = client.get(f"/cloth/{RIVER.key}.png").content
    said = say_choice(room, HELD, Asked())
    line = line_html(room, HELD, Asked())
    source, colour = shown()
    assert colour == (0x3A, 0x6A, 0x8A)
    assert shown()[0] == source, "nothing changed, so nothing is fetched again"

    assert run(capsys, "correct", "river", "--light", "60", "--stash", file)[0] == 0

    changed, lighter = shown()
    assert changed != source, "the browser must not take its own old picture"
    assert sum(lighter) > sum(colour) + 60
    assert client.get("/shelf-version.json").json() != version
    assert client.get("/shelf-version.json").headers["cache-control"] == "no-store"
    (now,) = (each for each in client.get("/shelf.json").json() if each["key"] == RIVER.key)
    assert now["stamp"] != entry["stamp"]
    assert client.get(f"/cloth/{RIVER.key}.png").content != small
    again = say_choice(room, HELD, Asked())
    assert again.seams != said.seams, "it is read anew"
    assert f"/cloth/{RIVER.key}.png?seen={now['stamp']}" in str(again.cutting)
    assert line_html(room, HELD, Asked()) != line


def test_cloth_that_was_taken_out_is_told_by_its_role(room: Workroom, file: Path) -> None:
    assert see_choice(room, HELD, Asked()).mistake == ""
    Stash(file).remove("river")
    told = see_choice(room, HELD, Asked()).mistake
    assert "The cloth that was chosen for dark is no longer at hand." in told
    assert "Choose another cloth for it." in told


def test_cloth_taken_out_while_it_is_read_is_no_fault(
    room: Workroom, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    painted = room.picture_png

    def taken_out_meanwhile(choice: Choice, view: str, *, seen: str) -> bytes:
        picture = painted(choice, view, seen=seen)
        Stash(file).remove("river")
        return picture

    monkeypatch.setattr(room, "picture_png", taken_out_meanwhile)
    said = say_choice(room, HELD, Asked())
    assert (said.seams, said.cutting) == (None, None), "the wall tells of it"


def test_one_way_is_heard_of_too(capsys: pytest.CaptureFixture[str], room: Workroom, file: Path) -> None:
    before = see_choice(room, HELD, Asked()).wall
    assert before is not None
    assert before["one_way"] is False
    assert run(capsys, "correct", "river", "--way", "one-way", "--stash", file)[0] == 0
    after = see_choice(room, HELD, Asked()).wall
    assert after is not None
    assert after["one_way"] is True


def test_a_picture_already_asked_for_comes_though_its_cloth_is_taken_out(
    room: Workroom, client: TestClient, file: Path
) -> None:
    wall = see_choice(room, HELD, Asked()).wall
    assert wall is not None
    small = f"/cloth/{RIVER.key}.png?seen={room.cloth_stamp(RIVER.key)}"
    Stash(file).remove("river")
    late = client.get(wall["src"])
    assert late.status_code == 200
    assert np.asarray(Image.open(io.BytesIO(late.content)))[100, 100].tolist() == [0x3A, 0x6A, 0x8A]
    assert client.get(small).status_code == 200
    assert client.get(f"/cloth/{RIVER.key}.png").status_code == 200, "it lies aside"
    assert client.get(wall["src"].partition("&seen=")[0]).status_code == 422, "asked for as it is now"
    Stash(file).put_back("river")
    assert client.get(wall["src"]).content == late.content


def test_an_address_of_cloth_changed_since_and_not_kept_shows_it_as_it_is(
    room: Workroom, client: TestClient, file: Path
) -> None:
    wall = see_choice(room, HELD, Asked()).wall
    assert wall is not None
    now = client.get(wall["src"]).content
    address, _, _ = wall["src"].partition("&seen=")
    assert client.get(f"{address}&seen=never").content == now
    assert client.get(f"/cloth/{RIVER.key}.png?seen=never").status_code == 200
