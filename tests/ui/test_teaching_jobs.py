"""Lessons on the command: a sheet to print and its answers apart, and the answers are right."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from swatches.demo import demo_names, demo_swatch
from tests.ui.asking import assert_mistake, run
from ui.asked import Asked
from ui.lesson_pages import Handout, picture_grid, write_handout
from ui.lesson_parts import Lesson
from ui.lessons import LESSONS
from ui.more_options import _LESSONS


def lesson(name: str, block: str = "sawtooth star", *cloths: str) -> Lesson:
    asked = Asked(block, cloths, None, None, (), False, "/nowhere/stash.sqlite")
    pool = [demo_swatch(each) for each in demo_names()[-24:]]
    return LESSONS[name](asked.worked(say=lambda _: None), pool)


def picture_of(handout: Handout) -> np.ndarray:
    return handout.picture_srgb8.astype(int)


def test_the_command_offers_every_lesson() -> None:
    assert list(LESSONS) == list(_LESSONS)


@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_is_a_sheet_with_its_answers_apart(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, name: str
) -> None:
    pypdf = pytest.importorskip("pypdf")
    folder = tmp_path / "class"
    code, out, _ = run(capsys, "lesson", name, "nine patch", "--to", folder, "--paper", "a4", "-q")
    assert code == 0
    assert {path.name for path in folder.iterdir()} == {
        f"{name}{part}{end}" for part in ("", "-answers") for end in (".pdf", ".png")
    }
    texts = []
    for part in ("", "-answers"):
        pages = pypdf.PdfReader(folder / f"{name}{part}.pdf").pages
        assert float(pages[0].mediabox.width) == pytest.approx(595.276, abs=0.01)
        assert len(pages[0].images) == 1
        texts.append(pages[0].extract_text())
    assert "Answers" not in texts[0]
    assert "Answers: " in texts[1]
    assert "?" in texts[0], "the class is asked something"


def test_value_placements_name_the_strongest_and_the_flat_one() -> None:
    made = lesson("value-placements")
    best = made.answers.lines[0][0]
    told = {line[0]: line for line in made.answers.lines[1:]}
    assert len(told) == 6
    assert "mush" not in told[best]
    assert sum("mush" in line for line in told.values()) == 1
    assert not any("strongest" in line for line in made.sheet.lines)
    assert np.ptp(picture_of(made.answers), axis=2).max() <= 4, "greys alone, and the ink of the letters"
    assert np.ptp(picture_of(made.sheet), axis=2).max() > 60


def test_sorting_answers_go_from_light_to_dark() -> None:
    made = lesson("sorting", "sawtooth star", "background=cream", "point=soot", "centre=honey")
    order = [int(part) for part in re.findall(r"\d+", made.answers.lines[0].split(":")[1])]
    assert sorted(order) == list(range(1, 13))
    assert order != sorted(order)
    shown = picture_of(made.sheet)
    # Chips of 220 pixels in four columns: the mean of each, in the order of the answer, grows darker.
    tops = [20 + (number - 1) // 4 * (220 + 20 + 56) for number in order]
    lefts = [20 + (number - 1) % 4 * 240 for number in order]
    greens = [shown[y : y + 220, x : x + 220].mean() for x, y in zip(lefts, tops, strict=True)]
    assert greens[0] > greens[-1] + 100


def test_the_first_to_go_is_the_weakest() -> None:
    made = lesson("first-to-go", "sawtooth star", "background=cream", "point=blush", "centre=soot")
    rows = [line.split("\t") for line in made.answers.lines if line.count("\t") == 7][1:]
    assert len(rows) == 2
    assert {"point", "background"} <= set(rows[0][0].split())
    assert rows[0][-1] != "stays"
    assert rows[-1][-1] == "stays"
    asked = [line.split("\t")[0] for line in made.sheet.lines if "\t" in line]
    assert asked == [row[0] for row in rows]
    assert not any("%" in line for line in made.sheet.lines)


def test_a_phone_gets_red_wrong_and_greys_right() -> None:
    made = lesson("phone-grey", "nine patch", "dark=#cd1928", "light=#808080")
    rows = {line.split("\t")[0]: line.split("\t")[1:] for line in made.answers.lines if "\t" in line}
    assert rows["#808080"][1] in ("+0", "-0")
    assert int(rows["#cd1928"][1].split()[0]) < -8


def test_a_red_film_gets_red_wrong() -> None:
    made = lesson("coloured-film", "nine patch", "dark=#cd1928", "light=#808080")
    rows = {line.split("\t")[0]: line.split("\t")[1:] for line in made.answers.lines if "\t" in line}
    assert rows["#cd1928"][1] == "+36 (wrong)"
    assert rows["#808080"][1:] == ["+0", "+0"]
    assert any("a whole value step, or more" in line for line in made.answers.lines)


def test_long_text_goes_on_over_more_pages(tmp_path: Path) -> None:
    pypdf = pytest.importorskip("pypdf")
    lines = tuple(f"line number {number}" for number in range(1, 101))
    handout = Handout("Long", lines, np.full((40, 60, 3), 90, np.uint8))
    write_handout(tmp_path / "long.pdf", handout, paper="letter")
    pages = pypdf.PdfReader(tmp_path / "long.pdf").pages
    told = " ".join(page.extract_text() for page in pages)
    assert len(pages) > 1
    assert all(f"line number {number}" in told for number in range(1, 101))


def test_a_grid_holds_every_picture_unharmed() -> None:
    pictures = [np.full((30, 40, 3), shade, np.uint8) for shade in (10, 90, 170)]
    grid = picture_grid(pictures, ["a", "b", "c"], across=2)
    for shade in (10, 90, 170):
        assert (grid == shade).all(axis=2).sum() >= 30 * 40


MISTAKES = {
    "unknown lesson": (("lesson", "sewing", "nine patch", "--to", "{}/x"), "invalid choice: 'sewing'", "--help"),
    "unknown block": (("lesson", "sorting", "nine pach", "--to", "{}/x"), 'no block "nine pach"', "nine patch"),
    "into nothing": (("lesson", "sorting", "nine patch", "--to", "{}/no/x"), "is not there", "Make that folder"),
    "no stash": (
        ("lesson", "sorting", "nine patch", "dark=soot", "light=cream", "--from-cloth", "stash", "--stash",
         "{}/none.sqlite", "--to", "{}/x"), "no cloth in your stash", "add-cloth",
    ),
    "no folder named": (("lesson", "sorting", "nine patch"), "required: --to", "--help"),
}  # fmt: skip


@pytest.mark.parametrize(("words", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_two_lines_and_leaves_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...], what: str, mend: str
) -> None:
    assert_mistake(capsys, tmp_path, words, what=what, mend=mend, also_said="Our choice")


def test_a_stopped_lesson_leaves_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("ui.teaching_jobs.save_picture", stopped)
    assert run(capsys, "lesson", "sorting", "nine patch", "--to", tmp_path / "x", "-q")[0] == 130
    assert list(tmp_path.iterdir()) == []
