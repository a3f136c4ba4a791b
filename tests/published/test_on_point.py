"""On-point settings against plane geometry: triangles, sizes and counts of blocks."""

from __future__ import annotations

from fractions import Fraction

import pytest

from blocks.blockfile import parse_block
from blocks.lengths import inches_text, parse_inches, round_up
from blocks.quilt import Quilt, set_quilt
from blocks.setting import Setting
from blocks.steps import Part
from tests.published.tables import read_rows

HALF_DIGIT = 5e-5
EIGHTH = Fraction(1, 8)


def on_point(side: str, *, down: int, across: int) -> Quilt:
    """Plain blocks of one size, set on point."""
    block = parse_block(
        f'name="plain"\nfinished="{side}"\n[[step]]\nname="a"\nmake="square"\nfinished="{side}"\ncloth="x"'
    )
    rows = tuple(tuple(Part("plain") for _ in range(across)) for _ in range(down))
    between = tuple(tuple(Part("plain") for _ in range(across - 1)) for _ in range(down - 1))
    setting = Setting(rows, on_point=True, between=between, triangle_cloth="triangle")
    return set_quilt(setting, {"plain": block}, seam_in=Fraction(1, 4))


@pytest.mark.parametrize("row", read_rows("on_point_triangles.csv"), ids=lambda row: row["B"])
def test_triangles_from_squares(row):
    quilt = on_point(row["B"], down=2, across=2)
    sides = {piece.step: piece.shape.width_in for piece in quilt.pieces() if piece.role == "triangle"}
    for step, exact, up8 in (
        ("setting triangles", "side_exact", "side_up8"),
        ("corner triangles", "corner_exact", "corner_up8"),
    ):
        assert float(sides[step]) == pytest.approx(float(row[exact]), abs=HALF_DIGIT)
        assert inches_text(round_up(float(sides[step]), step_in=EIGHTH)) == row[up8]
    assert float(quilt.finished_width_in) == pytest.approx(2 * float(row["diagonal"]), abs=2 * HALF_DIGIT)


@pytest.mark.parametrize(
    ("down", "across", "side", "blocks", "sides", "squares", "size"),
    [
        (4, 3, "9", 18, 10, 3, (38.184, 50.912)),
        (2, 2, "12", 5, 4, 1, (33.941, 33.941)),
        (5, 4, "10", 32, 14, 4, (56.569, 70.711)),
    ],
)
def test_blocks_triangles_and_size(down, across, side, blocks, sides, squares, size):
    """Source: mn + (m-1)(n-1) blocks, 2(m-1) + 2(n-1) side triangles, four from a square; plane geometry."""
    quilt = on_point(side, down=down, across=across)
    names = [repeat.cell.design.name for repeat in quilt.repeats]
    assert names.count("plain") == blocks
    assert names.count("setting triangles") == sides
    assert sum(piece.step == "setting triangles" for piece in quilt.pieces()) == squares
    assert (quilt.finished_width_in, quilt.finished_height_in) == pytest.approx(size, abs=5e-4)


def test_a_twelve_inch_block_on_point():
    """Source: the trade's rule (common practice): 18 1/4 in squares cut twice, 9 3/8 in squares cut once."""
    rows = {row["B"]: row for row in read_rows("on_point_triangles.csv")}
    assert (rows["12"]["side_up8"], rows["12"]["corner_up8"]) == ("18 1/4", "9 3/8")
    assert parse_inches(rows["12"]["side_rule"]) == parse_inches("18 1/4")
