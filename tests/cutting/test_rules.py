from __future__ import annotations

from fractions import Fraction

import pytest

from blocks.lengths import MM_PER_IN, to_mm
from cutting.rules import GRIDS_IN, CuttingRules, RulesError, grid_text, is_metric, length_text, size_text

F = Fraction


def test_forty_inches_are_cut_from_forty_two() -> None:
    # Common practice of the trade: 40 in usable from cloth sold as 42 in.
    assert 42 - CuttingRules().selvage_in == 40


@pytest.mark.parametrize("ruler", GRIDS_IN)
def test_every_ruler_is_named_as_it_is_asked_for(ruler: str) -> None:
    rules = CuttingRules.on_ruler(ruler)
    assert grid_text(rules.grid_in) == ruler
    assert is_metric(rules.grid_in) == ("mm" in ruler)


def test_metric_bias_squares_are_whole_centimetres() -> None:
    rules = CuttingRules.on_ruler("5 mm", may_turn=True)
    assert (to_mm(rules.bias_step_in), to_mm(rules.largest_bias_in), rules.may_turn) == (10, 450, True)


def test_lengths_are_written_in_the_rulers_units() -> None:
    eighths, mm = GRIDS_IN["1/8 in"], GRIDS_IN["1 mm"]
    assert length_text(F(31, 8), grid_in=eighths) == "3 7/8 in"
    assert size_text(F(31, 8), F(1, 2), grid_in=eighths) == "3 7/8 x 1/2 in"
    assert length_text(F(1, 4), grid_in=mm) == "6.35 mm"
    assert length_text(215 / MM_PER_IN, grid_in=mm) == "21.5 cm"
    assert size_text(86 / MM_PER_IN, 215 / MM_PER_IN, grid_in=mm) == "8.6 x 21.5 cm"


def test_rules_that_cannot_be_followed_are_refused() -> None:
    for wrong in (
        {"grid_in": F(1, 7)},
        {"grid_in": F(0)},
        {"selvage_in": F(-1)},
        {"bias_step_in": F(0)},
        {"largest_bias_in": F(1, 8)},
    ):
        with pytest.raises(RulesError) as found:
            CuttingRules(**wrong)  # type: ignore[arg-type]
        assert found.value.mend.endswith(".")
    with pytest.raises(RulesError, match="1/3 in") as found:
        CuttingRules.on_ruler("1/3 in")
    assert "1/8 in, 1/16 in, 1 mm, 5 mm" in found.value.mend
