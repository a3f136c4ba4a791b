from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cutting.bias_yield import area_rule_in, continuous_strip, joined_strips, square_for_continuous

F = Fraction
SEAM = F(1, 4)
SIDES = st.integers(16, 320).map(lambda eighths: F(eighths, 8))
WIDTHS = st.sampled_from([F(5, 8), F(1), F(9, 4), F(5, 2)])


@given(side=SIDES, width=WIDTHS)
def test_no_method_gives_more_than_the_area(side: F, width: F) -> None:
    area = float(area_rule_in(side, strip_in=width))
    for found in (
        joined_strips(side, strip_in=width, seam_in=SEAM),
        continuous_strip(side, strip_in=width, seam_in=SEAM),
    ):
        assert found.joined_approx_in <= found.length_approx_in
        assert found.joined_approx_in <= area + 1e-9


@given(length=st.integers(20, 500).map(F), width=WIDTHS)
def test_the_square_for_a_length_gives_it_and_an_eighth_less_does_not(length: F, width: F) -> None:
    side = square_for_continuous(length, strip_in=width, seam_in=SEAM, step_in=F(1, 8))
    assert continuous_strip(side, strip_in=width, seam_in=SEAM).joined_approx_in >= float(length) - 1e-5
    less = continuous_strip(side - F(1, 8), strip_in=width, seam_in=SEAM)
    assert less.joined_approx_in < continuous_strip(side, strip_in=width, seam_in=SEAM).joined_approx_in


def test_a_scrap_gives_nothing() -> None:
    assert joined_strips(F(1), strip_in=F(2), seam_in=SEAM).joined_approx_in == 0
    assert continuous_strip(F(1, 4), strip_in=F(2), seam_in=SEAM).strips == 0


def test_separate_strips_joined_beat_the_area_rule_never() -> None:
    found = joined_strips(F(12), strip_in=F(2), seam_in=SEAM)
    assert found.strips == 8
    assert found.length_approx_in == pytest.approx(71.76, abs=0.005)
