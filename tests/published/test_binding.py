"""Binding strips against plane geometry."""

from __future__ import annotations

from fractions import Fraction

import pytest

from cutting.binding import binding_cut_in, plan_binding
from cutting.rules import RulesError
from tests.published.tables import read_rows


@pytest.mark.parametrize(
    "row", read_rows("binding_strips.csv"), ids=lambda row: f"{row['W']}x{row['H']}x{row['cut']}"
)
def test_strips_joined_on_the_diagonal(row):
    plan = plan_binding(Fraction(row["W"]), Fraction(row["H"]), cut_in=Fraction(row["cut"]))
    assert plan.need_in == Fraction(row["need"])
    assert plan.strips == int(row["n_diag"])
    assert plan.joined_in == pytest.approx(float(row["len_diag"]), abs=5e-2)
    assert plan.strips >= int(row["n_simple"])
    assert plan.sentence()


@pytest.mark.parametrize(("finished", "cut"), [("1/4", "3/2"), ("1/2", "5/2"), ("3/4", "7/2")])
def test_width_to_cut(finished, cut):
    """Common practice, no source: (2 x finished + seam) x 2, printed on ordinary sewing pages."""
    assert binding_cut_in(Fraction(finished), seam_in=Fraction(1, 4)) == Fraction(cut)


def test_a_strip_that_its_join_uses_up_is_refused():
    with pytest.raises(RulesError):
        plan_binding(Fraction(60), Fraction(80), cut_in=Fraction(40))
