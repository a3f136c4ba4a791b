from __future__ import annotations

import csv
import io
import json

import numpy as np
import pytest

from palettes.colours import parse_colour
from palettes.difference import ciede2000
from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from palettes.palette_files import palette_csv, palette_gpl, palette_json
from palettes.print_palette import match_colours, palette_of
from palettes.threads import ThreadListError, own_threads, parse_threads, read_threads, thread_labs
from tests.palettes.judged_set import draw


def lab(colour: str) -> np.ndarray:
    return lab_from_lin(srgb8_to_lin(parse_colour(colour))).astype(np.float64)


def test_a_print_is_named_and_measured() -> None:
    colours = palette_of(draw("leaves #f3ecd8 #1e823c 0.3 0.7").tile_srgb8)
    assert [each.family for each in colours[:2]] == ["neutral", "green"] or colours[0].family == "yellow"
    assert colours[0].share == pytest.approx(0.7, abs=0.03)
    assert colours[1].share == pytest.approx(0.3, abs=0.03)
    assert sum(each.share for each in colours) == pytest.approx(1)
    assert "green" in colours[1].name
    assert ciede2000(colours[1].lab, lab("#1e823c")) < 2
    assert ciede2000(lab(colours[1].hex), colours[1].lab) < 0.5


def test_shades_of_one_name_are_numbered() -> None:
    tile = np.repeat(np.uint8([[[20, 20, 90], [10, 10, 60], [250, 250, 250]]]), 30, axis=0)
    names = [each.name for each in palette_of(tile)]
    assert len(set(names)) == len(names)


def test_files_say_the_same() -> None:
    colours = palette_of(draw("multi 50 0.5 warm").tile_srgb8)
    rows = list(csv.DictReader(io.StringIO(palette_csv(colours))))
    whole = json.loads(palette_json(colours, name="hay meadow"))
    gpl = palette_gpl(colours, name="hay\nmeadow").splitlines()
    assert (
        [row["hex"] for row in rows]
        == [each["hex"] for each in whole["colours"]]
        == [each.hex for each in colours]
    )
    assert gpl[:2] == ["GIMP Palette", "Name: hay meadow"]
    for line, each in zip(gpl[4:], colours, strict=True):
        codes, name = line.split("\t")
        assert "#" + bytes(map(int, codes.split())).hex() == each.hex
        assert name == each.name
    for row, each in zip(rows, colours, strict=True):
        assert "#{:02x}{:02x}{:02x}".format(*(int(row[c]) for c in ("red", "green", "blue"))) == each.hex


def test_the_nearest_come_first_and_a_darker_one_can_be_asked_for() -> None:
    greys = [(L, 0, 0) for L in (20, 40, 50, 60, 80)]
    (found,) = match_colours((52, 0, 0), greys)
    assert [each.index for each in found] == [2, 3, 1]
    assert found[0].lighter_L == -2
    assert found[0].dE00 == pytest.approx(float(ciede2000((52, 0, 0), (50, 0, 0))))
    (darker,) = match_colours((52, 0, 0), greys, darker_L=10, count=1)
    assert darker[0].index == 1


def test_own_threads_are_sixty_different_colours() -> None:
    threads = own_threads()
    assert len(threads) == 60
    assert len({thread.name for thread in threads}) == len({thread.hex for thread in threads}) == 60
    gaps = ciede2000(thread_labs(threads)[:, None], thread_labs(threads)[None]) + 100 * np.eye(60)
    assert gaps.min() > 3


def test_a_list_of_the_makers_own_is_read(tmp_path) -> None:
    path = tmp_path / "threads.csv"
    path.write_text("Colour,shelf,Name\n#1e823c,3,hedge\ncrimson,4,berry\n", "utf-8-sig")
    found = read_threads(path)
    assert [(thread.name, thread.hex) for thread in found] == [("hedge", "#1e823c"), ("berry", "#dc143c")]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "no columns"),
        ("name,shade\na,#fff\n", "no columns"),
        ("name,colour\n", "no thread"),
        ("name,colour\n,#fff\nleaf,nocolour\n", "line 2 .*line 3"),
    ],
)
def test_faults_are_told_with_their_lines(text: str, why: str) -> None:
    with pytest.raises(ThreadListError, match=why) as told:
        parse_threads(text)
    assert told.value.mend


def test_files_that_are_no_list(tmp_path) -> None:
    with pytest.raises(ThreadListError, match="cannot be read"):
        read_threads(tmp_path / "none.csv")
    (tmp_path / "bytes.csv").write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(ThreadListError, match="cannot be read"):
        read_threads(tmp_path / "bytes.csv")
    (tmp_path / "long.csv").write_text("name,colour\n" + "a,#fff\n" * 600_000)
    with pytest.raises(ThreadListError, match="4 MB"):
        read_threads(tmp_path / "long.csv")
