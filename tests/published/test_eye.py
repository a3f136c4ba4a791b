"""The eye's blur and sensitivity against S-CIELAB, Mannos and Sakrison, and Barten; and viewing geometry."""

from __future__ import annotations

from math import log, pi, sqrt

import numpy as np
import pytest

from palettes.sensitivity import blends_from_in, contrast_sensitivity, cycles_per_degree, eye_passes
from palettes.thresholds import THRESHOLDS
from palettes.viewing import Viewing
from tests.published.tables import colour_science, read_rows

KERNELS = read_rows("scielab_kernels.csv")
PASSES = read_rows("scielab_passes.csv")
SENSITIVITY = read_rows("contrast_sensitivity.csv")
GEOMETRY = read_rows("viewing_distance.csv")


@pytest.mark.parametrize("row", PASSES, ids=lambda row: f"{row['set']}-{row['channel']}-{row['cpd']}")
def test_the_published_kernels_pass_what_is_said(row: dict[str, str]) -> None:
    mine = [each for each in KERNELS if (each["set"], each["channel"]) == (row["set"], row["channel"])]
    weights = np.array([float(each["weight"]) for each in mine])
    spreads = np.array([float(each["s_equiv_deg"]) for each in mine])
    passed = (weights / weights.sum() * np.exp(-((pi * float(row["cpd"]) * spreads) ** 2))).sum()
    assert passed == pytest.approx(float(row["passes"]), abs=5e-6)


def test_our_spread_is_the_programs_number_for_luminance() -> None:
    narrow = next(
        row for row in KERNELS if (row["set"], row["channel"], row["i"]) == ("distribution", "lum", "1")
    )
    assert THRESHOLDS.eye_spread_deg == float(narrow["spread_deg"])
    assert float(narrow["s_equiv_deg"]) == pytest.approx(THRESHOLDS.eye_spread_deg / sqrt(log(2)), abs=5e-7)


@pytest.mark.parametrize("cpd", [4, 8, 16])
def test_our_blur_lies_between_the_two_published_sets(cpd: int) -> None:
    ends = sorted(
        float(row["passes"]) for row in PASSES if row["channel"] == "lum" and float(row["cpd"]) == cpd
    )
    assert ends[0] < eye_passes(cpd) < ends[1]


@pytest.mark.parametrize("row", SENSITIVITY, ids=lambda row: f"{row['cpd']} cpd")
def test_sensitivity(row: dict[str, str]) -> None:
    assert contrast_sensitivity(float(row["cpd"])) == pytest.approx(float(row["MS"]), abs=5e-7)
    barten = colour_science().contrast.contrast_sensitivity_function_Barten1999(float(row["cpd"]))
    assert barten == pytest.approx(float(row["barten"]), abs=5e-4)


def test_what_the_blur_takes_away_the_eye_hardly_sees() -> None:
    """Barten's eye has lost nine tenths of its best where ours passes a tenth or less; and neither goes blind before."""
    lost = [row for row in SENSITIVITY if eye_passes(float(row["cpd"])) <= 0.1]
    best = max(float(row["barten"]) for row in SENSITIVITY)
    assert lost
    assert all(float(row["barten"]) < 0.3 * best for row in lost)
    assert all(float(row["barten"]) > 0.3 * best for row in SENSITIVITY if 1 <= float(row["cpd"]) <= 6)


@pytest.mark.parametrize("row", GEOMETRY, ids=lambda row: f"{row['distance_in']} in")
def test_viewing_geometry(row: dict[str, str]) -> None:
    distance_in = float(row["distance_in"])
    inches = cycles_per_degree(1, distance_in=distance_in)
    assert inches == pytest.approx(float(row["inches_per_degree"]), abs=5e-6)
    # The tangent of a twentieth of a degree is a twentieth of that of a degree, to a ten-thousandth.
    spread_in = Viewing("there", distance_in).spread_in
    assert spread_in == pytest.approx(inches * THRESHOLDS.eye_spread_deg, rel=2e-4)
    for name, repeat_in in (("cpd_eighth", 1 / 8), ("cpd_quarter", 1 / 4), ("cpd_one", 1.0)):
        assert cycles_per_degree(repeat_in, distance_in=distance_in) == pytest.approx(
            float(row[name]), abs=5e-5
        )


def test_a_print_blends_where_a_tenth_is_left() -> None:
    far_in = blends_from_in(1 / 8)
    assert eye_passes(cycles_per_degree(1 / 8, distance_in=far_in)) == pytest.approx(0.1)
    assert blends_from_in(1 / 4) == pytest.approx(2 * far_in)
    assert 5.5 < far_in / 12 < 6.2
