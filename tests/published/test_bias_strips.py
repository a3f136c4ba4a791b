"""Bias strips from squares, against plane geometry and the trade's quick rules."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import pytest

from blocks.lengths import parse_inches
from cutting.bias_yield import area_rule_in, continuous_strip, joined_strips, square_for_continuous
from tests.published.tables import read_rows

F = Fraction
SEAM = F(1, 4)
YIELD = read_rows("bias_from_square.csv")
NEEDED = read_rows("square_for_bias.csv")
FINE_STEP = F(1, 20_000)
HALF_DIGIT = 5.001e-3
"""Half the last of two decimals; a whisker more, because some printed figures end in an exact half."""


@pytest.mark.parametrize("row", YIELD, ids=lambda row: f"{row['w']} from {row['S']}")
def test_what_a_square_gives(row: dict[str, str]) -> None:
    side, width = parse_inches(row["S"]), parse_inches(row["w"])
    assert float(area_rule_in(side, strip_in=width)) == pytest.approx(float(row["area_rule"]), abs=HALF_DIGIT)
    tube = continuous_strip(side, strip_in=width, seam_in=SEAM)
    assert tube.strips == int(row["cont_n"])
    assert tube.joined_approx_in == pytest.approx(float(row["cont_length"]), abs=HALF_DIGIT)
    strips = joined_strips(side, strip_in=width, seam_in=SEAM)
    assert strips.strips == int(row["sep_strips"])
    assert strips.length_approx_in == pytest.approx(float(row["sep_sum_centre"]), abs=HALF_DIGIT)
    assert strips.joined_approx_in == pytest.approx(float(row["sep_joined"]), abs=HALF_DIGIT)


@pytest.mark.parametrize("row", NEEDED, ids=lambda row: f"{row['L']} of {row['w']}")
def test_the_square_for_a_length(row: dict[str, str]) -> None:
    length, width = parse_inches(row["L"]), parse_inches(row["w"])
    side = square_for_continuous(length, strip_in=width, seam_in=SEAM, step_in=F(1, 8))
    assert side == parse_inches(row["S_up8"])
    assert continuous_strip(side, strip_in=width, seam_in=SEAM).strips == int(row["n"])
    finely = square_for_continuous(length, strip_in=width, seam_in=SEAM, step_in=FINE_STEP)
    assert float(finely) == pytest.approx(float(row["S_exact"]), abs=5e-5 + float(FINE_STEP))
    found = continuous_strip(finely, strip_in=width, seam_in=SEAM)
    assert found.strips == int(row["n"])
    more = found.strips * sqrt(2) * float(FINE_STEP)
    assert found.joined_approx_in == pytest.approx(float(row["length_at_S_exact"]), abs=HALF_DIGIT + more)


def test_the_quick_rule_falls_short_in_most_cases() -> None:
    """Root of length times width and half an inch more: 45 of the 54 squares are too small."""
    short = 0
    for row in NEEDED:
        width = parse_inches(row["w"])
        # A hair more, because some roots are exactly a whole number of turns, which a float may miss.
        side = F(sqrt(float(row["L"]) * float(width)) + 0.5) + F(1, 10**9)
        found = continuous_strip(side, strip_in=width, seam_in=SEAM).joined_approx_in
        assert found == pytest.approx(float(row["length_at_rule_plus_half"]), abs=HALF_DIGIT)
        short += found < float(row["L"])
    assert short == 45
    assert len(NEEDED) == 54
