"""Quilts wherever the command takes a block: drawn, read by kinds, cut with their binding, kept and checked."""

from __future__ import annotations

import csv
import tomllib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from blocks.edges import find_edges
from blocks.library import block_path
from blocks.settingfile import parse_setting
from tests.ui.test_command import picture, run
from ui.orders import draft_order, take_order

Capture = pytest.CaptureFixture[str]

PATH = """
name = "Orchard Path"
blocks = ["nine patch", "own-star"]
down = 2
across = 3
[sashing]
cloth = "sash"
finished = "1"
cornerstones = "stone"
[[border]]
cloth = "edge"
finished = "2"
corners = "mitred"
[binding]
cloth = "rim"
"""

CLOTHS = ("dark=soot", "light=cream", "background=chalk", "point=berry", "centre=honey",
          "sash=slate", "stone=coral", "edge=pine", "rim=plum")  # fmt: skip


@pytest.fixture
def setting(tmp_path: Path) -> Path:
    """A setting of a built-in block and a block file beside it."""
    (tmp_path / "own-star.toml").write_text(block_path("sawtooth star").read_text("utf-8"), "utf-8")
    file = tmp_path / "path.toml"
    file.write_text(PATH, "utf-8")
    return file


def test_a_quilt_is_drawn_kept_and_drawn_again(capsys: Capture, setting: Path, tmp_path: Path) -> None:
    first, kept = tmp_path / "first.png", tmp_path / "far" / "kept.toml"
    kept.parent.mkdir()
    code, out, err = run(
        capsys, "draw", setting, *CLOTHS, "--to", first, "--ppi", "8", "--keep", kept, "--width", "10"
    )
    assert (code, out) == (0, f"{first}: 288 x 200 pixels at 8 per inch\n")
    assert err == "Drawing ...\n", "every role was given its cloth"
    shown = picture(first)
    assert shown.shape == (200, 288, 3)
    assert len(np.unique(shown.reshape(-1, 3), axis=0)) > 8
    table = tomllib.loads(kept.read_text("utf-8"))
    assert table["setting"]["rows"][0] == ["nine patch", "../own-star.toml", "nine patch"]
    assert table["width"] == "10"
    second = tmp_path / "second.png"
    assert run(capsys, "draw", kept, "--to", second, "--ppi", "8", "-q")[0] == 0
    assert (picture(second) == shown).all()


def test_one_patch_of_a_quilt_is_overruled(capsys: Capture, setting: Path, tmp_path: Path) -> None:
    shown = {}
    for name, more in (("plain", ()), ("other", ("1=coral",))):
        file = tmp_path / f"{name}.png"
        assert run(capsys, "draw", setting, *CLOTHS, *more, "--to", file, "--ppi", "8", "-q")[0] == 0
        shown[name] = picture(file)
    changed = (shown["plain"] != shown["other"]).any(axis=2)
    assert 0.5 < changed.sum() / (4 * 8) ** 2 < 1.2, "one patch of four inches, or what shows of it"


def test_the_edges_of_a_quilt_are_read_by_kinds(capsys: Capture, setting: Path, tmp_path: Path) -> None:
    written_out = draft_order(take_order(str(setting), ())).draft
    edges = len(find_edges(written_out))
    code, out, _ = run(capsys, "readings", setting, *CLOTHS)
    assert code == 0
    assert f"All {edges} edges of the quilt were read" in " ".join(out.split())
    assert "sash beside stone" in out
    file = tmp_path / "kinds.csv"
    assert run(capsys, "readings", setting, *CLOTHS, "--to", file, "-q") == (0, "", "")
    with file.open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened))
    assert sum(int(row["edges"]) for row in rows) == edges
    assert {row["word"] for row in rows} <= {"clear", "soft", "lost"}
    pairs = [tuple(sorted((row["first_role"], row["second_role"]))) for row in rows]
    assert len(pairs) == len(set(pairs)), "each pair of roles stands once"


def test_the_cutting_list_is_for_the_whole_quilt(capsys: Capture, setting: Path, tmp_path: Path) -> None:
    code, out, _ = run(capsys, "cutting", setting, *CLOTHS)
    assert code == 0
    assert "1 quilt top 42 x 29 in finished" in out
    words = " ".join(out.split())
    assert words.count("Binding (rim, plum), double-fold: cut 4 strips 1 1/2 in wide") == 1
    assert "Binding: plum" in out.splitlines()
    assert "4 40 x 1 1/2 in rim (binding strip, across the cloth)" in words, "a row, as in the other forms"
    assert max(map(len, out.splitlines())) <= 96
    file = tmp_path / "cutting.csv"
    assert run(capsys, "cutting", setting, *CLOTHS, "--to", file, "-q") == (0, "", "")
    with file.open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened))
    by_use = {(row["role"], row["steps"]): int(row["quantity"]) for row in rows}
    assert sum(n for (role, _), n in by_use.items() if role == "dark") == 15
    assert sum(n for (role, _), n in by_use.items() if role == "stone") == 2
    assert rows[-1]["letter"] == "binding"
    assert rows[-1]["quantity"] == "4"


