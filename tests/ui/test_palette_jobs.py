"""Cloths on one line, the palette of a print, and a print at several sizes, on the command."""

from __future__ import annotations

import csv
import json
import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.ui.asking import assert_mistake, run


def picture(path: Path) -> np.ndarray:
    with Image.open(path) as opened:
        return np.asarray(opened.convert("RGB")).astype(int)


def test_cloths_stand_from_light_to_dark(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "line.png"
    cloths = ("background=cream", "point=bee veil", "centre=#202020", "1=honey")
    code, out, _ = run(capsys, "line-up", "sawtooth star", *cloths, "--to", file, "-q")
    assert code == 0
    rows = re.findall(r"^ *(\d+) +(\d+) +(\d+)  (cream|bee veil|#202020|honey)", out, flags=re.M)
    names = [row[3] for row in rows]
    assert (names[0], names[-1], len(names)) == ("cream", "#202020", 4)
    means = [int(row[0]) for row in rows]
    assert means == sorted(means, reverse=True)
    assert all(int(low) <= int(high) for _, low, high, _ in rows)
    assert "#202020: dark beside bee veil" in out
    veil = next(line for line in out.splitlines() if line.startswith("  bee veil: "))
    assert "dark beside cream" in veil
    assert "light beside #202020" in veil
    shot = picture(file)
    # The dot of the darkest cloth lies further right than that of the lightest.
    dots = [np.flatnonzero((shot[86 + 70 * row + 28, 320:] == (34, 34, 38)).all(axis=-1)) for row in (0, 3)]
    assert dots[0].mean() + 400 < dots[1].mean()
    assert shaded(shot) < 0.001, "no clump, no shade"


def shaded(shot: np.ndarray) -> float:
    """How much of the picture below the scale has the grey of a clump."""
    return float((shot[86:] == (222, 222, 222)).all(axis=-1).mean())


def test_a_clump_is_told_and_shaded(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "line.png"
    cloths = ("background=#7a8a8a", "point=#8a7a7a", "centre=#808060")
    out = run(capsys, "line-up", "sawtooth star", *cloths, "--to", file, "-q")[1]
    assert "All 3 cloths lie within one value step" in out
    assert shaded(picture(file)) > 0.02


def test_a_quilt_is_lined_up_too(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    setting = tmp_path / "row.toml"
    setting.write_text('name = "Row"\nrows = [["nine patch", "nine patch"]]\n', "utf-8")
    code, out, _ = run(capsys, "line-up", setting, "dark=soot", "light=cream", "-q")
    assert code == 0
    assert out.index("cream") < out.index("soot")


def test_the_palette_of_a_print_in_every_kind_of_file(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    shown = {}
    for end in ("csv", "json", "gpl"):
        file = tmp_path / f"it.{end}"
        code, out, _ = run(capsys, "palette", "picnic cloth", "--to", file, "-q")
        assert code == 0
        shown[end] = file.read_text("utf-8")
    table = list(csv.DictReader(shown["csv"].splitlines()))
    assert sum(float(row["share"]) for row in table) == pytest.approx(1, abs=1e-3)
    assert [row["hex"] for row in table] == [each["hex"] for each in json.loads(shown["json"])["colours"]]
    assert shown["gpl"].count("\n") == 4 + len(table)
    for row in table:
        assert f"{row['name']}  {row['hex']}" in out
    assert out.count("threads: ") == out.count("solids: ") == len(table)


def test_a_solid_is_matched_by_itself_and_by_the_makers_own_thread(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    spools = tmp_path / "threads.csv"
    spools.write_text("name,colour\nnight,#101018\nfern green,#2f6344\n", "utf-8")
    out = run(capsys, "palette", "#306344", "--threads", spools, "-q")[1]
    assert "100 %  dark olive green  #306344" in out
    assert re.search(r"solids: fern \(\d", out)
    assert "threads: fern green (" in out
    assert out.count("#306344") == 2, "in the heading and in its one row"


def test_one_print_at_several_sizes(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    file = tmp_path / "strip.png"
    code, out, _ = run(
        capsys, "size-strip", "#306344", "--sizes", '1, 2 1/2", 5 cm', "--ppi", "40", "--to", file, "-q"
    )
    assert code == 0
    assert "3 sizes" in out
    green = (picture(file) == (0x30, 0x63, 0x44)).all(axis=-1)
    assert green.sum() == 40**2 + 100**2 + round(5 / 2.54 * 40) ** 2


MISTAKES = {
    "no such cloth": (("palette", "orchard lan"), 'no cloth called "orchard lan"', '"orchard lane"'),
    "palette as picture": (("palette", "soot", "--to", "{}/x.png"), "ends in none of .csv, .json, .gpl", ".csv"),
    "no spools": (("palette", "soot", "--threads", "{}/gone.csv"), "gone.csv", ""),
    "line as text": (("line-up", "nine patch", "--to", "{}/x.txt"), "ends in none of .png", "End the name in .png"),
    "no sizes": (("size-strip", "soot", "--sizes", ",", "--to", "{}/x.png"), "1 to 12 lengths", "1, 2 1/2, 4"),
    "nothing wide": (("size-strip", "soot", "--sizes", "0", "--to", "{}/x.png"), "1 to 12 lengths", "1, 2 1/2, 4"),
    "a size of words": (("size-strip", "soot", "--sizes", "large", "--to", "{}/x.png"), "'large' is not a length", ""),
    "as large as a house": (("size-strip", "soot", "--sizes", "9999", "--to", "{}/x.png"), "too big", ""),
}  # fmt: skip


@pytest.mark.parametrize(("words", "what", "mend"), MISTAKES.values(), ids=MISTAKES)
def test_a_mistake_is_two_lines_and_leaves_nothing(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, words: tuple[str, ...], what: str, mend: str
) -> None:
    assert_mistake(capsys, tmp_path, words, what=what, mend=mend)
