"""How much cloth squares take, against arithmetic worked out apart from ours."""

from __future__ import annotations

from fractions import Fraction

import pytest

from blocks.lengths import parse_inches
from blocks.values import CutPiece, CutRectangle, Draft
from cutting.layout import ClothPlan, lay_out
from cutting.rules import CuttingRules
from tests.published.tables import read_rows

F = Fraction
ROWS = read_rows("squares_yardage.csv")


def plan_squares(cut: Fraction, many: int, *, usable: int = 40) -> ClothPlan:
    pieces = tuple(CutPiece(i, "patch", CutRectangle(cut, cut), "patch") for i in range(many))
    draft = Draft("squares", F(12), F(12), F(1, 4), pieces, ())
    (plan,) = lay_out(
        draft,
        cloth_of={"patch": "cloth"},
        width_of_fabric_in={"cloth": F(usable + 2)},
        rules=CuttingRules(selvage_in=F(2)),
    )
    return plan


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['N']} of {row['cut']}")
def test_squares_from_strips_across_the_width(row: dict[str, str]) -> None:
    plan = plan_squares(parse_inches(row["cut"]), int(row["N"]))
    assert max(len(strip.blanks) for strip in plan.strips) == min(int(row["N"]), int(row["per_strip"]))
    assert len(plan.strips) == int(row["strips"])
    assert plan.length_in == F(row["fabric_in"])
    assert plan.yards == F(row["yards_up8"])


@pytest.mark.parametrize("row", ROWS[::3], ids=lambda row: row["cut"])
@pytest.mark.parametrize(("column", "length"), [("per_fat_quarter_18x20", 18), ("per_fat_eighth_9x20", 9)])
def test_squares_from_a_fat_quarter_and_a_fat_eighth(row: dict[str, str], column: str, length: int) -> None:
    """That many come out of the piece, and one more does not."""
    cut, many = parse_inches(row["cut"]), int(row[column])
    if many:
        assert plan_squares(cut, many, usable=20).length_in <= length
    assert plan_squares(cut, many + 1, usable=20).length_in > length
