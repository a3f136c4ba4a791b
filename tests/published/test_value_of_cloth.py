"""The value of cloth: grey pictures of phones, and the mean light of checks, dots and photographed gingham."""

from __future__ import annotations

import csv
from pathlib import Path

import cv2
import numpy as np
import pytest
from PIL import Image

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lightness
from palettes.looks import look_of
from palettes.phone_grey import phone_grey_gap_L, phone_grey_srgb8
from tests.published.tables import read_rows

GREYS = read_rows("grey_of_phones.csv")
CLOTH = Path(__file__).resolve().parents[2] / ".." / "shared" / "cloth"
PHOTOGRAPHED = ("gingham_acg_fabric055_red.jpg", "plaid_acg_fabric080.jpg", "check_ph_fabric_pattern_05.jpg")


@pytest.mark.parametrize("row", GREYS, ids=lambda row: row["name"])
def test_grey_of_phones(row: dict[str, str]) -> None:
    codes = np.uint8([int(row[channel]) for channel in ("red", "green", "blue")])
    own_L = float(lightness(luminance(srgb8_to_lin(codes))))
    assert own_L == pytest.approx(float(row["true_L"]), abs=0.05)
    assert own_L + phone_grey_gap_L(codes) == pytest.approx(float(row["luma_L"]), abs=0.05)


def test_other_programs_make_the_same_grey() -> None:
    codes = np.random.default_rng(0).integers(0, 256, (40, 50, 3), dtype=np.uint8)
    ours = phone_grey_srgb8(codes).astype(int)
    assert np.abs(ours - np.asarray(Image.fromarray(codes).convert("L"), int)).max() <= 1
    assert np.abs(ours - cv2.cvtColor(codes, cv2.COLOR_RGB2GRAY).astype(int)).max() <= 1


def test_the_grey_picture_turns_red_and_grey_round() -> None:
    """A bright red is lighter than a grey of 94, and the grey picture says it is darker."""
    red, grey = np.uint8([205, 25, 40]), np.uint8([94, 94, 94])
    assert luminance(srgb8_to_lin(red)) > luminance(srgb8_to_lin(grey))
    assert phone_grey_srgb8(red) < phone_grey_srgb8(grey)
    assert abs(phone_grey_gap_L(grey)) < 1e-9


@pytest.mark.parametrize(
    ("one", "other", "share", "value_L", "coded_L"),
    [
        ((165, 25, 35), (245, 243, 238), 0.5, 75.6, 63.2),
        ((245, 243, 238), (165, 25, 35), 0.1, 48.1, 39.9),
    ],
    ids=["red and white check", "white dots on red"],
)
def test_a_fine_print_has_the_value_of_its_mean_light(one, other, share, value_L, coded_L) -> None:
    """The mean of the codes is 8 to 12 L* too dark. Computed: IEC 61966-2-1 and CIE 15."""
    column = (np.arange(100) < round(100 * share))[None, :, None]
    tile = np.repeat(np.where(column, np.uint8(one), np.uint8(other)), 40, axis=0).astype(np.uint8)
    look = look_of(srgb8_to_lin(tile), per_in=(40.0, 40.0), repeats=True)
    assert pytest.approx(value_L, abs=0.1) == look.L
    mean_codes = np.rint(tile.reshape(-1, 3).mean(axis=0)).astype(np.uint8)
    assert float(lightness(luminance(srgb8_to_lin(mean_codes)))) == pytest.approx(coded_L, abs=0.3)


@pytest.mark.parametrize("name", PHOTOGRAPHED)
def test_photographed_cloth_has_the_value_that_was_measured(name: str) -> None:
    if not (CLOTH / name).exists():
        pytest.skip("the photographs of cloth do not lie beside the project")
    with (CLOTH / "MEASURED.csv").open(encoding="utf-8") as lines:
        measured = next(row for row in csv.DictReader(lines) if row["file"] == name)
    light = srgb8_to_lin(np.asarray(Image.open(CLOTH / name).convert("RGB")))
    look = look_of(
        cv2.resize(light, (240, 240), interpolation=cv2.INTER_AREA), per_in=(40.0, 40.0), repeats=True
    )
    assert pytest.approx(float(measured["Lstar_of_linear_mean_colour"]), abs=0.1) == look.L
    assert float(measured["Lstar_of_8bit_mean_colour"]) < look.L