def test_a_quilt_is_checked(capsys: Capture, setting: Path) -> None:
    code, out, _ = run(capsys, "check", setting)
    assert code == 0
    assert "6 blocks (3 x nine patch, 3 x own-star), 3 across and 2 down" in out
    assert "The quilt finishes 42 x 29 in." in out
    assert "Roles: dark, light, background, point, centre, sash, stone, edge, rim" in out


def test_on_point_the_size_is_about(capsys: Capture, tmp_path: Path) -> None:
    file = tmp_path / "point.toml"
    file.write_text('setting = "on point"\nblocks = ["shoo fly"]\ndown = 2\nacross = 2\ntriangles = "t"\n')
    assert "about 25 1/2 x 25 1/2 in" in run(capsys, "check", file)[1]
    shown = tmp_path / "point.png"
    assert run(capsys, "draw", file, "--to", shown, "--ppi", "6", "-q")[0] == 0
    assert picture(shown).shape == (153, 153, 3)


def test_an_audition_holds_a_setting_or_names_one(capsys: Capture, setting: Path, tmp_path: Path) -> None:
    named = tmp_path / "named.toml"
    named.write_text('audition = 1\nsetting = "path.toml"\nseam = "7.5 mm"\n[cloth]\nsash = "slate"\n')
    assert "Orchard Path" in run(capsys, "readings", named, "-q")[1]
    held = tmp_path / "held.toml"
    held.write_text(
        'audition = 1\nblock = "own-star.toml"\nwidth = "30 cm"\n[setting]\nname = "Stars"\ndown = 1\nacross = 2\n'
    )
    shown = tmp_path / "held.png"
    assert run(capsys, "draw", held, "--to", shown, "--ppi", "25.4", "-q")[0] == 0
    with Image.open(shown) as opened:
        assert opened.size == (600, 300)


MISTAKES = {
    "no such block": (
        'blocks = ["nine pach"]\ndown = 1\nacross = 1',
        "nine pach",
        'Did you mean "nine patch"',
    ),
    "no such file": ('blocks = ["gone.toml"]\ndown = 1\nacross = 1', "gone.toml", "Check"),
    "sizes differ": ('rows = [["shoo fly", "nine patch"]]', "not the size of", "Scale one"),
    "faulty": ('blocks = ["nine patch"]\ndown = 0\nacross = 1', "will not do", "Ask for 1"),
    "two faults": ("down = 1\nacross = 1\nsash = 3", "sash", "Mend"),
}


@pytest.mark.parametrize(("text", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_mistakes_in_a_setting_are_told(
    capsys: Capture, tmp_path: Path, text: str, what: str, mend: str
) -> None:
    file = tmp_path / "wrong.toml"
    file.write_text(text)
    for job in (
        ("check", file),
        ("draw", file, "--to", tmp_path / "x.png"),
        ("cutting", file),
        ("readings", file),
    ):
        code, out, err = run(capsys, *job)
        assert (code, out) == (2, "")
        assert what in err
        assert mend in err
    assert [path.name for path in tmp_path.iterdir()] == ["wrong.toml"]


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('audition = 1\nsetting = "path"', "neither a table nor the name of a .toml file"),
        ("audition = 1\nsetting = 3", "neither a table nor the name of a .toml file"),
        ('audition = 1\nblock = "nine patch"\n[setting]\ndown = 1\naround = 2', "around"),
        ('audition = 1\nblock = "nine patch"\nupright = "yes"', "upright is neither true nor false"),
        ('audition = 1\nblock = "nine patch"\nmethod = "quick"', "method is not a table"),
        ('audition = 1\nblock = "nine patch"\nwidth = "wide"', "width: 'wide' is not a length"),
        ('audition = 1\nsetting = "gone.toml"', "gone.toml"),
    ],
)
def test_mistakes_in_an_audition_are_told(capsys: Capture, tmp_path: Path, text: str, what: str) -> None:
    file = tmp_path / "wrong.toml"
    file.write_text(text)
    code, _, err = run(capsys, "readings", file)
    assert code == 2
    assert what in err


def test_a_setting_written_is_the_setting_read(tmp_path: Path) -> None:
    from ui.setting_text import setting_lines

    for text in (
        PATH,
        'setting = "on point"\nblocks = ["a", "b turned 90"]\ndown = 3\nacross = 2\ntriangles = "t\\"s"',
        'rows = [["a turned 270", "b"]]\n[sashing]\ncloth = "s"\nfinished = "7 mm"\naround = true',
        'rows = [["a"]]\n[[border]]\ncloth = "x"\nfinished = "1/3"\n[[border]]\ncloth = "y"\nfinished = "2"',
    ):
        name, setting = parse_setting(text)
        assert parse_setting("\n".join(setting_lines(name, setting))) == (name, setting)
        under = tomllib.loads("\n".join(setting_lines(name, setting, under="setting")))
        assert list(under) == ["setting"]
