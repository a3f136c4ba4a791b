"""Photographs of real cloth go through the same door as any."""

from __future__ import annotations

import csv
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lightness
from swatches.measure import measure_photo
from swatches.references import Reference
from swatches.scale import TwoPoints, TypedPpi
from swatches.stash import Stash
from swatches.swatch import Swatch
from tests.swatches.pictures import SHARED, shared


def listed(table: str) -> list[dict[str, str]]:
    path = SHARED / "cloth" / table
    return list(csv.DictReader(path.read_text("utf-8").splitlines())) if path.exists() else []


def as_it_is(path: Path, reference: Reference, *, name: str = "cloth") -> Swatch:
    return measure_photo(path, name=name, reference=reference, repeat="as it is").swatch


@pytest.mark.parametrize("name", [row["file"] for row in listed("MANIFEST.csv")] or ["(none here)"])
def test_every_cloth_becomes_a_swatch(name: str) -> None:
    pixels = {row["file"]: row["pixels"] for row in listed("MANIFEST.csv")}
    swatch = as_it_is(shared("cloth") / name, TypedPpi(100))
    assert f"{swatch.tile_srgb8.shape[1]}x{swatch.tile_srgb8.shape[0]}" == pixels[name]


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
