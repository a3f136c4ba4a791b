"""Munsell value against ASTM D1535."""

from __future__ import annotations

import numpy as np
import pytest

from palettes.lightness import lightness
from palettes.munsell import luminance_of_value, value_of_luminance
from tests.published.tables import colour_science, read_rows

ROWS = read_rows("munsell_value_astm_d1535.csv")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"value {row['V']}")
def test_value_both_ways(row: dict[str, str]) -> None:
    value, percent = float(row["V"]), float(row["Y"])
    assert 100 * luminance_of_value(value) == pytest.approx(percent, abs=1e-6)
    assert value_of_luminance(percent / 100) == pytest.approx(value, abs=1e-6)
    if row["Lstar"]:
        assert lightness(percent / 100) == pytest.approx(float(row["Lstar"]), abs=1e-4)


def test_grey_card() -> None:
    """18 % grey, to the four decimals given."""
    assert value_of_luminance(0.18) == pytest.approx(4.8519, abs=5e-5)


def test_one_value_step_is_about_ten_of_lightness() -> None:
    values = np.linspace(0, 10, 201)
    assert np.abs(lightness(luminance_of_value(values)) - 10 * values).max() < 1.06


def test_a_second_witness_agrees_everywhere() -> None:
    percent = np.linspace(0, 100, 1001)
    theirs = colour_science().notation.munsell_value_ASTMD1535(percent)
    # Theirs interpolates a table of the same polynomial.
    np.testing.assert_allclose(value_of_luminance(percent / 100), theirs, rtol=0, atol=1e-3)
