"""Cut sizes against plane geometry and against the trade's rounded rules, by way of whole block files."""

from __future__ import annotations

from fractions import Fraction

import pytest

from blocks.blockfile import parse_block
from blocks.drafting import draft_block
from blocks.lengths import inches_text, parse_inches, to_mm
from cutting.cutlist import CutLine, cut_list
from cutting.rules import GRIDS_IN
from tests.published.tables import read_rows

F = Fraction
TRIANGLES = read_rows("triangles_from_squares.csv")
GEESE = read_rows("flying_geese.csv")
HALF_DIGIT = 5e-5


def lines(
    make: str, *, finished: str, seam: str = "1/4", grid: str = "1/8 in", **more: str
) -> tuple[CutLine, ...]:
    """What one unit is cut from, as the cutting list has it."""
    extra = "".join(f'{name} = "{value}"\n' for name, value in more.items() if name != "cloths")
    cloths = more.get("cloths", '["light", "dark"]')
    cloth = 'cloth = "light"' if make in ("square", "rectangle") else f"cloths = {cloths}"
    text = (
        f'name = "unit"\nfinished = "{finished}"\n'
        f'[[step]]\nname = "unit"\nmake = "{make}"\nfinished = "{finished}"\n{cloth}\n{extra}'
    )
    draft = draft_block(parse_block(text), seam_in=parse_inches(seam))
    return cut_list(draft, grid_in=GRIDS_IN[grid])


def assert_squares(found: tuple[CutLine, ...], *, exact: str, up8: str) -> None:
    """All pieces are squares of this exact side, and of this one on a ruler of eighths."""
    for line in found:
        assert line.kind == "square"
        assert float(line.cut_width_in) == pytest.approx(float(exact), abs=HALF_DIGIT)
        assert line.rounded_width_in == line.rounded_height_in == parse_inches(up8)
        assert line.is_rounded()


@pytest.mark.parametrize("row", TRIANGLES, ids=lambda row: row["finished"])
class TestTrianglesFromSquares:
    def test_a_square_gains_two_seams(self, row: dict[str, str]) -> None:
        (line,) = lines("square", finished=row["finished"])
        assert line.cut_width_in == parse_inches(row["sq_cut"])
        assert not line.is_rounded()

    def test_half_square_triangles_two_at_a_time(self, row: dict[str, str]) -> None:
        found = lines("half-square triangle", finished=row["finished"], method="two at a time")
        assert_squares(found, exact=row["hst_exact"], up8=row["hst_up8"])
        assert found[0].rounded_width_in == parse_inches(row["hst_rule_f+7/8"])
        assert parse_inches(row["finished"]) + F(7, 8) == parse_inches(row["hst_rule_f+7/8"])

    def test_half_square_triangles_eight_at_a_time(self, row: dict[str, str]) -> None:
        found = lines("half-square triangle", finished=row["finished"], method="eight at a time")
        assert_squares(found, exact=row["eight_exact"], up8=row["eight_up8"])
        assert found[0].rounded_width_in == parse_inches(row["eight_rule_2f+1_3/4"])

    def test_half_square_triangles_four_at_a_time(self, row: dict[str, str]) -> None:
        found = lines("half-square triangle", finished=row["finished"], method="four at a time")
        assert_squares(found, exact=row["four_exact"], up8=row["four_up8"])

    def test_quarter_square_triangles_cut_twice(self, row: dict[str, str]) -> None:
        found = lines(
            "quarter-square triangle",
            finished=row["finished"],
            cloths='["a", "b", "c", "d"]',
            method="cut twice",
        )
        assert_squares(found, exact=row["qst_exact"], up8=row["qst_up8"])
        assert found[0].rounded_width_in == parse_inches(row["qst_rule_f+1_1/4"])

    def test_an_hourglass(self, row: dict[str, str]) -> None:
        found = lines("quarter-square triangle", finished=row["finished"], method="two at a time")
        assert_squares(found, exact=row["qst_exact"], up8=row["qst_up8"])


@pytest.mark.parametrize("row", GEESE, ids=lambda row: row["fin_w"])
class TestFlyingGeese:
    def test_stitch_and_flip(self, row: dict[str, str]) -> None:
        finished = f"{row['fin_w']} x {row['fin_h']}"
        base, flip = lines("flying geese", finished=finished, method="one at a time")
        if base.kind == "square":
            base, flip = flip, base
        assert (base.quantity, flip.quantity) == (1, 2)
        assert (base.cut_width_in, base.cut_height_in) == (
            parse_inches(row["rect_w"]),
            parse_inches(row["rect_h"]),
        )
        assert flip.cut_width_in == flip.cut_height_in == parse_inches(row["flip_square"])

    def test_four_at_a_time(self, row: dict[str, str]) -> None:
        finished = f"{row['fin_w']} x {row['fin_h']}"
        found = lines("flying geese", finished=finished, method="four from one square")
        large, small = sorted(found, key=lambda line: line.quantity)
        assert (large.quantity, small.quantity) == (1, 4)
        assert_squares((large,), exact=row["large_exact"], up8=row["large_up8"])
        assert_squares((small,), exact=row["small_exact"], up8=row["small_up8"])
        assert large.rounded_width_in == parse_inches(row["large_rule_w+1_1/4"])
        assert small.rounded_width_in == parse_inches(row["small_rule_h+7/8"])


@pytest.mark.parametrize(
    ("seam", "square", "half", "quarter"),
    [("6 mm", 12, 20.485, 28.971), ("7.5 mm", 15, 25.607, 36.213), ("1/4 in", 12.7, 21.680, 30.661)],
)
def test_metric_seam_allowances(seam: str, square: float, half: float, quarter: float) -> None:
    """What is added to a 75 mm square, half-square and quarter-square triangle, in millimetres."""
    added = [
        float(found[0].cut_width_in) * 25.4 - 75
        for found in (
            lines("square", finished="75 mm", seam=seam),
            lines("half-square triangle", finished="75 mm", seam=seam),
            lines("quarter-square triangle", finished="75 mm", seam=seam),
        )
    ]
    assert added == pytest.approx([square, half, quarter], abs=5e-4)


def test_a_metric_ruler_rounds_up_to_its_own_marks() -> None:
    (line, _) = lines("half-square triangle", finished="75 mm", seam="6 mm", grid="5 mm")
    assert to_mm(line.rounded_width_in) == 100
    (line, _) = lines("half-square triangle", finished="75 mm", seam="6 mm", grid="1 mm")
    assert to_mm(line.rounded_width_in) == 96


def test_hand_piecing_without_allowance_cuts_the_finished_size() -> None:
    (line,) = lines("square", finished="3", seam="0")
    assert inches_text(line.rounded_width_in) == "3"
