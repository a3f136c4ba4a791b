"""Advice, choice and the ranked shelf on the command: what they say comes true when it is tried."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from swatches.solids import solid_swatch
from swatches.stash import Stash
from tests.ui.asking import assert_mistake, run


def read_rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture
def stash(tmp_path: Path) -> Path:
    folder = tmp_path / "own"
    folder.mkdir()
    made = Stash(folder / "stash.sqlite")
    for name, code in (("ink", "#10141c"), ("paper", "#f4f2ec"), ("brick", "#9c4a38"), ("leafy", "#5a8a44")):
        made.add(solid_swatch(code, name=name))
    return folder / "stash.sqlite"


WEAK = ("sawtooth star", "background=oat scatter", "point=frost fern", "centre=wet slate")


def test_every_remedy_stands_with_before_and_after(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path
) -> None:
    words = ("advise", *WEAK, "--stash", stash, "--from-cloth", "stash", "-q")
    code, out, _ = run(capsys, *words)
    assert code == 0
    assert "What would help? Sawtooth Star, from 6 feet" in out
    assert out.index("Cut the") < out.index("Stitch round the edge in")
    assert re.search(r"\d %\n", out) is None or "weakest" in out
    file = tmp_path / "advice.csv"
    assert run(capsys, *words, "--to", file) == (0, "", "")
    rows = read_rows(file)
    assert {row["remedy"] for row in rows} >= {"another cloth", "outline stitch"}
    assert all(float(row["after"]) > float(row["before"]) for row in rows)
    assert {row["cloth"] for row in rows} - {""} <= {"ink", "paper", "brick", "leafy"}


def test_a_cloth_that_is_advised_helps_as_it_says(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path
) -> None:
    advice, readings = tmp_path / "advice.csv", tmp_path / "readings.csv"
    words = (*WEAK, "--stash", stash, "-q", "--from", "10 ft")
    assert run(capsys, "advise", *words, "--from-cloth", "stash", "--to", advice)[0] == 0
    row = next(row for row in read_rows(advice) if row["remedy"] == "another cloth")
    tried = (*words, f"{row['role']}={row['cloth']}", "--to", readings)
    assert run(capsys, "readings", *tried)[0] == 0
    same = next(
        each
        for each in read_rows(readings)
        if (each["first_patch"], each["second_patch"]) == (row["first_patch"], row["second_patch"])
    )
    assert float(same["share_shows"]) == pytest.approx(float(row["after"]), abs=0.02)


def test_where_all_is_clear_there_is_no_advice(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = run(capsys, "advise", "nine patch", "dark=soot", "light=cream", "-q")
    assert code == 0
    assert "All of the 12 edges that should read are clear." in out
    assert "1." not in out


def test_the_best_ten_that_differ(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    folder = tmp_path / "choices"
    words = ("choose", "sawtooth star", "background=oat scatter", "--open", "point, centre", "--to", folder)
    code, out, _ = run(capsys, *words, "--families", "point=red,pink", "-q")
    assert code == 0
    names = {path.name for path in folder.iterdir()}
    assert names >= {"contact-sheet.png", "choices.txt", "choice-01.toml"}
    chosen = re.findall(r'point="(.+?)", centre="(.+?)"', out)
    assert len(chosen) == len([name for name in names if name.startswith("choice-")]) >= 4
    assert len(set(chosen)) == len(chosen)
    weakest = [int(share) for share in re.findall(r"weakest edge (\d+) %", out)]
    assert weakest == sorted(weakest, reverse=True)
    again = run(capsys, "readings", folder / "choice-01.toml", "-q")[1]
    told = re.search(r"as laid here (\d+) % (\w+)", out)
    assert told is not None
    assert re.search(rf"  1 {told[2]} +{told[1]} %", again)
    with Image.open(folder / "contact-sheet.png") as sheet:
        shot = np.asarray(sheet)
    red = (shot[..., 0].astype(int) - shot[..., 1] > 60).mean()
    assert red > 0.05, "points are red, as asked"


def test_only_edges_that_a_choice_can_change_stand_beside_it(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path
) -> None:
    block = ("sawtooth star", "background=cream", "centre=ink", "point=paper")
    words = (
        "choose",
        *block,
        "--from-cloth",
        "stash",
        "--stash",
        stash,
        "--best",
        "1",
        "-q",
        "--open",
        "centre",
    )
    code, out, _ = run(capsys, *words, "--to", tmp_path / "a")
    assert code == 0
    assert re.search(r"as laid here \d+ % \w+ \((centre and point|point and centre)\)", out)
    assert re.search(r"as these roles stay: (background and point|point and background) \d+ % lost\.", out)
    opened = run(capsys, *words[:-1], "point,centre", "--to", tmp_path / "b")[1]
    assert "as these roles stay" not in opened


def test_choosing_from_the_stash_like_a_print(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, stash: Path
) -> None:
    words = ("choose", "nine patch", "light=cream", "--stash", stash, "--from-cloth", "stash", "--best", "2")
    code, out, _ = run(capsys, *words, "--open", "dark", "--to", tmp_path / "a", "-q")
    assert code == 0
    assert 'dark="paper"' not in out, "on cream it is lost"
    like = run(capsys, *words, "--open", "dark", "--like", "moss bank", "--to", tmp_path / "b", "-q")[1]
    assert 'dark="leafy"' in like
    assert "brick" not in like
    code, out, _ = run(capsys, *words, "--open", "all", "--to", tmp_path / "c", "-q")
    assert len(set(re.findall(r'="(.+?)"', out.splitlines()[0]))) == 2
    assert "100 % clear" in out


def test_the_shelf_is_ranked(capsys: pytest.CaptureFixture[str], stash: Path) -> None:
    words = ("shelf", "--on", "cream", "--stash", stash, "--from-cloth", "stash", "-q")
    code, out, _ = run(capsys, *words, "--as", "stem")
    assert code == 0
    order = re.findall(r"^ +\d+  (\w+)", out, flags=re.M)
    assert sorted(order) == ["brick", "ink", "leafy", "paper"]
    assert order[-1] == "paper", "on cream it is lost"
    goes = run(capsys, *words, "--as", "petal", "--with", "moss bank")[1]
    assert re.findall(r"^ +\d+  (\w+)", goes, flags=re.M)[0] == "leafy"
    two = run(capsys, *words, "--as", "background", "--on", "soot", "--best", "1")[1]
    assert "under cream and soot" in two
    assert "and 3 more; the last is" in two


MISTAKES = {
    "no stash": (
        ("advise", *WEAK, "--from-cloth", "stash", "--stash", "{}/none.sqlite"), "no cloth in your stash", "add-cloth",
    ),
    "no threads": (("advise", *WEAK, "--threads", "{}/gone.csv"), "gone.csv", ""),
    "advice elsewhere": (("advise", *WEAK, "--to", "{}/x.pdf"), "ends in none of .txt, .csv", ".txt"),
    "advice for one patch": (("choose", *WEAK, "--open", "pint", "--to", "{}/x"), 'no role "pint"', '"point"'),
    "nothing open": (("choose", *WEAK, "--open", ",", "--to", "{}/x"), "No role is open", "--open background"),
    "no hues": (
        ("choose", *WEAK, "--open", "point", "--families", "point", "--to", "{}/x"), "gives no hues", "petal=red",
    ),
    "unknown hue": (
        ("choose", *WEAK, "--open", "point", "--families", "point=redd", "--to", "{}/x"), 'hue family "redd"', '"red"',
    ),
    "hues of a closed role": (
        ("choose", *WEAK, "--open", "point", "--families", "centre=red", "--to", "{}/x"), 'open role "centre"', "point",
    ),
    "no such hue at hand": (
        ("choose", *WEAK, "--open", "point", "--families", "point=teal", "--from-cloth", "stash", "--to", "{}/x",
         "--stash", "{}/none.sqlite"), "no cloth in your stash", "add-cloth",
    ),
    "into nothing": (("choose", *WEAK, "--open", "point", "--to", "{}/no/x"), "is not there", "Make that folder"),
    "many": (("choose", *WEAK, "--open", "point", "--best", "0", "--to", "{}/x"), "Number shown 0", "1 to 100"),
    "unknown ground": (("shelf", "--as", "stem", "--on", "frost ferm"), 'no cloth called "frost ferm"', "frost fern"),
    "unknown part": (("shelf", "--as", "trunk", "--on", "soot"), "invalid choice: 'trunk'", "--help"),
    "empty shelf": (
        ("shelf", "--as", "stem", "--on", "soot", "--from-cloth", "stash", "--stash", "{}/none.sqlite"),
        "no cloth to rank", "--from-cloth demo",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("words", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_two_lines_and_leaves_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...], what: str, mend: str
) -> None:
    assert_mistake(capsys, tmp_path, words, what=what, mend=mend)


def test_a_quilt_is_no_block(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    setting = tmp_path / "quilt.toml"
    setting.write_text('name = "Row"\nrows = [["nine patch", "nine patch"]]\n', "utf-8")
    for words in (("advise", setting), ("choose", setting, "--open", "dark", "--to", tmp_path / "x")):
        code, _, err = run(capsys, *words, "-q")
        assert code == 2
        assert "this is a quilt" in err
    assert [path.name for path in tmp_path.iterdir()] == ["quilt.toml"]
