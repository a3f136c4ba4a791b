"""Every making of every method: pieces hold their patches with the seam round them, and share no cloth."""

from __future__ import annotations

from fractions import Fraction
from itertools import combinations

import pytest
from shapely.geometry import Polygon, box

from blocks.laying import lay_unit
from blocks.motion import STAY
from blocks.pieced import make_units
from blocks.polygons import rectangle
from blocks.steps import Corner, FlippedCorners, StripSet, Triangles
from blocks.tiling import check_tiling

S = Fraction(1, 4)


def triangles(kind, width, height, cloths, method):
    return Triangles("unit", kind, Fraction(width), Fraction(height), cloths, method)


STEPS = {
    "two halves": triangles("half-square triangle", 3, 3, ("a", "b"), "two at a time"),
    "four halves": triangles("half-square triangle", 3, 3, ("a", "b"), "four at a time"),
    "eight halves": triangles("half-square triangle", 3, 3, ("a", "b"), "eight at a time"),
    "hourglass": triangles("quarter-square triangle", 4, 4, ("a", "b"), "two at a time"),
    "four quarters": triangles("quarter-square triangle", 4, 4, ("a", "b", "c", "d"), "cut twice"),
    "four geese": triangles("flying geese", 4, 2, ("a", "b"), "four from one square"),
    "square in a square": triangles("square in a square", 4, 4, ("a", "b"), "cut twice"),
    "one corner": FlippedCorners("unit", Fraction(4), Fraction(3), "a", "", (Corner("top left", "b", Fraction(2)),)),
    "goose": FlippedCorners(
        "unit", Fraction(4), Fraction(2), "a", "",
        (Corner("top left", "b", Fraction(2)), Corner("top right", "b", Fraction(2))),
    ),
    "overlapping corners": FlippedCorners(
        "unit", Fraction(4), Fraction(3), "a", "",
        tuple(Corner(at, at, Fraction(5, 2)) for at in ("top left", "bottom right", "top right", "bottom left")),
    ),
    "strip set": StripSet("unit", Fraction(2), (("a", Fraction(1)), ("b", Fraction(2)), ("c", Fraction(1)))),
}  # fmt: skip


def laid(step, units):
    """Patches of so many units of a step."""
    unit = make_units([step], seam_in=S)[step.name]
    made: dict[str, int] = {}
    return unit, [list(lay_unit(unit, STAY, made=made)) for _ in range(units)]


def pieces_of(unit_patches, step):
    """Polygons on the cut pieces: (batch, making, piece) -> patches mapped back."""
    found: dict[tuple[str, int, int], list[Polygon]] = {}
    for patch in unit_patches:
        making, slot = divmod(patch.occurrence, patch.batch.makes)
        index, motion = patch.leaf.slots[slot]
        back = motion.after(patch.motion.inverse())
        assert float(back.cos**2 + back.sin**2) == pytest.approx(1, abs=1e-12)
        points = back.all(patch.leaf.outline)
        found.setdefault((patch.batch.step, making, index), []).append(
            Polygon([(float(x), float(y)) for x, y in points])
        )
    return found


@pytest.mark.parametrize("name", STEPS)
def test_the_unit_is_tiled_exactly(name):
    unit, units = laid(STEPS[name], 1)
    outline = rectangle(unit.width_in, unit.height_in)
    check_tiling([patch.outline for patch in units[0]], block=outline, step=name)


@pytest.mark.parametrize("name", STEPS)
def test_each_patch_lies_a_seam_inside_its_piece_and_pieces_are_not_used_twice(name):
    """Source: the making itself; the margin is the seam allowance on every side."""
    unit, units = laid(STEPS[name], 8)
    batches = {patch.batch.step: patch.batch for patch in units[0]}
    patches = [patch for one in units for patch in one]
    for (step, _, index), polygons in pieces_of(patches, name).items():
        piece = batches[step].pieces[index]
        width = piece.shape.width_in if piece.pitch_in is None else piece.pitch_in * batches[step].makes
        cloth = box(0, 0, float(width), float(piece.shape.height_in))
        inner = cloth.buffer(-float(S), join_style="mitre").buffer(1e-9)
        for polygon in polygons:
            assert inner.covers(polygon), (polygon.wkt, cloth.wkt)
        for first, second in combinations(polygons, 2):
            # Two triangles of one square lie two seam allowances apart: one for each of their seams.
            assert first.distance(second) > 2 * float(S) - 1e-9


def test_a_flipped_corner_turns_its_print_by_a_quarter():
    """A stripe up the square lies across the finished corner. Source: design rule, two mirrors make a turn."""
    unit, (patches,) = laid(STEPS["one corner"], 1)
    corner = next(patch for patch in patches if patch.role == "b")
    motion = corner.leaf.slots[0][1]
    assert motion.cos == 0
    assert abs(motion.sin) == 1


def test_four_geese_show_the_print_in_four_directions():
    """Common practice, no source: two geese come out with stripes one way, two the other."""
    unit, units = laid(STEPS["four geese"], 4)
    ways = []
    for patches in units:
        goose = next(patch for patch in patches if patch.role == "a")
        motion = goose.leaf.slots[goose.occurrence % 4][1]
        ways.append((int(motion.cos), int(motion.sin)))
    assert sorted(ways) == [(-1, 0), (0, -1), (0, 1), (1, 0)]


def test_two_halves_of_one_pair_lie_half_round():
    unit, units = laid(STEPS["two halves"], 2)
    motions = [next(p for p in patches if p.role == "a").leaf.slots[i][1] for i, patches in enumerate(units)]
    assert (motions[0].cos, motions[1].cos) == (1, -1)
