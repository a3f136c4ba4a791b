"""The contrast ratio of WCAG, against W3C's own worked pairs."""

from __future__ import annotations

import pytest

from palettes.colours import parse_colour
from palettes.encodings import decode
from palettes.legibility import contrast_ratio
from tests.published.tables import read_rows

ROWS = read_rows("contrast_ratio_wcag.csv")


def ratio(row: dict[str, str]) -> float:
    return float(contrast_ratio(*(decode(parse_colour("#" + row[side]) / 255) for side in ("fg", "bg"))))


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['fg']} on {row['bg']}")
def test_ratio(row: dict[str, str]) -> None:
    assert ratio(row) == pytest.approx(float(row["ratio"]), abs=5e-7)


@pytest.mark.parametrize("row", [row for row in ROWS if row["w3c_says"]], ids=lambda row: row["fg"])
def test_w3c_prints_the_same(row: dict[str, str]) -> None:
    """Rounded in one place and cut off in another, so within one unit of the last printed digit."""
    _, _, decimals = row["w3c_says"].partition(".")
    assert ratio(row) == pytest.approx(float(row["w3c_says"]), abs=10 ** -len(decimals))


def test_greys_against_black_and_white() -> None:
    for row in read_rows("srgb_grey_lightness.csv"):
        grey = decode([int(row["code"]) / 255] * 3)
        assert contrast_ratio(grey, decode([1.0] * 3)) == pytest.approx(
            float(row["contrast_vs_white"]), abs=5e-5
        )
        assert contrast_ratio(decode([0.0] * 3), grey) == pytest.approx(
            float(row["contrast_vs_black"]), abs=5e-5
        )
