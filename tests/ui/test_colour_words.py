"""Cloth whose colours were not measured is never shown or judged as if they had been, in any job or part."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader
from starlette.testclient import TestClient

from swatches.solids import solid_swatch
from swatches.stash import Stash
from swatches.swatch import Swatch
from tests.ui.asking import asked_of, run
from ui.choice import Choice, choice_query
from ui.colour_words import marked, measured_word, mentioned, picture_caution
from ui.lesson_pages import PAPERS_IN
from ui.lessons import LESSONS
from ui.page_handlers import Asked
from ui.shelf import Shelf
from ui.weigh_handlers import help_html, line_html, look_html
from ui.workroom import Workroom

GUESSED, KNOWN = "bee skeps", "clover patch"
CARE = f"The colour of {GUESSED} was not measured"
NINE = ("nine patch", f"dark={GUESSED}", "light=cream")


@pytest.fixture
def stash(tmp_path: Path) -> Path:
    """A stash of four cloths, of which one was photographed beside nothing."""
    (tmp_path / "own").mkdir()
    file = tmp_path / "own" / "stash.sqlite"
    made = Stash(file)
    guessed = solid_swatch("#2c3a52", name=GUESSED)
    made.add(replace(guessed, colour_from="not measured", colour_note="Colours as the camera gave them."))
    made.add(replace(solid_swatch("#3c6a3a", name=KNOWN), colour_from="grey steps"))
    made.add(solid_swatch("#f4f2ec", name="paper"))
    made.add(solid_swatch("#10141c", name="ink"))
    return file


def told(capsys: pytest.CaptureFixture[str], stash: Path, *words: str | Path) -> str:
    """What a job prints, however quiet it is to be, on one line."""
    code, out, err = run(capsys, *words, "--stash", stash, "-q")
    assert (code, err) == (0, "")
    return " ".join(out.split())


def test_words_for_cloth_that_was_measured_and_that_was_not() -> None:
    plain = solid_swatch("teal")
    guessed = replace(plain, name="river", colour_from="not measured")
    assert (marked(plain), marked(guessed)) == ("teal", "river *")
    assert mentioned(plain, None) == picture_caution([plain]) == ()
    assert picture_caution([guessed, plain, guessed])[0].startswith("The colour of river was not measured:")
    assert (measured_word(plain), measured_word(plain, guessed)) == ("yes", "no")


JOBS: dict[str, tuple[str | Path, ...]] = {
    "readings": ("readings", *NINE),
    "advise": ("advise", *NINE),
    "line-up": ("line-up", *NINE),
    "choose": ("choose", *NINE, "--open", "light", "--best", "2", "--to", "{}/choices"),
    "shelf": ("shelf", "--as", "stem", "--on", GUESSED),
    "shelf beside a print": ("shelf", "--as", "stem", "--on", "cream", "--with", GUESSED),
    **{name: ("lesson", name, *NINE, "--to", "{}/class") for name in LESSONS if name != "value-placements"},
    **{
        view: ("draw", *NINE, "--view", view, "--ppi", "20", "--to", "{}/x.png")
        for view in ("colour", "value", "numbered", "five-steps", "step-back", "dim", "seams", "lost", "sewn")
    },
    "several": ("draw", *NINE, "--several", "2", "--ppi", "20", "--to", "{}/x.png"),
    "paper": ("draw", *NINE, "--ppi", "72", "--to", "{}/x.pdf"),
}


@pytest.mark.parametrize("words", JOBS.values(), ids=JOBS)
def test_a_job_says_so(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path, words: tuple[str, ...]
) -> None:
    assert f"Take care: {CARE}" in told(capsys, stash, *(word.replace("{}", str(tmp_path)) for word in words))
    (tmp_path / "b").mkdir()
    known = [word.replace(GUESSED, KNOWN).replace("{}", str(tmp_path / "b")) for word in words]
    assert CARE not in told(capsys, stash, *known)


@pytest.mark.parametrize("view", ["lines", "roles"])
def test_a_picture_without_cloth_needs_no_caution(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path, view: str
) -> None:
    assert "Take care" not in told(capsys, stash, "draw", *NINE, "--view", view, "--to", tmp_path / "x.png")


def test_cloth_that_is_advised_or_chosen_is_starred(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path
) -> None:
    weak = ("nine patch", "dark=chalk", "light=cream")
    out = told(capsys, stash, "advise", *weak, "--from-cloth", "stash")
    assert 'dark="bee skeps" *' in out or 'light="bee skeps" *' in out
    assert f"Take care: {CARE}" in out
    words = ("choose", *weak, "--open", "dark", "--from-cloth", "stash", "--best", "3")
    out = told(capsys, stash, *words, "--to", tmp_path / "choices")
    assert 'dark="bee skeps" *' in out
    assert 'dark="ink" weakest' in out
    assert f"Take care: {CARE}" in out
    text = (tmp_path / "choices" / "choices.txt").read_text("utf-8")
    assert f"Take care: {CARE}" in text
    with Image.open(tmp_path / "choices" / "contact-sheet.png") as sheet:
        foot = np.asarray(sheet)[-30:]
    assert (foot < 128).any(axis=2).sum() > 100, "the caution stands under the pictures"


def test_the_ranked_shelf_stars_it(capsys: pytest.CaptureFixture[str], stash: Path) -> None:
    words = ("shelf", "--as", "stem", "--on", "cream", "--from-cloth", "stash")
    out = told(capsys, stash, *words)
    assert "bee skeps *" in out
    assert "clover patch *" not in out
    assert "Take care: A star marks cloth whose colours were not measured" in out


def test_tables_have_a_column_for_it(capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path) -> None:
    setting = tmp_path / "quilt.toml"
    setting.write_text('name = "Row"\nrows = [["nine patch", "nine patch"]]\n', "utf-8")
    cases = {
        "readings.csv": ("readings", *NINE),
        "known.csv": ("readings", "nine patch", f"dark={KNOWN}", "light=cream"),
        "quilt.csv": ("readings", setting, *NINE[1:]),
        "advice.csv": ("advise", "nine patch", f"dark={GUESSED}", "light=#33415a", "--from-cloth", "stash"),
    }
    for name, words in cases.items():
        assert told(capsys, stash, *words, "--to", tmp_path / name) == ""
        with (tmp_path / name).open(encoding="utf-8", newline="") as file:
            rows = list(csv.DictReader(file))
        assert rows
        for row in rows:
            guessed = name != "known.csv" and "dark" in (row["first_role"], row["second_role"])
            assert row["colours_measured"] == ("no" if guessed else "yes"), name


def test_a_palette_says_it_wherever_it_goes(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path
) -> None:
    for end in ("csv", "json", "gpl"):
        out = told(capsys, stash, "palette", GUESSED, "--to", tmp_path / f"p.{end}")
        assert "Take care: The colours of bee skeps were not measured" in out
    assert (tmp_path / "p.csv").read_text("utf-8").splitlines()[1].endswith(",no")
    assert json.loads((tmp_path / "p.json").read_text("utf-8"))["name"] == "bee skeps (colours not measured)"
    assert "Name: bee skeps (colours not measured)" in (tmp_path / "p.gpl").read_text("utf-8")
    out = told(capsys, stash, "palette", KNOWN, "--to", tmp_path / "p.csv")
    assert "colours of clover patch were not measured" not in out
    assert (tmp_path / "p.csv").read_text("utf-8").splitlines()[1].endswith(",yes")
    near = told(capsys, stash, "palette", "#2c3a52")
    assert "bee skeps * (0.0)" in near, "a solid that matches on paper alone is starred"
    assert "Take care: A star marks cloth" in near


def test_a_cloth_that_is_missing_is_not_read_as_if_it_were_there(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path
) -> None:
    kept = tmp_path / "kept.toml"
    told(capsys, stash, "draw", *NINE, "--ppi", "20", "--to", tmp_path / "x.png", "--keep", kept)
    out = told(capsys, tmp_path / "other.sqlite", "readings", kept, "light=cream")
    assert "Take care: The colour of bee skeps (missing) was not measured" in out


@pytest.mark.parametrize("lesson", LESSONS)
def test_both_sheets_of_a_lesson_say_it(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path, lesson: str
) -> None:
    words = ("lesson", lesson, *NINE, "--from-cloth", "stash", "--to", tmp_path / "class")
    told(capsys, stash, *words)
    for name in (lesson, f"{lesson}-answers"):
        pages = PdfReader(tmp_path / "class" / f"{name}.pdf").pages
        text = " ".join(" ".join(page.extract_text() for page in pages).split())
        assert f"Take care: {CARE}" in text
        assert float(pages[0].mediabox.width) == pytest.approx(72 * PAPERS_IN["letter"][0])


@pytest.fixture
def room(stash: Path) -> Workroom:
    return Workroom(Shelf(stash))


@pytest.fixture
def client(room: Workroom) -> Iterator[TestClient]:
    with asked_of(room) as opened:
        yield opened


def key_of(stash: Path, name: str) -> str:
    swatch: Swatch = Stash(stash).get(name)
    return swatch.key


USUAL = ("6 ft", "cloth", "daylight", "", "")


def test_every_part_of_the_page_that_weighs_says_so(room: Workroom, stash: Path) -> None:
    held = {"block": "nine patch", "cloths": {"dark": key_of(stash, GUESSED), "light": "cream"}}
    known = {"block": "nine patch", "cloths": {"dark": key_of(stash, KNOWN), "light": "cream"}}
    quilt = Asked(how="straight", across=2, down=2)

    def said(which: dict[str, object]) -> dict[str, str]:
        return {
            "seams": look_html(room, which, Asked(), (*USUAL, "seams")),
            "value": look_html(room, which, Asked(), (*USUAL, "five-steps")),
            "quilt": look_html(room, which, quilt, (*USUAL, "dim")),
            "help": help_html(room, which, Asked(), (*USUAL, "seams")),
            "line": line_html(room, which, Asked()),
        }

    for name, html in said(held).items():
        assert f'<p class="caution">{CARE}' in html, name
    for name, html in said(known).items():
        assert "caution" not in html, name
    assert "caution" not in look_html(room, held, quilt, (*USUAL, "roles"))


def test_cloth_advised_on_the_page_is_starred_and_named(room: Workroom) -> None:
    weak = {"block": "nine patch", "cloths": {"dark": "chalk", "light": "cream"}}
    html = help_html(room, weak, Asked(), (*USUAL, "seams"))
    assert "from bee skeps instead. *" in html
    assert f'<p class="caution">{CARE}' in html


def test_readings_taken_from_the_page_have_the_column(client: TestClient, stash: Path) -> None:
    for name in (GUESSED, KNOWN):
        query = choice_query(Choice("nine patch", (("dark", key_of(stash, name)), ("light", "cream"))))
        for more in ("", "&set=straight&across=2&down=2"):
            rows = list(csv.DictReader(io.StringIO(client.get(f"/take/readings.csv?{query}{more}").text)))
            assert rows
            for row in rows:
                guessed = name == GUESSED and "dark" in (row["first_role"], row["second_role"])
                assert row["colours_measured"] == ("no" if guessed else "yes")
