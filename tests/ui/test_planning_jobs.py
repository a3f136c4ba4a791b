"""Sizes, methods, drawings and the library: what is printed, what is written, and mistakes."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from blocks.blockfile import read_block
from blocks.library import block_names, open_block
from tests.ui.test_command import run
from ui.contact_sheet import contact_sheet
from ui.library_job import index_text

Capture = pytest.CaptureFixture[str]

DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">
<rect id="sky" width="100" height="60"/><rect id="field" y="{top}" width="100" height="40"/></svg>"""


@pytest.mark.parametrize(
    ("asked", "counts", "size"),
    [
        (("orchard lantern", "--wanted", "60 x 72", "--sashing", "2", "--border", "4"), "4 across and 5 down: 20", "62 x 76 in"),
        (("nine patch", "--wanted", "60 x 72"), "5 across and 6 down: 30", "60 x 72 in"),
        (("nine patch", "--wanted", "60 x 72", "--on-point"), "4 across and 5 down, with 3 across and 4 down in between: 32", "about 67 7/8 x 84 7/8 in"),
        (("nine patch", "--wanted", "1 m x 2 m", "--width", "30 cm"), "4 across and 7 down: 28", "120 x 210 cm"),
        (("nine patch", "--wanted", "26", "--sashing", "1", "--around"), "2 across and 2 down: 4", "27 x 27 in"),
    ],
)  # fmt: skip
def test_blocks_for_a_size(capsys: Capture, asked: tuple[str, ...], counts: str, size: str) -> None:
    code, out, _ = run(capsys, "sizes", *asked)
    assert code == 0
    assert counts in out
    assert f"finishes {size}." in out


def test_methods_side_by_side(capsys: Capture) -> None:
    code, out, _ = run(capsys, "methods", "half-square triangle", "--finished", "3", "--count", "8")
    assert code == 0
    parts = {part.split(":")[0]: part for part in out.split("\n\n")}
    assert "4 of 3 7/8 x 3 7/8 in" in parts["two at a time"]
    assert "on the bias" in parts["four at a time"]
    assert "1 of 7 3/4 x 7 3/4 in" in parts["eight at a time"]
    assert "-0" not in out
    geese = run(capsys, "methods", "Flying Geese", "--finished", "4", "--count", "5")[1]
    assert "4 x 2 in finished" in geese
    assert "makes 8, 3 to spare" in geese
    four = run(capsys, "methods", "quarter-square triangles", "--finished", "10 cm", "--cloths", "4")[1]
    assert "cut twice" in four
    assert "two at a time" not in four
    assert "sq cm" in four


def test_a_drawing_becomes_a_block_file(capsys: Capture, tmp_path: Path) -> None:
    drawing, file = tmp_path / "two-fields.svg", tmp_path / "block.toml"
    drawing.write_text(DRAWING.format(top=60))
    code, out, _ = run(capsys, "from-drawing", drawing, "--width", "20 cm", "--to", file)
    assert (code, out.splitlines()[1]) == (0, "Roles: sky, field")
    assert "20 x 20 cm finished, 2 patches" in out
    assert len(read_block(file).steps) == 1
    assert run(capsys, "readings", file, "sky=sky", "field=pine")[0] == 0


def test_faults_of_a_drawing_are_told_with_their_place(capsys: Capture, tmp_path: Path) -> None:
    drawing = tmp_path / "gap.svg"
    drawing.write_text(DRAWING.format(top=61))
    code, out, err = run(capsys, "from-drawing", drawing, "--width", "10", "--to", tmp_path / "x.toml")
    assert (code, out) == (2, "")
    assert "gap.svg" in err
    assert " in" in err
    assert "Mend: " in err
    assert [path.name for path in tmp_path.iterdir()] == ["gap.svg"]


def test_lines_go_out_in_true_inches_and_come_back(capsys: Capture, tmp_path: Path) -> None:
    drawing, file = tmp_path / "star.svg", tmp_path / "star.toml"
    assert (
        run(capsys, "draw", "sawtooth star", "--view", "lines", "--to", drawing, "--width", "9", "-q")[0] == 0
    )
    root = ElementTree.parse(drawing).getroot()
    assert (root.get("width"), root.get("height")) == ("9in", "9in")
    assert run(capsys, "from-drawing", drawing, "--to", file)[0] == 0
    assert read_block(file).finished_width_in == 9


