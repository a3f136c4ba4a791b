"""The sRGB curve, luminance and CIE L* against the standards' formulas and against other programs."""

from __future__ import annotations

import numpy as np
import pytest

from palettes.encodings import decode, encode, lin16_of_srgb8, luminance, srgb8_to_lin
from palettes.lightness import XYZ_OF_RGB, lab_from_lin, lightness, luminance_of_lightness
from palettes.primaries import SRGB, xyz_matrix
from tests.published.tables import colour_science, read_rows

GREYS = read_rows("srgb_grey_lightness.csv")
LIGHTNESS = read_rows("lightness_cie.csv")


@pytest.mark.parametrize("row", GREYS, ids=lambda row: f"grey {row['code']}")
def test_greys(row: dict[str, str]) -> None:
    code = int(row["code"])
    exact_Y = float(decode(code / 255))
    assert exact_Y == pytest.approx(float(row["Y"]), abs=5e-9)
    assert lightness(exact_Y) == pytest.approx(float(row["Lstar"]), abs=5e-5)
    light = srgb8_to_lin(np.full(3, code, dtype=np.uint8))
    # float32 carries seven digits, so one more unit of the eighth decimal.
    assert luminance(light) == pytest.approx(float(row["Y"]), abs=1e-7)
    assert lin16_of_srgb8()[code] == round(65535 * exact_Y)


@pytest.mark.parametrize("row", LIGHTNESS, ids=lambda row: f"Y {row['Y']}")
def test_lightness(row: dict[str, str]) -> None:
    given, found = ("Lstar", "Y") if row["computed"] == "Y" else ("Y", "Lstar")
    there, back = (luminance_of_lightness, lightness) if found == "Y" else (lightness, luminance_of_lightness)
    assert there(float(row[given])) == pytest.approx(float(row[found]), abs=5e-9 if found == "Y" else 5e-7)
    assert back(there(float(row[given]))) == pytest.approx(float(row[given]), abs=1e-12)


def test_the_break_of_the_srgb_curve_lies_between_codes_10_and_11() -> None:
    assert decode(10 / 255) == pytest.approx(10 / 255 / 12.92, abs=1e-15)
    assert decode(11 / 255) == pytest.approx(((11 / 255 + 0.055) / 1.055) ** 2.4, abs=1e-15)
    assert encode(0.0031308) == pytest.approx(0.04045, abs=5e-6)


def test_the_matrix_of_the_standard_follows_from_its_primaries() -> None:
    """IEC 61966-2-1 prints four decimals; one cell of its own rounding is a unit of the last away."""
    np.testing.assert_allclose(XYZ_OF_RGB, xyz_matrix(SRGB), rtol=0, atol=5e-5)
    np.testing.assert_allclose(np.sum(XYZ_OF_RGB, axis=1), (0.9505, 1.0, 1.0890), rtol=0, atol=1e-12)


def test_lab_agrees_with_two_other_programs() -> None:
    """They differ by up to 0.022 between themselves, by the digits of matrix and white point."""
    from skimage.color import rgb2lab

    codes = np.random.default_rng(65).integers(0, 256, (2000, 3), dtype=np.uint8)
    ours = lab_from_lin(decode(codes / 255))
    np.testing.assert_allclose(ours, rgb2lab(codes / 255.0), rtol=0, atol=0.03)
    colour = colour_science()
    theirs = colour.XYZ_to_Lab(
        colour.sRGB_to_XYZ(codes / 255), colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    )
    np.testing.assert_allclose(ours, theirs, rtol=0, atol=0.03)
