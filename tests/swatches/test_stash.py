"""The stash: nothing is lost, nothing foreign is touched, several may use it at once."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import threading
from dataclasses import fields, replace
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from swatches.by_eye import ByEye
from swatches.solids import solid_swatch
from swatches.stash import Stash, StashError, default_stash_path
from swatches.swatch import Swatch, SwatchError, make_swatch
from tests.swatches.pictures import speckled


def cloth(name: str = "hay meadow", *, key: str = "a1", seed: int = 1, rows: int = 60) -> Swatch:
    return make_swatch(
        speckled(rows, 90, seed=seed), key=key, name=name, ppi=123.25, repeats=False,
        width_of_fabric_in=Fraction(87, 2), scale_note="±0.4 %", colour_note="ünmeasured", one_way=True,
        photo="0123456789abcdef",
    )  # fmt: skip


def same(first: Swatch, second: Swatch) -> bool:
    plain = [field.name for field in fields(Swatch) if field.name != "tile_srgb8"]
    alike = all(getattr(first, name) == getattr(second, name) for name in plain)
    return alike and np.array_equal(first.tile_srgb8, second.tile_srgb8)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "cupboard" / "stash.sqlite"


def test_what_goes_in_comes_out(path: Path) -> None:
    Stash(path).add(cloth())
    kept = Stash(path).get("a1")
    assert same(kept, cloth())
    assert not kept.tile_srgb8.flags.writeable


def test_found_by_key_or_name_capitals_aside(path: Path) -> None:
    stash = Stash(path)
    stash.add(cloth("Hay Meadow", key="a1"))
    stash.add(cloth("a2", key="b2", seed=2))
    stash.add(cloth("third", key="a2", seed=3))
    assert stash.get("hay meadow").key == "a1"
    # A key goes before a name.
    assert stash.get("a2").name == "third"


def test_names_and_small_pictures(path: Path) -> None:
    stash = Stash(path)
    stash.add(cloth("pond", key="p", rows=300))
    stash.add(solid_swatch("teal"))
    stash.add(cloth("bee", key="b"))
    assert stash.names() == ("bee", "pond", "teal")
    entries = stash.entries()
    assert [entry.name for entry in entries] == ["bee", "pond", "teal"]
    assert entries[0].thumb_srgb8.shape == (60, 90, 3)
    assert entries[1].thumb_srgb8.shape == (96, 28, 3)
    assert entries[1].height_in == pytest.approx(300 / 123.25)
    assert entries[2].kind == "solid"


def test_a_taken_name_is_refused_and_nothing_changes(path: Path) -> None:
    stash = Stash(path)
    stash.add(cloth())
    for again in (cloth(), cloth("HAY MEADOW", key="z9", seed=9)):
        with pytest.raises(StashError) as caught:
            stash.add(again)
        assert "hay meadow" in str(caught.value)
    assert same(stash.get("a1"), cloth())
    assert stash.names() == ("hay meadow",)


def test_replacing_takes_the_place_of_key_and_name(path: Path) -> None:
    stash = Stash(path)
    stash.add(cloth("one", key="k1"))
    stash.add(cloth("two", key="k2"))
    stash.replace(cloth("one", key="k2", seed=5))
    assert stash.names() == ("one",)
    assert same(stash.get("one"), cloth("one", key="k2", seed=5))
    with sqlite3.connect(path) as connection:
        assert connection.execute("SELECT count(*) FROM tiles").fetchone() == (1,)
    connection.close()


def test_what_is_taken_out_can_be_put_back_whole(path: Path) -> None:
    stash = Stash(path)
    with pytest.raises(StashError) as caught:
        stash.remove("hay meadow")
    assert caught.value.mend == "Add a cloth first."
    stash.add(cloth())
    assert stash.remove("Hay meadow") == "hay meadow"
    assert (stash.names(), stash.aside(), dict(stash.stamps())) == ((), ("hay meadow",), {})
    with pytest.raises(StashError) as caught:
        stash.get("hay meadow")
    assert "put it back" in caught.value.mend
    aside = stash.get_aside("a1")
    assert aside is not None
    assert same(aside, cloth())
    assert Stash(path).put_back("HAY MEADOW") == "hay meadow"
    assert same(stash.get("a1"), cloth())
    assert (stash.aside(), stash.get_aside("a1")) == ((), None)
    with pytest.raises(StashError, match="that was taken out"):
        stash.put_back("hay meadow")


def test_what_is_taken_out_leaves_its_name_free(path: Path) -> None:
    stash = Stash(path)
    for number in (1, 2):
        stash.add(cloth(key=f"k{number}", seed=number))
        stash.remove("hay meadow")
    stash.add(cloth(key="k3", seed=3))
    with pytest.raises(StashError, match="again") as caught:
        stash.put_back("hay meadow")
    assert "Rename" in caught.value.mend
    assert same(stash.get("hay meadow"), cloth(key="k3", seed=3))
    stash.rename("hay meadow", "third")
    stash.put_back("hay meadow")
    assert stash.get("hay meadow").key == "k2", "the last one that was taken out by that name"
    assert stash.forget("k1") == "hay meadow"
    assert stash.aside() == ()


def test_the_same_cloth_taken_out_twice_lies_aside_once(path: Path) -> None:
    stash = Stash(path)
    for note in ("before", "after"):
        stash.add(replace(cloth(), scale_note=note))
        stash.remove("a1")
    assert stash.aside() == ("hay meadow",)
    stash.add(cloth())
    with pytest.raises(StashError, match="again") as caught:
        stash.put_back("a1")
    assert "the same cloth" in caught.value.mend
    stash.remove("a1")
    stash.add(replace(cloth(), scale_note="after"))
    stash.remove("a1")
    stash.put_back("a1")
    assert stash.get("a1").scale_note == "after"


def test_another_name_and_the_same_cloth(path: Path) -> None:
    stash = Stash(path)
    stash.add(cloth())
    stash.add(cloth("pond", key="p", seed=2))
    stash.rename("hay meadow", "  Hay field ")
    assert same(stash.get("hay field"), replace(cloth(), name="Hay field"))
    stash.rename("a1", "HAY FIELD")
    assert stash.names() == ("HAY FIELD", "pond")
    for wrong, kind in (("Pond", StashError), (" ", SwatchError), ("x" * 121, SwatchError)):
        with pytest.raises(kind) as caught:
            stash.rename("a1", wrong)
        assert caught.value.mend.endswith(".")
    with pytest.raises(StashError, match="no cloth called"):
        stash.rename("river", "lake")
    assert stash.names() == ("HAY FIELD", "pond")


def test_a_slip_of_the_pen_is_answered_with_near_names(path: Path) -> None:
    stash = Stash(path)
    for number, name in enumerate(("hay meadow", "bee garden", "clover field")):
        stash.add(cloth(name, key=str(number), seed=number))
    with pytest.raises(StashError) as caught:
        stash.get("clovr field")
    assert "'clover field'" in caught.value.mend
    assert str(path) in str(caught.value)


def test_between_operations_the_one_file_is_everything(path: Path, tmp_path: Path) -> None:
    Stash(path).add(cloth())
    assert [kept.name for kept in path.parent.iterdir()] == [path.name]
    copy = tmp_path / "backup.sqlite"
    copy.write_bytes(path.read_bytes())
    assert same(Stash(copy).get("a1"), cloth())


def test_files_that_are_no_stash_are_left_alone(tmp_path: Path) -> None:
    letter = tmp_path / "letter.txt"
    letter.write_text("Dear sister, " * 100)
    before = letter.read_bytes()
    with pytest.raises(StashError, match="damaged or is no stash"):
        Stash(letter)
    assert letter.read_bytes() == before
    with pytest.raises(StashError, match="folder"):
        Stash(tmp_path)


def test_another_programs_database_is_left_alone(tmp_path: Path) -> None:
    other = tmp_path / "other.sqlite"
    connection = sqlite3.connect(other)
    connection.execute("CREATE TABLE letters (text TEXT)")
    connection.commit()
    connection.close()
    before = other.read_bytes()
    with pytest.raises(StashError, match="belongs to another program"):
        Stash(other)
    assert other.read_bytes() == before


def test_a_newer_stash_is_left_alone(path: Path) -> None:
    Stash(path).add(cloth())
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA user_version = 99")
    connection.close()
    before = path.read_bytes()
    with pytest.raises(StashError, match="newer version") as caught:
        Stash(path)
    assert caught.value.mend.startswith("Update")
    assert path.read_bytes() == before


@pytest.mark.parametrize("kept", [0.02, 0.5, 0.9])
def test_a_stash_that_was_cut_short_is_refused_and_kept(path: Path, kept: float) -> None:
    stash = Stash(path)
    for number in range(6):
        stash.add(cloth(f"cloth {number}", key=str(number), seed=number))
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * kept)])
    before = path.read_bytes()
    with pytest.raises(StashError) as caught:
        Stash(path)
    assert "backup" in caught.value.mend
    assert path.read_bytes() == before


def test_a_tile_that_changed_on_the_disk_is_not_shown(path: Path) -> None:
    stash = Stash(path)
    stash.add(cloth())
    stash.add(cloth("other", key="b", seed=2))
    connection = sqlite3.connect(path)
    connection.execute("UPDATE tiles SET png = (SELECT png FROM tiles WHERE key = 'b') WHERE key = 'a1'")
    connection.commit()
    connection.close()
    with pytest.raises(StashError, match="damaged tile"):
        stash.get("a1")
    assert same(stash.get("b"), cloth("other", key="b", seed=2))


SECOND_VERSION = """
CREATE TABLE swatches (
    key TEXT PRIMARY KEY NOT NULL, name TEXT NOT NULL UNIQUE COLLATE NOCASE, ppi REAL NOT NULL,
    repeats INTEGER NOT NULL, width_of_fabric_in TEXT NOT NULL, scale_note TEXT NOT NULL,
    colour_note TEXT NOT NULL, one_way INTEGER NOT NULL, kind TEXT NOT NULL, width_px INTEGER NOT NULL,
    height_px INTEGER NOT NULL, thumb_png BLOB NOT NULL, scale_off REAL,
    colour_from TEXT NOT NULL DEFAULT 'stated', by_eye TEXT NOT NULL DEFAULT '',
    about TEXT NOT NULL DEFAULT '', repeat_in TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE tiles (
    key TEXT PRIMARY KEY NOT NULL REFERENCES swatches (key) ON DELETE CASCADE, png BLOB NOT NULL,
    digest TEXT NOT NULL
) STRICT;
PRAGMA application_id = 1397510996;
PRAGMA user_version = 2;
"""
"""The tables as they were before a cloth's photograph was kept."""


def test_an_older_stash_keeps_all_it_holds(path: Path) -> None:
    kept = replace(
        cloth(),
        scale_off=0.003,
        colour_from="grey steps",
        by_eye=ByEye(light=4.0),
        repeat_in=((2.5, 0.0), (1.25, 3.0)),
    )
    Stash(path).add(kept)
    old = path.with_name("old.sqlite")
    with sqlite3.connect(old) as connection:
        connection.executescript(SECOND_VERSION)
        connection.execute("ATTACH ? AS now", (str(path),))
        columns = [row[1] for row in connection.execute("PRAGMA main.table_info(swatches)")]
        listed = ", ".join(columns)
        connection.execute(f"INSERT INTO main.swatches ({listed}) SELECT {listed} FROM now.swatches")
        connection.execute("INSERT INTO main.tiles SELECT * FROM now.tiles")
    connection.close()
    assert same(Stash(old).get("a1"), replace(kept, photo=""))
    # It takes what this version keeps, and looks to SQLite as one begun by it.
    newer = replace(cloth("two", key="b2", seed=2), photo="feed")
    Stash(old).add(newer)
    assert same(Stash(old).get("two"), newer)
    assert columns_of(old) == columns_of(path)


def columns_of(path: Path) -> tuple[int, list[set[tuple[str, str]]]]:
    with sqlite3.connect(path) as connection:
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        found = [
            {(row[1], row[2]) for row in connection.execute(f"PRAGMA table_info({table})")}
            for table in ("swatches", "tiles", "aside")
        ]
    connection.close()
    return version, found


def test_all_that_is_kept_of_a_cloth_goes_aside_with_it(path: Path) -> None:
    Stash(path)
    _, (swatches, tiles, aside) = columns_of(path)
    assert aside == swatches | tiles


def test_an_empty_file_becomes_a_stash(tmp_path: Path) -> None:
    path = tmp_path / "new.sqlite"
    path.touch()
    assert Stash(path).names() == ()


def test_many_threads_open_one_new_stash(path: Path) -> None:
    faults: list[BaseException] = []

    def work(number: int) -> None:
        try:
            Stash(path).add(cloth(f"cloth {number}", key=str(number), seed=number))
        except BaseException as fault:
            faults.append(fault)

    threads = [threading.Thread(target=work, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert not faults
    assert len(Stash(path).names()) == 8


def test_a_crash_in_the_middle_leaves_what_was_there(path: Path) -> None:
    Stash(path).add(cloth())
    dying = (
        "import os, sys, sqlite3\n"
        "connection = sqlite3.connect(sys.argv[1], isolation_level=None)\n"
        "connection.execute('BEGIN IMMEDIATE')\n"
        "connection.execute('DELETE FROM swatches')\n"
        "os._exit(9)\n"
    )
    assert subprocess.run([sys.executable, "-c", dying, str(path)], timeout=20).returncode == 9
    assert same(Stash(path).get("a1"), cloth())


def test_where_the_stash_lies(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("SEAMLIGHT_STASH", str(tmp_path / "mine.sqlite"))
    assert default_stash_path() == tmp_path / "mine.sqlite"
    monkeypatch.delenv("SEAMLIGHT_STASH")
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert default_stash_path() == tmp_path / "seamlight" / "stash.sqlite"
    # Relative paths are to be ignored.
    monkeypatch.setenv("XDG_DATA_HOME", "somewhere")
    monkeypatch.setenv("HOME", str(tmp_path))
    assert default_stash_path() == tmp_path / ".local" / "share" / "seamlight" / "stash.sqlite"
    monkeypatch.setattr(sys, "platform", "darwin")
    assert default_stash_path().parent == tmp_path / "Library" / "Application Support" / "seamlight"