def test_the_list_of_blocks_says_how_hard_and_other_names(capsys: Capture) -> None:
    out = run(capsys, "blocks")[1]
    assert "churn dash  (9 x 9 in finished, beginner)\n  also: Monkey Wrench, Hole in the Barn Door\n" in out


def test_every_block_is_drawn_into_a_folder(
    capsys: Capture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    few = ("churn dash", "flying geese", "tulip")
    monkeypatch.setattr("ui.library_job.block_names", lambda: few)
    folder = tmp_path / "library"
    code, out, err = run(capsys, "blocks", "--to", folder)
    assert code == 0
    assert err.splitlines() == [f"{name} ..." for name in few]
    assert {path.name for path in folder.iterdir()} == {
        "churn-dash.png", "flying-geese.png", "tulip.png", "contact-sheet.jpg", "index.md",
    }  # fmt: skip
    with Image.open(folder / "flying-geese.png") as opened:
        assert opened.size == (90, 180)
    assert "| Churn Dash | Monkey Wrench, Hole in the Barn Door | 9 x 9 in | beginner |" in (
        folder / "index.md"
    ).read_text("utf-8")


def test_the_page_of_the_library_names_every_block() -> None:
    page = (Path(__file__).resolve().parents[2] / "docs" / "library.md").read_text("utf-8")
    for name in block_names():
        block = open_block(name)
        assert f"| {block.name} | {', '.join(block.also)} |" in page
    assert len(index_text([(name, open_block(name)) for name in block_names()]).splitlines()) > 66


def test_a_contact_sheet_holds_every_picture() -> None:
    red = np.full((20, 40, 3), (200, 0, 0), np.uint8)
    sheet = contact_sheet([("one", red), ("a long name indeed", red)], side_px=40, columns=1)
    assert (sheet == (200, 0, 0)).all(axis=2).sum() == 2 * 800


MISTAKES = {
    "no size": (("sizes", "nine patch", "--wanted", "large"), "'large' is not a length", "86 mm"),
    "borders too wide": (("sizes", "nine patch", "--wanted", "20", "--border", "10"), "take up all", "narrower"),
    "not square": (("sizes", "flying geese", "--wanted", "60"), "is not square", "square block"),
    "sashing on point": (("sizes", "nine patch", "--wanted", "60", "--on-point", "--sashing", "2"), "Sashing", "Leave out"),
    "too many": (("sizes", "nine patch", "--wanted", "9999", "--width", "2"), "10,000 blocks", "smaller quilt"),
    "no such unit": (("methods", "flying goose", "--finished", "3"), "no choice of methods", '"flying geese"'),
    "no such count": (("methods", "flying geese", "--finished", "4", "--count", "0"), "Number of units 0", "from 1"),
    "wrong shape": (("methods", "flying geese", "--finished", "3 x 2"), "twice as wide", "Give its"),
    "no drawing": (("from-drawing", "{}/gone.svg", "--to", "{}/x.toml"), "gone.svg", "Check"),
    "another kind": (("from-drawing", "{}/x.png", "--to", "{}/x.toml"), "is no SVG drawing", "plain SVG"),
    "no block file": (("from-drawing", "{}/x.svg", "--to", "{}/x.png"), "ends in none of .toml", ".toml"),
    "library in a file": (("blocks", "--to", "{}/file"), "is a file", "Name a folder"),
}  # fmt: skip


@pytest.mark.parametrize(("asked", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_mistakes(capsys: Capture, tmp_path: Path, asked: tuple[str, ...], what: str, mend: str) -> None:
    (tmp_path / "file").write_text("")
    code, out, err = run(capsys, *(word.replace("{}", str(tmp_path)) for word in asked))
    assert (code, out) == (2, "")
    assert what in err.splitlines()[0]
    assert mend in err.splitlines()[1]
    assert [path.name for path in tmp_path.iterdir()] == ["file"]
