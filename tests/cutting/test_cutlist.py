from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.lengths import to_mm
from blocks.motion import Motion, shift
from blocks.values import CutPiece, CutRectangle, Draft, Patch
from cutting.cutlist import cut_list, rounded_size
from cutting.rules import GRIDS_IN, RulesError
from tests.cutting.handmade import (
    SEAM,
    half_square,
    leaf,
    make_draft,
    rectangles,
    square_points,
    squares,
    stem,
)

F = Fraction


def test_pieces_cut_alike_make_one_line() -> None:
    shapes = [*squares(F(7, 2), 4), *rectangles(F(9, 2), F(5, 2), 2), *squares(F(7, 2), 1, role="petal")]
    lines = cut_list(make_draft(shapes))
    assert [(line.role, line.kind, line.quantity, line.pieces) for line in lines] == [
        ("ground", "square", 4, (0, 1, 2, 3)),
        ("ground", "rectangle", 2, (4, 5)),
        ("petal", "square", 1, (6,)),
    ]


def test_the_largest_pieces_come_first_and_bias_strips_last() -> None:
    shapes = [*squares(F(2), 1), *squares(F(5), 1), stem(9.0, role="ground"), leaf(role="ground")]
    assert [(line.kind, line.rounded_width_in) for line in cut_list(make_draft(shapes))] == [
        ("square", F(5)),
        ("square", F(2)),
        ("template", F(1)),
        ("bias strip", F(5, 8)),
    ]


def test_a_diagonal_is_rounded_up_once_and_says_so() -> None:
    (line,) = cut_list(make_draft([half_square(F(3))]))
    assert line.cut_width_in == pytest.approx(3.853553, abs=5e-7)
    assert line.rounded_width_in == line.rounded_height_in == F(31, 8)
    assert line.is_rounded()
    assert line.is_approximate()


def test_a_size_on_the_ruler_is_not_called_rounded() -> None:
    (line,) = cut_list(make_draft(squares(F(7, 2), 1)))
    assert (line.is_rounded(), line.is_approximate()) == (False, False)
    assert line.cut_width_in == line.rounded_width_in == F(7, 2)


@pytest.mark.parametrize(
    ("grid", "cut"), [("1/8 in", "27/8"), ("1/16 in", "27/8"), ("1 mm", "85/1"), ("5 mm", "85/1")]
)
def test_every_ruler_rounds_up_to_its_own_marks(grid: str, cut: str) -> None:
    # 10/3 in is 84.67 mm, and lies on no ruler.
    width, _ = rounded_size(CutRectangle(F(10, 3), F(2)), grid_in=GRIDS_IN[grid])
    assert (to_mm(width) if "mm" in grid else width) == F(cut)


@given(st.fractions(F(1, 100), 60, max_denominator=1000), st.sampled_from(list(GRIDS_IN.values())))
def test_rounding_only_ever_adds_less_than_one_mark(side: F, grid: F) -> None:
    width, height = rounded_size(CutRectangle(side, float(side)), grid_in=grid)
    for rounded in (width, height):
        assert (rounded / grid).denominator == 1
        assert side - F(1, 10**6) <= rounded < side + grid + F(1, 10**6)


@given(st.fractions(F(1, 8), 20, max_denominator=8), st.fractions(F(1, 8), 20, max_denominator=8))
def test_cut_less_two_seams_is_finished(width: F, height: F) -> None:
    draft = make_draft(rectangles(width + 2 * SEAM, height + 2 * SEAM, 1))
    (line,) = cut_list(draft)
    (patch,) = draft.patches
    (_, _), (right, _), (_, bottom) = patch.outline
    assert (line.cut_width_in - 2 * SEAM, line.cut_height_in - 2 * SEAM) == (right, bottom)


def test_finished_size_comes_from_what_shows() -> None:
    lines = cut_list(make_draft([*rectangles(F(9, 2), F(5, 2), 1), half_square(F(3)), leaf(), stem(9.0)]))
    assert [line.finished for line in lines] == [
        "4 x 2 in",
        "3.354 x 3.354 in",
        "0.6 x 1.6 in",
        "1/4 in wide",
    ]


def test_a_strip_that_makes_several_patches_names_each_size() -> None:
    piece = CutPiece(0, "rail", CutRectangle(F(9), F(5, 2)), "strip set")
    patches = tuple(
        Patch(i + 1, "rail", square_points(width, F(2)), 0, shift(F(left), SEAM), "strip set")
        for i, (left, width) in enumerate([(0, F(3)), (3, F(3)), (6, F(2))])
    )
    draft = Draft("Rails", F(8), F(2), SEAM, (piece,), patches)
    assert cut_list(draft)[0].finished == "3 x 2 in or 2 x 2 in"


def test_the_finished_size_is_on_the_piece_s_own_grain() -> None:
    piece = CutPiece(0, "rail", CutRectangle(F(9, 2), F(5, 2)), "turned rail")
    quarter = Motion(F(0), F(-1), F(0), F(4))
    patches = tuple(Patch(i, "rail", square_points(F(2), F(4)), 0, quarter, "turned rail") for i in (1, 2))
    assert cut_list(Draft("Rails", F(4), F(4), SEAM, (piece,), patches))[0].finished == "4 x 2 in"


def test_a_patch_partly_hidden_still_finishes_at_its_cut_size() -> None:
    piece = CutPiece(0, "petal", CutRectangle(F(5, 2), F(7, 2)), "petal base")
    narrowed = Patch(1, "petal", square_points(F(3, 2), F(3)), 0, shift(SEAM, SEAM), "petal base")
    assert cut_list(Draft("Petal", F(2), F(3), SEAM, (piece,), (narrowed,)))[0].finished == "2 x 3 in"


def test_quantities_are_for_all_the_blocks() -> None:
    (line,) = cut_list(make_draft(squares(F(5, 2), 9)), blocks=40)
    assert line.quantity == 360
    assert len(line.pieces) == 9
    for blocks in (0, -1, 1001):
        with pytest.raises(RulesError, match=f"{blocks} is not a number of blocks"):
            cut_list(make_draft(squares(F(5, 2), 9)), blocks=blocks)


def test_lengths_along_curves_that_differ_by_dust_are_cut_alike() -> None:
    lines = cut_list(make_draft([stem(9.0), stem(9.000000001), stem(9.2)]))
    assert [(line.quantity, line.rounded_height_in) for line in lines] == [(1, F(37, 4)), (2, F(9))]


def test_only_the_pieces_asked_for_are_listed() -> None:
    lines = cut_list(make_draft(squares(F(5, 2), 9)), only={2, 5})
    assert [line.pieces for line in lines] == [(2, 5)]
