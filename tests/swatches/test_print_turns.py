"""Which way up a print can be sewn, beside prints drawn with a known way."""

from __future__ import annotations

from collections import Counter

import numpy as np
import pytest

from palettes.encodings import srgb8_to_lin
from swatches.demo.shelf import demo_about, demo_swatch
from swatches.print_about import PrintAbout, about_from_text, about_text
from swatches.print_kind import about_print
from swatches.print_turns import find_turns
from swatches.repeat import Repeat
from tests.swatches.tossed import UPRIGHT, Laid, draw_motifs

NO_REPEAT = Repeat("none", (), 0.0, "")
KINDS = (("bird",), ("sprig", "house"), ("tulip", "bird"), ("house",), ("sprig",), ("tulip",))
# Seeds that no figure in the code was chosen with.
SEEDS = range(500, 512)


def about(laid: Laid, seed: int) -> PrintAbout:
    rng = np.random.default_rng(seed + 1000)
    ppi = (100, 150, 200, 300)[seed % 4]
    size_in = float(rng.uniform(0.3, 0.7))
    light, count = draw_motifs(
        KINDS[seed % len(KINDS)], laid=laid, seed=seed, ppi=ppi, size_in=size_in, shape_in=(4.2, 3.4)
    )
    assert count >= 12
    return about_print(light, ppi=ppi, repeat=NO_REPEAT)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_print_with_an_up_is_never_turned(seed: int) -> None:
    assert about("upright", seed).way == "one-way"


def test_tossed_prints_may_be_turned_any_way() -> None:
    told = [about("tossed", seed) for seed in SEEDS]
    ways = Counter(each.way for each in told)
    assert ways["all-way"] >= 0.6 * len(told), ways
    # Where too little is seen to tell, it is said.
    assert sum(each.way != "all-way" and each.way_sure for each in told) <= 1


def test_prints_at_two_opposite_turns_are_not_all_way() -> None:
    told = [about("half turns", seed) for seed in SEEDS]
    ways = Counter(each.way for each in told)
    assert ways["two-way"] >= 0.5 * len(told), ways
    assert ways["all-way"] == 0


@pytest.mark.parametrize("name", ["clover field", "bee garden", "late garden", "orchard lane", "night hedge"])
def test_the_label_s_tossed_prints_are_all_way(name: str) -> None:
    cloth = demo_swatch(name)
    width, height = (float(side) for side in demo_about(name).repeat_in)
    steps = ((width, 0.0), (0.0, height))
    told = find_turns(srgb8_to_lin(cloth.tile_srgb8), ppi=cloth.ppi, steps_in=steps, wraps=True)
    assert (told.half, told.quarter) == (True, True)


@pytest.mark.parametrize("name", ["hay meadow", "hen yard", "lavender row", "skep row", "thyme sprig"])
def test_the_label_s_one_way_prints_are_never_turned(name: str) -> None:
    # Flowers turned every way on stalks that stand, hens, rows: all have one up on their label.
    assert demo_about(name).one_way
    cloth = demo_swatch(name)
    width, height = (float(side) for side in demo_about(name).repeat_in)
    lattice = Repeat("lattice", ((width, 0.0), (0.0, height)), 1.0, "")
    light = srgb8_to_lin(cloth.tile_srgb8)
    assert about_print(light, ppi=cloth.ppi, repeat=lattice, wraps=True).way == "one-way"


def test_one_motif_of_each_kind_tells_nothing() -> None:
    # Four unlike motifs in one repeat: none is found again but by the repeat itself.
    light, _ = draw_motifs(tuple(UPRIGHT), laid="upright", seed=3, ppi=150, size_in=0.9, shape_in=(1.7, 1.7))
    steps = ((1.7, 0.0), (0.0, 1.7))
    assert find_turns(light, ppi=150, steps_in=steps, wraps=True).half is None
    seen = about_print(light, ppi=150, repeat=Repeat("lattice", steps, 1.0, ""), wraps=True)
    assert (seen.way, seen.way_sure) == ("one-way", False)
    assert "Not sure that it has an up" in seen.words
    assert about_from_text(about_text(seen)) == seen


def test_doubt_is_read_from_newer_text_alone() -> None:
    old = '{"word": "plain", "way": "all-way", "motif_in": null, "coverage": 0.0, "colours": []}'
    read = about_from_text(old)
    assert read is not None
    assert read.way_sure
    assert "Not sure" not in read.words
    assert about_from_text("[]") is None
