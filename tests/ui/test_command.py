"""The command: quick help, plain answers, and for every mistake two lines, exit code 2 and nothing half-written."""

from __future__ import annotations

import csv
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from blocks.library import block_path
from tests.ui.asking import run
from ui import command, jobs
from ui.command import main, make_parser

ROOT = Path(__file__).resolve().parents[2]


def picture(path: Path) -> np.ndarray:
    with Image.open(path) as opened:
        return np.asarray(opened)


def read_rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_help_is_there_at_once_and_loads_nothing_heavy() -> None:
    code = (
        "import sys\nfrom ui.command import main\n"
        "try:\n    main(['--help'])\nexcept SystemExit:\n    pass\n"
        "print(sorted({name.split('.')[0] for name in sys.modules}), file=sys.stderr)"
    )
    times = []
    for _ in range(2):
        began = time.perf_counter()
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, timeout=60, check=True
        )
        times.append(time.perf_counter() - began)
    assert min(times) < 1
    assert "add-cloth" in done.stdout
    for heavy in ("gradio", "colour", "skimage", "scipy", "numpy", "cv2", "shapely", "PIL", "fastapi"):
        assert f"'{heavy}'" not in done.stderr


def test_every_job_has_help_and_stands_in_the_readme(capsys: pytest.CaptureFixture[str]) -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    names = command._job_names(make_parser())
    assert len(names) == 24
    for name in names:
        with pytest.raises(SystemExit) as stopped:
            main([name, "--help"])
        assert stopped.value.code == 0
        assert f"usage: seamlight {name}" in capsys.readouterr().out
        assert f"seamlight {name}" in readme


def test_no_words_at_all_show_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main([])
    assert stopped.value.code == 0
    assert "what it does:" in capsys.readouterr().out


