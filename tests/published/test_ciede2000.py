"""CIEDE2000 against the authors' own 34 pairs, and two other programs against ours."""

from __future__ import annotations

import numpy as np
import pytest

from palettes.difference import ciede2000
from tests.published.tables import colour_science, read_rows

TOLERANCE = 1e-4
"""One unit of the last printed digit: the authors' inputs were rounded to it too."""

ROWS = read_rows("ciede2000_sharma_2005.csv")


def lab(row: dict[str, str], which: int) -> list[float]:
    return [float(row[f"{axis}{which}"]) for axis in "Lab"]


def pairs() -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    return (
        np.array([lab(row, 1) for row in ROWS]),
        np.array([lab(row, 2) for row in ROWS]),
        np.array([float(row["dE00"]) for row in ROWS]),
    )


def test_the_table_is_whole() -> None:
    assert [int(row["pair"]) for row in ROWS] == list(range(1, 35))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"pair {row['pair']}")
def test_each_pair_alone(row: dict[str, str]) -> None:
    wanted = float(row["dE00"])
    assert ciede2000(lab(row, 1), lab(row, 2)) == pytest.approx(wanted, abs=TOLERANCE)
    assert ciede2000(lab(row, 2), lab(row, 1)) == pytest.approx(wanted, abs=TOLERANCE)


def test_all_pairs_at_once() -> None:
    first, second, wanted = pairs()
    np.testing.assert_allclose(ciede2000(first, second), wanted, rtol=0, atol=TOLERANCE)


def test_two_other_programs_agree_on_random_colours() -> None:
    from skimage.color import deltaE_ciede2000

    random = np.random.default_rng(2005)
    first, second = random.uniform((0, -100, -100), (100, 100, 100), (2, 2000, 3))
    ours = ciede2000(first, second)
    np.testing.assert_allclose(ours, deltaE_ciede2000(first, second), rtol=0, atol=TOLERANCE)
    theirs = colour_science().difference.delta_E_CIE2000(first, second)
    np.testing.assert_allclose(ours, theirs, rtol=0, atol=TOLERANCE)


def test_close_colours_and_greys_agree_too() -> None:
    from skimage.color import deltaE_ciede2000

    random = np.random.default_rng(11)
    first = random.uniform((0, -60, -60), (100, 60, 60), (2000, 3))
    first[::4, 1:] = 0
    second = first + random.normal(0, 0.5, first.shape)
    second[::8, 1:] = 0
    np.testing.assert_allclose(
        ciede2000(first, second), deltaE_ciede2000(first, second), rtol=0, atol=TOLERANCE
    )


def test_the_textile_weight_halves_a_step_of_lightness() -> None:
    assert ciede2000((0, 0, 0), (100, 0, 0)) == pytest.approx(100, abs=TOLERANCE)
    assert ciede2000((0, 0, 0), (100, 0, 0), lightness_weight=2) == pytest.approx(50, abs=TOLERANCE)
    wanted = colour_science().difference.delta_E_CIE2000((30, 20, -10), (80, -10, 30), textiles=True)
    assert ciede2000((30, 20, -10), (80, -10, 30), lightness_weight=2) == pytest.approx(wanted, abs=TOLERANCE)
