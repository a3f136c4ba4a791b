"""Width, method and upright print reach the picture, the list and its notes; mistakes are told."""

from __future__ import annotations

from fractions import Fraction as F
from pathlib import Path

import numpy as np
import pytest

from blocks.blockfile import parse_block
from blocks.library import open_block
from blocks.scaling import scale_block
from tests.ui.test_command import picture, run
from ui.making_notes import numbers_text
from ui.ruler_words import grid_for, grid_sentences

Capture = pytest.CaptureFixture[str]


def words(text: str) -> str:
    return " ".join(text.split())


def test_another_width_in_metric(capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "star.png"
    assert run(
        capsys,
        "draw",
        "ohio star",
        "--width",
        "30 cm",
        "--seam",
        "7.5 mm",
        "--to",
        file,
        "--ppi",
        "25.4",
        "-q",
    )[1].startswith(f"{file}: 300 x 300 pixels")
    assert "30 x 30 cm finished" in run(capsys, "check", "ohio star", "--width", "30 cm")[1]
    out = words(
        run(capsys, "cutting", "nine patch", "--width", "30 cm", "--seam", "7.5 mm", "--ruler", "5 mm")[1]
    )
    assert "11.5 x 11.5 cm" in out
    assert "30 x 30 cm finished" in out


def test_the_ruler_is_spoken_of_when_asked(capsys: Capture) -> None:
    assert "miss" not in run(capsys, "check", "ohio star", "--ruler", "1/8 in")[1]
    out = words(run(capsys, "check", "ohio star", "--width", "10", "--ruler", "1/8 in")[1])
    assert "3 lengths miss the marks of a 1/8 in ruler, such as 3.333 in" in out
    assert "9 3/4 in or 10 1/8 in wide" in out
    assert "3 lengths miss" in words(run(capsys, "cutting", "ohio star", "--width", "10")[1])


def test_units_follow_what_was_typed() -> None:
    assert grid_for(None, F(12), None) == F(1, 8)
    assert grid_for(None, F(1500, 127)) == F(5, 127)
    assert grid_for("1/16 in", F(1500, 127)) == F(1, 16)
    block = scale_block(open_block("orchard lantern"), width_in=F(1500, 127))
    (sentence,) = grid_sentences([block], grid_in=grid_for("5 mm"))
    assert "24 cm or 48 cm wide" in sentence


def test_a_method_changes_the_cuts_and_not_the_patches(capsys: Capture, tmp_path: Path) -> None:
    shown = []
    solid = ("background=chalk", "point=berry", "centre=honey")
    for more in ((), ("--method", "goose=four from one square")):
        file = tmp_path / "solid.png"
        assert run(capsys, "draw", "sawtooth star", *solid, "--to", file, "--ppi", "20", "-q", *more)[0] == 0
        shown.append(picture(file))
    assert np.abs(shown[0].astype(int) - shown[1]).max() <= 4, "but for the weave of the cloth"
    out = run(capsys, "cutting", "sawtooth star", "--method", "goose=four from one square")[1]
    assert "7 1/4 x 7 1/4 in" in out


def test_one_way_cloth_is_mentioned_and_laid_upright(capsys: Capture, tmp_path: Path) -> None:
    asked = ("churn dash", "dash=hay meadow", "background=cream")
    assert "One-way cloth: dash (hay meadow)." in words(run(capsys, "cutting", *asked)[1])
    out = words(run(capsys, "cutting", *asked, "--upright")[1])
    assert "One-way cloth, laid for an upright print: dash (hay meadow)." in out
    assert "One-way cloth" not in run(capsys, "cutting", "churn dash", "dash=soot", "background=cream")[1]
    shown = []
    kept = tmp_path / "kept.toml"
    for more in ((), ("--upright", "--keep", kept)):
        file = tmp_path / "x.png"
        assert run(capsys, "draw", *asked, "--to", file, "--ppi", "20", "-q", *more)[0] == 0
        shown.append(picture(file))
    changed = (shown[0] != shown[1]).any(axis=2)
    assert changed[125:175, 5:55].any(), "the corner at the lower left is laid another way"
    assert "upright = true" in kept.read_text("utf-8")
    again = tmp_path / "again.png"
    assert run(capsys, "draw", kept, "--to", again, "--ppi", "20", "-q")[0] == 0
    assert (picture(again) == shown[1]).all()


def test_notes_tell_mirror_versions_and_edges_to_turn(capsys: Capture) -> None:
    for job in ("check", "cutting"):
        out = words(run(capsys, job, "orchard lantern")[1])
        assert "mirror images: make 1 of the first and 1 of the second" in out
        assert "Patches 56 to 59: turn all edges under." in out
        assert "in under, leave 0.5 in flat." in out


def test_numbers_are_drawn_together() -> None:
    assert numbers_text([7]) == "7"
    assert numbers_text([2, 1, 9, 8, 7, 4]) == "1, 2, 4, 7 to 9"


def test_a_block_is_written_back(capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "mine.toml"
    code, out, _ = run(
        capsys,
        "check",
        "sawtooth star",
        "--width",
        "9",
        "--method",
        "goose=four from one square",
        "--to",
        file,
    )
    assert code == 0
    assert f"{file}: the block as a block file" in out
    block = parse_block(file.read_text("utf-8"))
    assert block.finished_width_in == 9
    assert "four from one square" in file.read_text("utf-8")
    assert run(capsys, "check", file)[0] == 0


MISTAKES = {
    "absurd width": (("readings", "nine patch", "--width", "30 ft"), "Finished width 360 in is out of bounds", "240"),
    "no width": (("check", "nine patch", "--width", "wide"), "'wide' is not a length", "86 mm"),
    "no method": (("cutting", "nine patch", "--method", "quickly"), '"quickly" gives no method', "Write it as"),
    "unknown step": (
        ("cutting", "sawtooth star", "--method", "gose=two at a time"), 'no step "gose"', 'Did you mean "goose"?',
    ),
    "unfit method": (
        ("cutting", "sawtooth star", "--method", "goose=cut twice"), 'cannot be made "cut twice"', "Choose one of",
    ),
    "no choice of methods": (
        ("cutting", "nine patch", "--method", "x=cut twice"), 'no step "x"', "no step here has a choice",
    ),
    "unknown ruler": (("check", "nine patch", "--ruler", "1 cm"), "invalid choice: '1 cm'", "--help"),
    "a setting as a block": (("check", "{}/set.toml", "--to", "{}/x.toml"), "A setting is no block", "Name a block"),
}  # fmt: skip


@pytest.mark.parametrize(("asked", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_mistakes(capsys: Capture, tmp_path: Path, asked: tuple[str, ...], what: str, mend: str) -> None:
    (tmp_path / "set.toml").write_text('rows = [["nine patch"]]')
    code, out, err = run(capsys, *(word.replace("{}", str(tmp_path)) for word in asked))
    assert (code, out) == (2, "")
    assert what in err.splitlines()[0]
    assert mend in err.splitlines()[1]
    assert [path.name for path in tmp_path.iterdir()] == ["set.toml"]