def test_draw_in_chosen_cloth_and_again_from_the_audition(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    first, second, kept = tmp_path / "first.png", tmp_path / "second.png", tmp_path / "kept.toml"
    code, out, err = run(
        capsys, "draw", "nine patch", "--to", first, "dark=soot", "light=#ffcc00", "5=coral",
        "--ppi", "10", "--seam", "7.5 mm", "--keep", kept,
    )  # fmt: skip
    assert (code, out) == (0, f"{first}: 120 x 120 pixels at 10 per inch\n")
    assert err == "Drawing ...\n"
    shown = picture(first)
    assert (shown[20, 60] == (255, 204, 0)).all()
    assert (shown[60, 60] != shown[20, 20]).any(), "the middle patch is overruled"
    assert 'seam = "75/254"' in kept.read_text("utf-8")
    assert run(capsys, "draw", kept, "--to", second, "--ppi", "10", "-q") == (
        0,
        f"{second}: 120 x 120 pixels at 10 per inch\n",
        "",
    )
    assert (picture(second) == shown).all()


def test_views_differ_as_they_say(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    shown = {}
    for view in ("colour", "value", "numbered", "lines"):
        file = tmp_path / f"{view}.png"
        assert run(capsys, "draw", "nine patch", "--to", file, "--ppi", "20", "--view", view)[0] == 0
        shown[view] = picture(file)
    assert np.ptp(shown["value"], axis=2).max() == 0
    assert np.ptp(shown["colour"], axis=2).max() > 20
    assert (shown["numbered"] != shown["colour"]).any(axis=2).mean() < 0.5
    assert (shown["lines"] == 255).all(axis=2).mean() > 0.7


def test_readings_and_cutting_as_text_and_rows(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    code, out, _ = run(capsys, "readings", "nine patch", "dark=soot", "light=cream")
    assert code == 0
    assert "All of the 12 edges that should read are clear." in out
    assert out.count("clear   100 %") == 12
    code, out, _ = run(capsys, "readings", "nine patch", "dark=soot", "light=soot")
    assert "12 are lost" in out
    assert "Why:" in out
    sheet = tmp_path / "readings.csv"
    assert run(capsys, "readings", "nine patch", "--to", sheet)[1] == ""
    rows = read_rows(sheet)
    assert len(rows) == 12
    assert {row["word"] for row in rows} <= {"clear", "soft", "lost"}
    code, out, _ = run(capsys, "cutting", "nine patch", "dark=soot", "light=cream")
    assert "4 1/2 x 4 1/2 in" in out
    assert "rotary cutter" in out
    sheet = tmp_path / "cutting.csv"
    assert run(capsys, "cutting", "nine patch", "--to", sheet, "-q") == (0, "", "")
    rows = read_rows(sheet)
    assert [(row["quantity"], row["cut_width"]) for row in rows] == [("5", "4 1/2"), ("4", "4 1/2")]


def test_blocks_cloths_and_check(capsys: pytest.CaptureFixture[str]) -> None:
    assert "orchard lantern" in run(capsys, "blocks")[1]
    assert "clover field" in run(capsys, "cloths")[1]
    code, out, _ = run(capsys, "check", "orchard lantern")
    assert code == 0
    assert "12 x 12 in finished" in out
    assert "Roles: background, petal" in out


def test_the_demonstration_fills_a_folder(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    folder = tmp_path / "demo"
    folder.mkdir()
    (folder / "mine.txt").write_text("stays")
    code, out, _ = run(capsys, "demo", folder, "--ppi", "10", "-q")
    assert code == 0
    names = {path.name for path in folder.iterdir()}
    for block in ("orchard-lantern", "sawtooth-star", "nine-patch"):
        for tail in ("-colour.png", "-value.png", "-lines.png", "-readings.txt", "-readings.csv",
                     "-cutting.txt", "-cutting.csv", ".toml"):  # fmt: skip
            assert f"{block}{tail}" in names
    assert (folder / "mine.txt").read_text() == "stays"
    assert "Sawtooth Star: " in out
    again = tmp_path / "again.png"
    assert run(capsys, "draw", folder / "orchard-lantern.toml", "--to", again, "--ppi", "10", "-q")[0] == 0
    assert (picture(again) == picture(folder / "orchard-lantern-colour.png")).all()


def test_a_cloth_that_is_gone_is_reported_and_stood_in_for(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    kept = tmp_path / "kept.toml"
    kept.write_text(
        'audition = 1\nblock = "nine patch"\n[cloth]\ndark = { key = "0f", name = "gran\'s apron" }\n',
        "utf-8",
    )
    code, _, err = run(capsys, "draw", kept, "--to", tmp_path / "it.png", "--ppi", "10")
    assert code == 0
    assert 'Missing: the cloth "gran\'s apron" for dark is not on the shelf' in err


MISTAKES = {
    "unknown job": (("drw",), 'There is no "seamlight drw".', 'Did you mean "draw"?'),
    "unknown option": (("blocks", "--loud"), '"--loud" is not understood here.', "Run: seamlight blocks --help"),
    "no block": (("draw",), "are required: BLOCK", "Run: seamlight draw --help"),
    "unknown block": (("readings", "nine pach"), 'no block "nine pach"', 'Did you mean "nine patch"'),
    "missing file": (("check", "gone.toml"), "gone.toml", "Check"),
    "unknown role": (("readings", "nine patch", "drak=soot"), 'no role "drak"', 'Did you mean "dark"?'),
    "unknown cloth": (("readings", "nine patch", "dark=soott"), 'no cloth called "soott"', 'Did you mean "soot"'),
    "no cloth": (("readings", "nine patch", "dark"), '"dark" gives no cloth', "Write it as"),
    "unknown patch": (("readings", "nine patch", "10=soot"), "has no patch 10", "from 1 to 9"),
    "unknown unit": (("cutting", "nine patch", "--seam", "3 furlongs"), "'3 furlongs' is not a length", "86 mm"),
    "absurd seam": (("cutting", "nine patch", "--seam", "40"), "Seam allowance 40 in is out of bounds", "0 in to 1 in"),
    "absurd size": (("draw", "nine patch", "--to", "{}/x.png", "--ppi", "9999"), "9999 ppi is out of bounds", "1200"),
    "unknown view": (("draw", "nine patch", "--to", "{}/x.png", "--view", "x"), "invalid choice: 'x'", "--help"),
    "wrong ending": (("draw", "nine patch", "--to", "{}/x.gif"), "ends in none of .png, .jpg", "End the name in .png."),
    "no folder": (("draw", "nine patch", "--to", "{}/no/x.png"), "is not there", "Make the folder first."),
    "no such photo": (("add-cloth", "gone.jpg", "--name", "x", "--photo-ppi", "100"), "gone.jpg", "Check"),
    "no scale": (("add-cloth", "x.jpg", "--name", "x"), "No scale is given", "--photo-ppi"),
    "two scales": (
        ("add-cloth", "x.jpg", "--name", "x", "--photo-ppi", "9", "--card", "1,1", "2,1", "2,2", "1,2"),
        "More than one scale", "Give",
    ),
    "points without distance": (
        ("add-cloth", "x.jpg", "--name", "x", "--points", "1,1", "2,2"), "--apart is missing", "how far apart",
    ),
    "no point": (
        ("add-cloth", "x.jpg", "--name", "x", "--points", "1;1", "2,2", "--apart", "1"), '"1;1" is not a place', "120,340",
    ),
    "tiny photo scale": (("add-cloth", "x.jpg", "--name", "x", "--photo-ppi", "2"), "out of bounds", "10 ppi"),
    "demo in a file": (("demo", "{}/file"), "is a file", "Name a folder"),
    "demo nowhere": (("demo", "{}/no/where"), "is not there", "Make that folder"),
}  # fmt: skip


@pytest.mark.parametrize(("words", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_two_lines_and_leaves_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...], what: str, mend: str
) -> None:
    (tmp_path / "file").write_text("")
    code, out, err = run(capsys, *(word.replace("{}", str(tmp_path)) for word in words))
    assert code == 2
    assert out == ""
    lines = [line for line in err.splitlines() if not line.endswith("...")]
    assert what in lines[0]
    assert lines[1].startswith("Mend: ")
    assert mend in lines[1]
    assert len(lines) == 2
    assert [path.name for path in tmp_path.iterdir()] == ["file"]


def test_a_photograph_goes_in_and_is_drawn_with(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    photo, stash = tmp_path / "photo.png", tmp_path / "my stash.sqlite"
    pixels = np.zeros((300, 400, 3), np.uint8)
    pixels[:, :200] = (200, 30, 60)
    Image.fromarray(pixels).save(photo)
    words = ("add-cloth", photo, "--name", "gran's apron", "--repeat", "as-is", "--stash", stash, "-q")
    code, out, _ = run(
        capsys, *words, "--points", "0,150", "400,150", "--apart", "8 in", "--crop", "200,0", "0,300"
    )
    assert code == 0
    assert "4.00 x 6.00 in of cloth, at 50.0 pixels per inch" in out
    assert run(capsys, *words, "--photo-ppi", "50")[0] == 2, "the name is taken"
    replaced = run(capsys, *words, "--replace", "--photo-ppi", "50", "--crop", "0,0", "200,300")
    assert "4.00 x 6.00 in of cloth, at 50.0 pixels per inch" in replaced[1]
    assert "gran's apron" in run(capsys, "cloths", "--stash", stash)[1].splitlines()[0]
    file = tmp_path / "it.png"
    code, _, _ = run(
        capsys, "draw", "sawtooth star", "point=gran's apron", "--stash", stash, "--to", file, "--ppi", "10"
    )
    assert code == 0
    assert ((picture(file).astype(int) - (200, 30, 60)).__abs__().max(axis=2) < 3).mean() > 0.2


def test_a_faulty_block_file_names_every_fault(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    text = block_path("nine patch").read_text("utf-8").replace('finished = "4"', 'finished = "4 ells"')
    (tmp_path / "mine.toml").write_text(text, "utf-8")
    code, _, err = run(capsys, "check", tmp_path / "mine.toml")
    assert code == 2
    assert err.count("'4 ells'") == 2
    assert "mine.toml" in err


def test_a_block_that_does_not_fit_is_refused(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    text = block_path("nine patch").read_text("utf-8").replace('finished = "4"', 'finished = "3"', 1)
    (tmp_path / "mine.toml").write_text(text, "utf-8")
    code, out, err = run(capsys, "draw", tmp_path / "mine.toml", "--to", tmp_path / "x.png", "-q")
    assert (code, out) == (2, "")
    assert "Mend: " in err
    assert not (tmp_path / "x.png").exists()


def test_the_keyboard_stops_it_cleanly(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("ui.demo.readings_text", stopped)
    code, _, err = run(capsys, "demo", tmp_path / "demo", "--ppi", "5")
    assert code == 130
    assert err.endswith("Stopped.\n")
    assert list(tmp_path.iterdir()) == []


def test_a_fault_of_the_program_keeps_its_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(**_: object) -> None:
        raise ZeroDivisionError

    monkeypatch.setattr(jobs, "list_cloths", broken)
    with pytest.raises(ZeroDivisionError):
        main(["cloths"])
