"""Photographs of real cloth go through the same door as any."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from benchmarks.real_cloth import BY_EYE, Seen, agreement, measured_cloth, seen_by_eye
from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lightness
from swatches.crop import Crop
from swatches.measure import measure_photo
from swatches.references import Reference
from swatches.repeat import Repeat
from swatches.scale import TwoPoints, TypedPpi
from swatches.stash import Stash
from swatches.swatch import Swatch
from tests.swatches.pictures import SHARED, shared

TEXTURES = {"denim_acg_fabric077.jpg", "woven_ph_fabric_pattern_07_grey.png"}
"""Without a repeat to be seen, and without motifs: made to go on for ever."""


def listed(table: str) -> list[dict[str, str]]:
    path = SHARED / "cloth" / table
    return list(csv.DictReader(path.read_text("utf-8").splitlines())) if path.exists() else []


def as_it_is(path: Path, reference: Reference, *, name: str = "cloth") -> Swatch:
    """All of a picture: some show ground or margins beside the cloth, which would be left out."""
    with Image.open(path) as picture:
        whole = Crop(0, 0, *picture.size)
    return measure_photo(path, name=name, reference=reference, crop=whole, repeat="as it is").swatch


@pytest.mark.parametrize("name", [row["file"] for row in listed("MANIFEST.csv")] or ["(none here)"])
def test_every_cloth_becomes_a_swatch(name: str) -> None:
    pixels = {row["file"]: row["pixels"] for row in listed("MANIFEST.csv")}
    swatch = as_it_is(shared("cloth") / name, TypedPpi(100))
    assert f"{swatch.tile_srgb8.shape[1]}x{swatch.tile_srgb8.shape[0]}" == pixels[name]


def test_the_ground_on_which_a_cloth_lies_is_left_out() -> None:
    # 1600 by 1186 pixels, of which some 90 above, below and at the sides are grey ground, by eye.
    path = shared("cloth") / "print_morris_tulip_1875.jpg"
    found = measure_photo(path, name="tulip", reference=TypedPpi(100), repeat="as it is").swatch
    high, wide = found.tile_srgb8.shape[:2]
    assert 1250 < wide < 1420
    assert 850 < high < 1010
    assert "The cloth ends in the photograph" in found.scale_note


@pytest.mark.parametrize(
    "row", listed("MEASURED.csv") or [{"file": "(none here)"}], ids=lambda row: row["file"]
)
def test_lightness_as_measured_elsewhere(row: dict[str, str]) -> None:
    folder = shared("cloth")
    path = folder / row["file"].replace("thumbs/", "small/")
    swatch = as_it_is(path, TypedPpi(100))
    mean_L = float(lightness(luminance(srgb8_to_lin(swatch.tile_srgb8)).mean(dtype=np.float64)))
    # Half the last printed digit; the outside figures ignore the profile that one of the files carries.
    most = 0.5 if "profile" in swatch.colour_note else 0.0505
    assert mean_L == pytest.approx(float(row["Lstar_of_linear_mean_colour"]), abs=most)


def test_linen_of_known_size_in_spite_of_what_the_file_claims(tmp_path: object) -> None:
    # The publisher's size of this linen is 270.7 mm; the file claims 72 and 773 pixels per inch.
    path = shared("cloth") / "solid_ph_rough_linen_blue.jpg"
    swatch = as_it_is(path, TwoPoints((0, 256), (511, 256), Fraction(2707, 254)))
    assert swatch.ppi == pytest.approx(47.9, abs=0.05)


def test_real_cloth_survives_the_stash(tmp_path: object) -> None:
    path = shared("cloth") / "plaid_acg_fabric080.jpg"
    swatch = as_it_is(path, TypedPpi(120), name="plaid")
    stash = Stash(f"{tmp_path}/stash.sqlite")
    stash.add(swatch)
    assert np.array_equal(stash.get("plaid").tile_srgb8, swatch.tile_srgb8)


@pytest.mark.parametrize("seen", seen_by_eye(), ids=lambda seen: seen.file)
def test_repeats_as_the_eye_sees_them(seen: Seen) -> None:
    # Read by eye from the picture, ours: docs/real-cloth.csv.
    folder = shared("cloth")
    if not (folder / seen.file).is_file():
        pytest.skip(f"{seen.file} is not on this machine")
    measured = measured_cloth(folder, seen.file)
    assert agreement(seen, measured.finished.repeat) == "the same"
    assert seen.way in ("", measured.finished.about.way)
    assert measured.finished.wraps == (
        seen.repeats in ("both ways", "stripes", "plain") or seen.file in TEXTURES
    )


def test_every_picture_was_looked_at() -> None:
    looked_at = {Path(seen.file).name for seen in seen_by_eye()}
    assert BY_EYE.is_file()
    rows = listed("MEASURED.csv")
    assert {Path(row["file"]).name for row in rows} <= looked_at


def test_agreement_calls_a_wrong_repeat_wrong() -> None:
    seen = Seen("cloth", "both ways", ((100.0, 0.0), (0.0, 200.0)), "one-way")
    right = Repeat("lattice", ((1.01, 0.0), (0.0, 2.0)), 0.9, "")
    assert agreement(seen, right) == "the same"
    assert agreement(seen, Repeat("lattice", ((2.0, 0.0), (0.0, 2.0)), 0.9, "")) == "a whole multiple"
    assert agreement(seen, Repeat("lattice", ((1.0, 0.0), (0.0, 1.0)), 0.9, "")) == "wrong"
    assert agreement(seen, Repeat("lattice", ((1.0, 0.0), (0.0, 1.0)), 0.9, "Not sure")) == "says not sure"
    assert agreement(seen, Repeat("one way", ((0.0, 2.0),), 0.9, "")) == "says less is seen"
    assert agreement(seen, Repeat("one way", ((0.0, 1.0),), 0.9, "")) == "wrong"
    assert agreement(seen, Repeat("none", (), 0.1, "")) == "says less is seen"
    assert agreement(Seen("cloth", "none", (), ""), right) == "wrong"
