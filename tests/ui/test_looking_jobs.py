"""Ways of looking on the command: distance, lamp, screen and eyes; many cuttings; views and kinds of files."""

from __future__ import annotations

import csv
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from palettes.thresholds import FOOTING, deciding_figures
from tests.ui.asking import assert_mistake, run
from ui.asked import take_viewing
from ui.reading_settings import ALL_VIEWS

ROOT = Path(__file__).resolve().parents[2]


def picture(path: Path) -> np.ndarray:
    with Image.open(path) as opened:
        return np.asarray(opened.convert("RGB")).astype(int)


def read_rows(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


NOTHING = {
    "distance": None,
    "shown": "cloth",
    "light": "daylight",
    "eyes": None,
    "severity": None,
    "years": None,
}


def test_a_distance_is_kept_in_the_makers_own_words() -> None:
    assert take_viewing(**NOTHING).full_words == "from 6 feet"
    assert take_viewing(**NOTHING | {"distance": "10 ft"}).full_words == "from 10 feet"
    assert take_viewing(**NOTHING | {"distance": "2.5 m"}).words == "from 2.5 m"
    assert take_viewing(**NOTHING | {"distance": "2.5 m"}).distance_in == pytest.approx(98.425, abs=5e-4)
    assert take_viewing(**NOTHING | {"distance": "18"}).words == "from 1.5 feet"


def test_readings_say_how_it_is_looked_at(capsys: pytest.CaptureFixture[str]) -> None:
    words = ("readings", "nine patch", "dark=#a03030", "light=#507a30", "-q")
    plain = run(capsys, *words)[1]
    assert "Does it read? Nine Patch, from 6 feet\n" in plain
    other = run(
        capsys, *words, "--from", "10 ft", "--light", "warm-lamp", "--shown", "projector",
        "--eyes", "deutan", "--severity", "0.6", "--years", "75",
    )[1]  # fmt: skip
    other = " ".join(other.split())
    assert "from 10 feet on a projector's wall under a warm lamp to deutan eyes at 0.6" in other
    assert "through a lens of 75 years" in other
    assert "0 are lost and 12 soft" in plain
    assert "12 are lost and 0 soft" in other


def test_red_against_green_is_helped_by_colour_but_not_for_every_eye(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    shares = []
    for more in ((), ("--eyes", "deutan")):
        file = tmp_path / "readings.csv"
        words = ("readings", "nine patch", "dark=#c05050", "light=#4c8a4c", "--to", file, "-q")
        assert run(capsys, *words, *more)[0] == 0
        rows = read_rows(file)
        shares.append(float(rows[0]["share_with_colour"]))
    assert shares[1] < shares[0] - 0.2


def test_many_cuttings_stand_beside_the_one(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    words = ("readings", "nine patch", "light=bee garden", "dark=hay meadow", "--cuttings", "8", "-q")
    code, out, _ = run(capsys, *words)
    assert code == 0
    table = out.split("As cut from many places")[1].splitlines()
    shares = [[int(part.rstrip("%")) for part in line.replace(" %", "%").split()[:3]] for line in table[3:15]]
    assert len(shares) == 12
    assert all(low <= high and low <= 100 for _, low, high in shares)
    assert any(low < high for _, low, high in shares)
    fixed = run(capsys, *words, "--fussy", "light, dark")[1]
    assert fixed.count("cut where it is") == 12
    file = tmp_path / "readings.csv"
    assert run(capsys, *words, "--to", file)[0] == 0
    rows = read_rows(file)
    assert all(float(row["cuttings_10th"]) <= float(row["cuttings_90th"]) for row in rows)


def test_every_figure_is_listed_with_its_source(capsys: pytest.CaptureFixture[str]) -> None:
    out = run(capsys, "readings", "nine patch", "--figures", "-q")[1]
    listed = " ".join(out.split("The figures behind the words:")[1].split())
    for figure in (*deciding_figures(), *FOOTING):
        assert figure.meaning in listed
        assert f"({figure.source})" in listed


def test_every_view_is_drawn_and_differs(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    shown = {}
    for view in ALL_VIEWS:
        file = tmp_path / f"{view}.png"
        words = ("draw", "nine patch", "dark=clover field", "light=sprout", "--view", view, "--to", file)
        assert run(capsys, *words, "--ppi", "12", "--light", "warm-lamp", "-q")[0] == 0, view
        shown[view] = picture(file)
    assert len({shot.tobytes() for shot in shown.values()}) == len(ALL_VIEWS)
    assert len(np.unique(shown["three-steps"])) <= 3
    assert np.ptp(shown["three-steps"], axis=2).max() == 0
    assert len(np.unique(shown["five-steps"])) <= 5
    assert shown["dim"].mean() < shown["colour"].mean() - 30
    assert shown["roles"].shape[1] > 144, "the key stands beside it"
    far = np.abs(np.diff(shown["step-back"], axis=1)).max()
    assert far < np.abs(np.diff(shown["colour"], axis=1)).max()


@pytest.mark.parametrize("end", ["jpg", "webp", "tif", "svg", "pdf"])
def test_the_ending_decides_the_kind_of_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, end: str
) -> None:
    file = tmp_path / f"it.{end}"
    words = ("draw", "nine patch", "--view", "numbered", "--to", file, "--ppi", "72", "--paper", "A4", "-q")
    assert run(capsys, *words)[0] == 0
    begin = file.read_bytes()[:64]
    known = {"jpg": b"\xff\xd8", "webp": b"RIFF", "tif": b"II", "svg": b"<?xml", "pdf": b"%PDF"}
    assert begin.startswith(known[end])
    if end == "svg":
        text = file.read_text("utf-8")
        assert 'width="12in"' in text
        assert "<text" in text
        assert "data:image/jpeg" in text
    elif end != "pdf":
        with Image.open(file) as opened:
            assert opened.size == (864, 864)
            assert opened.info["icc_profile"]


def test_pages_are_of_true_size(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    pypdf = pytest.importorskip("pypdf")
    for paper, sheets, wide in (("a4", 4, 595.276), ("letter", 4, 612), ("whole", 1, 864 + 1.65 * 72)):
        file = tmp_path / f"{paper}.pdf"
        words = ("draw", "nine patch", "--to", file, "--ppi", "72", "--paper", paper, "-q")
        assert run(capsys, *words)[0] == 0
        pages = pypdf.PdfReader(file).pages
        assert len(pages) == sheets
        assert float(pages[0].mediabox.width) == pytest.approx(wide, abs=0.01)


def test_several_cuttings_side_by_side(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file, still = tmp_path / "several.png", tmp_path / "still.png"
    words = (
        "draw",
        "nine patch",
        "light=bee garden",
        "dark=hay meadow",
        "--ppi",
        "10",
        "--several",
        "4",
        "-q",
    )
    code, out, _ = run(capsys, *words, "--to", file)
    assert code == 0
    assert "4 cuttings" in out
    assert run(capsys, *words, "--fussy", "light,dark", "--to", still)[0] == 0
    shot, fixed = picture(file), picture(still)
    first, second = np.s_[18:138, 18:138], np.s_[18:138, 156:276]
    assert (shot[first] != shot[second]).any(axis=2).mean() > 0.3
    assert (fixed[first] == fixed[second]).all()


MISTAKES = {
    "distance": (("readings", "nine patch", "--from", "3 furlongs"), "'3 furlongs' is not a length", "Write"),
    "too near": (("readings", "nine patch", "--from", "2 in"), "Distance 2 in is out of bounds", "12 in to"),
    "severity": (("readings", "nine patch", "--severity", "0.5"), "not whose eyes", "--eyes deutan"),
    "severe": (
        ("readings", "nine patch", "--eyes", "protan", "--severity", "2"), "Severity 2 is out of bounds", "0 to 1",
    ),
    "old": (("readings", "nine patch", "--years", "140"), "Years 140 years is out of bounds", "100 years"),
    "eyes": (("readings", "nine patch", "--eyes", "cat"), "invalid choice: 'cat'", "--help"),
    "cuttings": (("readings", "nine patch", "--cuttings", "1"), "Number of cuttings 1 is out of bounds", "2 to 500"),
    "fussy alone": (("readings", "nine patch", "--fussy", "dark"), "stays where it is cut", "Add --cuttings"),
    "fussy role": (
        ("readings", "nine patch", "dark=soot", "light=cream", "--cuttings", "5", "--fussy", "drak"),
        'There is no role "drak"', 'Did you mean "dark"?',
    ),
    "seen as usual": (
        ("draw", "nine patch", "dark=soot", "light=cream", "--view", "seen", "--to", "{}/x.png"),
        "common eyes and the cloth itself", "a warm lamp",
    ),
    "value on paper": (
        ("draw", "nine patch", "--view", "value", "--to", "{}/x.pdf"), "drawn in colour or numbered", "--view numbered",
    ),
    "several greys": (
        ("draw", "nine patch", "--view", "value", "--several", "3", "--to", "{}/x.png"), "in one picture", "--view",
    ),
    "several on paper": (("draw", "nine patch", "--several", "3", "--to", "{}/x.pdf"), "in one picture", ".png"),
    "still, but one": (("draw", "nine patch", "--fussy", "dark", "--to", "{}/x.png"), "--fussy says", "--several"),
    "too large": (
        ("draw", "nine patch", "dark=soot", "light=cream", "--width", "100", "--ppi", "1200", "--to", "{}/x.jpg"),
        "too big", "",
    ),
}  # fmt: skip


@pytest.mark.parametrize(("words", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_two_lines_and_leaves_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...], what: str, mend: str
) -> None:
    assert_mistake(capsys, tmp_path, words, what=what, mend=mend, also_said="Our choice")


@pytest.mark.skipif(os.name != "posix", reason="keys are sent as signals")
def test_a_key_stops_a_long_drawing_and_leaves_nothing(tmp_path: Path) -> None:
    words = ["draw", "nine patch", "--width", "100", "--ppi", "300", "--to", str(tmp_path / "large.png")]
    code = f"import sys\nfrom ui.command import main\nsys.exit(main({words!r}))"
    drawing = subprocess.Popen([sys.executable, "-c", code], cwd=ROOT, stderr=subprocess.PIPE, text=True)
    try:
        until = time.monotonic() + 60
        while not list(tmp_path.iterdir()) and time.monotonic() < until:
            time.sleep(0.02)
        assert list(tmp_path.iterdir()), "it is being written beside its place"
        drawing.send_signal(signal.SIGINT)
        _, err = drawing.communicate(timeout=60)
    finally:
        drawing.kill()
    assert drawing.returncode == 130
    assert err.endswith("Stopped.\n")
    assert list(tmp_path.iterdir()) == []
