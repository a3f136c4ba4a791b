"""Blocks whose patches are shaken by a hair come out tiling exactly, whatever the hair did."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from blocks.drafting import draft_block
from blocks.healing import heal_outlines
from blocks.library import open_block
from blocks.misfits import find_misfits, region_of, thick_parts, widest_spot
from blocks.polygons import rectangle
from blocks.ruling import ruled
from blocks.scaling import scale_block
from blocks.snapping import grid_for, snap_outlines, straightened
from blocks.svg_fit import fit_patches
from blocks.svg_patches import DrawnPatch
from blocks.tiling import TilingError, check_tiling

F = Fraction
HAIR = F(1, 64)


def ground(name, width_in=None):
    block = open_block(name)
    draft = draft_block(scale_block(block, width_in=width_in) if width_in else block)
    outlines = [patch.outline for patch in draft.patches if not patch.layer]
    return outlines, draft.finished_width_in, draft.finished_height_in


def shaken(outlines, *, seed, by_in):
    """Every corner moved on its own for every patch, and corners added along the sides."""
    source = random.Random(seed)

    def near(x, y):
        return tuple(F(round((float(n) + source.uniform(-by_in, by_in)) * 10**6), 10**6) for n in (x, y))

    shaken_outlines = []
    for outline in outlines:
        points = []
        for (px, py), (qx, qy) in zip(outline, outline[1:] + outline[:1], strict=True):
            points.append(near(px, py))
            for part in sorted(source.random() for _ in range(source.choice([0, 0, 1, 2]))):
                points.append(near(float(px) + part * float(qx - px), float(py) + part * float(qy - py)))
        shaken_outlines.append(tuple(points))
    return shaken_outlines


def fit(outlines, width_in, height_in):
    patches = [DrawnPatch(str(i), "cloth", outline) for i, outline in enumerate(outlines)]
    return fit_patches(patches, width_in=width_in, height_in=height_in, tolerance_in=HAIR)


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize(
    ("name", "width_in"),
    [
        ("robbing peter to pay paul", None),  # curves on every side
        ("wild goose chase", None),  # sharp wedges that meet in points
        ("spider web", F(1500, 127)),
        ("jacobs ladder", F(31, 3)),
        ("grandmothers fan", None),
    ],
)
def test_shaken_blocks_tile_again(name, width_in, seed):
    outlines, w, h = ground(name, width_in)
    exact = fit(shaken(outlines, seed=seed, by_in=0.0054), w, h)
    check_tiling(exact, block=rectangle(w, h), step="")
    for outline, wanted in zip(exact, outlines, strict=True):
        got, meant = region_of(outline), region_of(wanted)
        assert got.is_valid
        assert got.symmetric_difference(meant).area < 2 * float(HAIR) * meant.length
        assert got.hausdorff_distance(meant) < 5 * float(HAIR)


@pytest.mark.parametrize("name", ["ohio star", "wild goose chase", "snowball", "ocean waves"])
def test_exact_blocks_stay_as_they_are(name):
    outlines, w, h = ground(name)
    exact = snap_outlines(outlines, width_in=w, height_in=h, tolerance_in=HAIR)
    for outline, wanted in zip(exact, outlines, strict=True):
        assert set(outline) <= set(wanted)
        assert len(wanted) - len(outline) == len(wanted) - len(straightened(wanted))
    assert snap_outlines(exact, width_in=w, height_in=h, tolerance_in=HAIR) == exact


def test_a_corner_beside_a_slanted_edge_bends_it_and_one_on_it_leaves_it():
    upper = ((F(0), F(0)), (F(4), F(0)), (F(4), F(3)), (F(0), F(1)))
    seam = (F(2), F(201, 100))
    left = ((F(0), F(1)), seam, (F(2), F(4)), (F(0), F(4)))
    right = (seam, (F(4), F(3)), (F(4), F(4)), (F(2), F(4)))
    exact = snap_outlines([upper, left, right], width_in=F(4), height_in=F(4), tolerance_in=HAIR)
    check_tiling(exact, block=rectangle(F(4), F(4)), step="")
    assert exact[0] == ((0, 0), (4, 0), (4, 3), seam, (0, 1))
    flat = [tuple((x, F(2) if (x, y) == seam else y) for x, y in outline) for outline in (left, right)]
    assert snap_outlines([upper, *flat], width_in=F(4), height_in=F(4), tolerance_in=HAIR)[0] == upper


def test_level_and_upright_seams_stay_straight():
    """The long seam says where it lies; the short one and the lone corner beside it go there."""
    hair, nought, four = F(1, 100), F(0), F(4)
    upper = ((nought, nought), (four, nought), (four, F(2)), (nought, F(2)))
    left = ((nought, 2 + hair), (F(1) + hair, 2 + hair), (F(1), four), (nought, four))
    tip = ((F(1), F(2) - hair), (F(2), four), (F(1), four))
    right = ((F(1), F(2)), (four, 2 + hair), (four, four), (F(2), four))
    exact = snap_outlines([upper, left, tip, right], width_in=four, height_in=four, tolerance_in=HAIR)
    check_tiling(exact, block=rectangle(four, four), step="")
    assert exact[0] == upper
    assert {y for outline in exact for _, y in outline} == {0, 2, 4}


@given(
    st.lists(st.lists(st.tuples(*[st.integers(0, 400)] * 2), min_size=3, max_size=6), min_size=1, max_size=6),
    st.integers(1, 20),
)
def test_nothing_moves_further_than_the_tolerance_to_a_line(spots, hairs):
    outlines = [tuple((F(x, 100), F(y, 100)) for x, y in outline) for outline in spots]
    moved = ruled(outlines, sides_in=(F(4), F(4)), tolerance_in=F(hairs, 100))
    for outline, after in zip(outlines, moved, strict=True):
        for (x, y), (u, v) in zip(outline, after, strict=True):
            assert max(abs(x - u), abs(y - v)) <= F(hairs, 100)
            assert u == x or x not in (0, 4)
            assert v == y or y not in (0, 4)


def test_corners_go_to_the_outline_and_to_the_corner_most_share():
    a = ((F(1, 100), F(-1, 100)), (F(2), F(0)), (F(201, 100), F(4)), (F(0), F(399, 100)))
    b = ((F(201, 100), F(0)), (F(4), F(0)), (F(4), F(4)), (F(201, 100), F(4)))
    exact = snap_outlines([a, b], width_in=F(4), height_in=F(4), tolerance_in=HAIR)
    assert exact[0][0] == (0, 0)
    assert exact[0][3] == (0, 4)
    assert {exact[0][1], exact[0][2]} == {exact[1][0], exact[1][3]}
    check_tiling(exact, block=rectangle(F(4), F(4)), step="")


def test_chains_of_near_corners_do_not_travel():
    points = [(F(i, 100), F(1)) for i in range(0, 401)]
    upper = ((F(0), F(0)), (F(4), F(0)), *reversed(points))
    lower = (*points, (F(4), F(4)), (F(0), F(4)))
    exact = snap_outlines([upper, lower], width_in=F(4), height_in=F(4), tolerance_in=HAIR)
    assert [region_of(outline).area for outline in exact] == [4, 12]


def test_grids_suit_inches_and_millimetres():
    assert grid_for(F(12)) == F(1, 10**6)
    assert grid_for(F(1500, 127)) == F(1, 10**5) * F(5, 127)
    assert grid_for(F(31, 3)) == F(1, 10**6)


@given(st.integers(0, 10**6))
def test_healing_makes_any_crossing_hair_lines_tile(seed):
    """Two patches drawn along one wavy seam, each in its own hand."""
    source = random.Random(seed)

    def seam():
        ys = sorted(source.uniform(0.1, 3.9) for _ in range(source.randint(1, 12)))
        return [(F(2 * 10**6 + source.randint(-7500, 7500), 10**6), F(round(y * 10**6), 10**6)) for y in ys]

    left = ((F(0), F(0)), (F(2), F(0)), *seam(), (F(2), F(4)), (F(0), F(4)))
    right = ((F(2), F(0)), (F(4), F(0)), (F(4), F(4)), (F(2), F(4)), *reversed(seam()))
    exact = fit([left, right], F(4), F(4))
    check_tiling(exact, block=rectangle(F(4), F(4)), step="")
    healed = heal_outlines([left, right], width_in=F(4), height_in=F(4))
    check_tiling(healed, block=rectangle(F(4), F(4)), step="")
    assert all(region_of(outline).is_valid for outline in healed)
    with pytest.raises(TilingError):
        check_tiling([left[:2] + left[-2:], right[1:]], block=rectangle(F(4), F(4)), step="")


def test_misfits_are_measured():
    left = ((F(0), F(0)), (F(2), F(0)), (F(2), F(4)), (F(0), F(4)))
    right = ((F(9, 4), F(0)), (F(4), F(0)), (F(4), F(4)), (F(7, 4), F(4)))
    gap, overlap = sorted(
        find_misfits([left, right], width_in=F(4), height_in=F(4), tolerance_in=HAIR),
        key=lambda misfit: misfit.kind,
    )
    assert (gap.kind, overlap.kind) == ("gap", "overlap")
    assert gap.area_in2 == pytest.approx(0.25, abs=1e-9)
    # The circle inside a right triangle with legs a and b is a + b - hypotenuse across.
    assert gap.widest_in == overlap.widest_in == pytest.approx(0.25 + 2 - (0.25**2 + 4) ** 0.5, abs=1e-4)
    assert overlap.patches == gap.patches == (0, 1)
    assert not find_misfits([left, right], width_in=F(4), height_in=F(4), tolerance_in=F(1, 4))


def test_the_widest_spot_of_long_slivers_is_found_soon():
    ring = box(0, 0, 240, 240).difference(box(0.02, 0.02, 239.98, 239.98))
    (_, across_in), (at, square_in) = widest_spot(ring), widest_spot(box(1, 2, 4, 5))
    assert across_in == pytest.approx(0.02, abs=0.004)
    assert (*at, square_in) == pytest.approx((2.5, 3.5, 3), abs=1e-3)


def test_thick_parts_lose_their_hairlines_alone():
    dumb_bell = Polygon(box(0, 0, 1, 1).union(box(3, 0, 4, 1)).union(box(0, 0.5, 4, 0.51)).exterior)
    parts = thick_parts(dumb_bell, thin_in=1 / 64)
    assert sorted(round(part.area, 3) for part in parts) == [1, 1]
    assert not thick_parts(box(0, 0, 4, 0.0155), thin_in=1 / 64)
    assert thick_parts(box(0, 0, 4, 0.0158), thin_in=1 / 64)[0].area == pytest.approx(4 * 0.0158)
