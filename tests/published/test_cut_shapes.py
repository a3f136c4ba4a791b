"""Cut sizes by formula against shapely's mitred offset of the finished shape, a second witness; and the star."""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

import pytest
from shapely.geometry import Polygon

from blocks.drafting import draft_block
from blocks.library import open_block
from blocks.polygons import area, bounds
from blocks.triangles import half_square_cut_in, quarter_square_cut_in

HALF_DIGIT = 5e-5


def offset(corners, seam):
    return Polygon(corners).buffer(seam, join_style="mitre", mitre_limit=20)


@pytest.mark.parametrize("finished", [1, 2, 3, 4.5, 6, 12])
@pytest.mark.parametrize("seam", [0.25, 6 / 25.4, 7.5 / 25.4])
def test_squares_for_triangles_are_the_offset_triangle_made_square(finished, seam):
    half = offset([(0, 0), (finished, 0), (0, finished)], seam)
    left, top, right, bottom = half.bounds
    assert right - left == pytest.approx(float(half_square_cut_in(finished, seam_in=seam)), abs=1e-9)
    quarter = offset([(0, 0), (finished, 0), (finished / 2, finished / 2)], seam)
    left, top, right, bottom = quarter.bounds
    assert right - left == pytest.approx(float(quarter_square_cut_in(finished, seam_in=seam)), abs=1e-9)


@pytest.mark.parametrize("name", ["lemoyne star", "kaleidoscope", "drunkards path", "grandmothers fan"])
def test_templates_are_cut_a_seam_larger_all_round(name):
    draft = draft_block(open_block(name))
    outlined = [piece.shape for piece in draft.pieces if hasattr(piece.shape, "finished")]
    assert outlined
    for shape in outlined:
        cut = Polygon([(float(x), float(y)) for x, y in shape.outline])
        finished = Polygon([(float(x), float(y)) for x, y in shape.finished])
        assert cut.exterior.distance(finished) == pytest.approx(float(draft.seam_in), abs=1e-6)
        assert cut.buffer(1e-9).covers(finished.buffer(float(draft.seam_in) - 1e-6))


def test_the_eight_pointed_star_of_twelve_inches():
    """Source: plane geometry; diamond side and corner square F / (2 + sqrt 2): 12 -> 3.5147."""
    draft = draft_block(open_block("lemoyne star"))
    side = 12 / (2 + sqrt(2))
    assert side == pytest.approx(3.5147, abs=HALF_DIGIT)
    ground = [patch for patch in draft.patches if patch.role == "background"]
    corners = [patch for patch in ground if len(patch.outline) == 4]
    assert len(corners) == 4
    for corner in corners:
        left, top, right, bottom = bounds(corner.outline)
        assert float(right - left) == pytest.approx(side, abs=HALF_DIGIT)
    diamonds = [patch for patch in draft.patches if patch.role != "background"]
    assert len(diamonds) == 8
    for diamond in diamonds:
        assert float(area(diamond.outline)) == pytest.approx(side**2 / sqrt(2), abs=1e-3)
    assert sum((area(patch.outline) for patch in draft.patches), Fraction(0)) == 144
