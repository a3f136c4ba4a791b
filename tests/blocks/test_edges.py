from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import hypot, pi, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from blocks.applique import Applique, lay_applique
from blocks.curves import flatten
from blocks.edges import find_edges
from blocks.motion import STAY
from blocks.paths import parse_path
from blocks.polygons import rectangle
from blocks.repeats import Repeat
from blocks.shapes import Circle, Outline, Pointed
from blocks.stems import Stem
from blocks.values import CutPiece, CutRectangle, Draft, Patch
from blocks.visible import patch_region, visible_outlines

F = Fraction


def draft(outlines, items=(), *, roles="", wanted=(), side=12):
    """A block of these ground patches, one role a letter, with appliqué on it."""
    roles = roles or "abcdefghijklmnopqrstuvwxyz" * 9
    patches = tuple(
        Patch(i, roles[i - 1], tuple(outline), i - 1, STAY, f"ground {i}")
        for i, outline in enumerate(outlines, 1)
    )
    pieces = tuple(CutPiece(i, p.role, CutRectangle(F(1), F(1)), p.step) for i, p in enumerate(patches))
    laid = lay_applique(
        items, ground=rectangle(F(side), F(side)), first_piece=len(pieces), first_patch=len(patches) + 1
    )
    return Draft(
        "test",
        F(side),
        F(side),
        F(1, 4),
        (*pieces, *laid.pieces),
        (*patches, *laid.patches),
        wanted,
        laid.notes,
    )


def box(left, top, right, bottom):
    return tuple((F(x), F(y)) for x, y in ((left, top), (right, top), (right, bottom), (left, bottom)))


def stem(path, width="1/4"):
    (stroke,) = parse_path(path)
    return Stem(stroke, F(width), F(1, 4), F(1, 4), "two edges to the middle")


def circle(x, y, across):
    return Circle((F(x), F(y)), F(across))


def lengths(edges):
    return {(edge.first, edge.second): edge.length_in for edge in edges}


def assert_first_is_on_the_right(found, edges):
    regions = {patch.number: patch_region(patch) for patch in found.patches}
    for edge in edges:
        assert edge.runs
        for run in edge.runs:
            (x, y), (v, w) = max(
                pairwise(run), key=lambda side: hypot(side[1][0] - side[0][0], side[1][1] - side[0][1])
            )
            dx, dy = float(v - x), float(w - y)
            if hypot(dx, dy) < 0.01:
                continue  # too short to step aside from
            mx, my, long = float(x + v) / 2, float(y + w) / 2, hypot(dx, dy)
            # An appliqué edge is walked a hundred-thousandth of an inch outside its shape.
            right, left = 2.5e-5 / long, 5e-6 / long
            assert regions[edge.first].covers(Point(mx - dy * right, my + dx * right))
            assert regions[edge.second].covers(Point(mx + dy * left, my - dx * left))


def boundary_sums(found, edges):
    """Twice the length of all edges with the outline of the block, and the length round all that shows."""
    shown = [
        LineString([*((float(x), float(y)) for x, y in ring), tuple(map(float, ring[0]))]).length
        for parts in visible_outlines(found)
        for part in parts
        for ring in part
    ]
    around = 2 * float(found.finished_width_in + found.finished_height_in)
    return 2 * sum(edge.length_in for edge in edges) + around, sum(shown)


WHOLE = [box(0, 0, 12, 12)]
HALVES = [box(0, 0, 6, 12), box(6, 0, 12, 12)]


def test_two_halves_meet_in_one_exact_seam():
    (edge,) = find_edges(draft(HALVES))
    assert (edge.first, edge.second, edge.kind, edge.length_in, edge.wanted) == (1, 2, "seam", 12, True)
    # Walking down, the left half as seen is on the right hand.
    assert edge.runs == (((F(6), F(0)), (F(6), F(12))),)
    assert_first_is_on_the_right(draft(HALVES), [edge])
    assert all(isinstance(number, Fraction) for run in edge.runs for point in run for number in point)


def test_a_corner_in_the_middle_of_a_side():
    found = draft([box(0, 0, 12, 4), box(0, 4, 5, 12), box(5, 4, 12, 12)])
    edges = find_edges(found)
    assert lengths(edges) == {(1, 2): 5, (1, 3): 7, (2, 3): 8}
    assert_first_is_on_the_right(found, edges)


def test_a_staircase_seam_is_one_run_and_corners_on_a_straight_line_are_left_out():
    upper = tuple((F(x), F(y)) for x, y in ((0, 0), (12, 0), (12, 4), (9, 4), (6, 4), (6, 8), (0, 8)))
    lower = tuple((F(x), F(y)) for x, y in ((12, 4), (12, 12), (0, 12), (0, 8), (3, 8), (6, 8), (6, 4)))
    found = draft([upper, lower])
    (edge,) = find_edges(found)
    assert len(edge.runs) == 1
    assert len(edge.runs[0]) == 4
    assert edge.length_in == 16
    assert_first_is_on_the_right(found, [edge])


def test_patches_that_meet_twice_have_one_edge_of_two_runs():
    cross = tuple(
        (F(x), F(y)) for x, y in ((0, 0), (12, 0), (12, 12), (0, 12), (0, 8), (6, 8), (6, 4), (0, 4))
    )
    found = draft([cross, box(0, 4, 3, 8), box(3, 4, 6, 8)])
    edges = find_edges(found)
    assert lengths(edges) == {(1, 2): 6, (1, 3): 10, (2, 3): 4}
    assert [len(edge.runs) for edge in edges] == [2, 1, 1]
    assert_first_is_on_the_right(found, edges)


def test_corners_that_only_touch_are_no_edge():
    found = draft([box(0, 0, 6, 6), box(6, 0, 12, 6), box(0, 6, 6, 12), box(6, 6, 12, 12)])
    assert set(lengths(find_edges(found))) == {(1, 2), (1, 3), (2, 4), (3, 4)}


def test_thirds_and_sevenths_meet_exactly():
    found = draft([box(0, 0, 12, F(4, 7)), box(0, F(4, 7), F(1, 3), 12), box(F(1, 3), F(4, 7), 12, 12)])
    assert [edge.first for edge in find_edges(found)] == [1, 1, 2]
    assert sum(edge.length_in for edge in find_edges(found)) == pytest.approx(12 + 12 - 4 / 7)


def test_patches_meet_along_a_curve_by_its_shared_points():
    (inside,) = parse_path("M 0 0 H 6 A 6 6 0 0 1 0 6 Z")
    (outside,) = parse_path("M 6 0 H 12 V 12 H 0 V 6 A 6 6 0 0 0 6 0 Z")
    found = draft([flatten(inside), flatten(outside)])
    (edge,) = find_edges(found)
    assert len(edge.runs) == 1
    assert edge.length_in == pytest.approx(3 * pi, abs=0.003)
    assert_first_is_on_the_right(found, [edge])


def test_float_corners_meet_where_they_are_the_same_floats():
    a = 6 - 3 * sqrt(2)
    left = ((F(0), F(0)), (a, F(0)), (12 - a, F(12)), (F(0), F(12)))
    right = ((a, F(0)), (F(12), F(0)), (F(12), F(12)), (12 - a, F(12)))
    assert lengths(find_edges(draft([left, right]))) == {(1, 2): pytest.approx(hypot(12, 12 - 2 * a))}


@st.composite
def guillotine(draw):
    """A block cut again and again from edge to edge, as makers cut; any fraction, so corners meet sides."""
    boxes = [(F(0), F(0), F(12), F(12))]
    for _ in range(draw(st.integers(1, 14))):
        left, top, right, bottom = boxes.pop(draw(st.integers(0, len(boxes) - 1)))
        part = draw(st.sampled_from([F(1, 2), F(1, 3), F(2, 5), F(3, 7), F(5, 8)]))
        if draw(st.booleans()):
            cut = left + part * (right - left)
            boxes += [(left, top, cut, bottom), (cut, top, right, bottom)]
        else:
            cut = top + part * (bottom - top)
            boxes += [(left, top, right, cut), (left, cut, right, bottom)]
    return [box(*sides) for sides in boxes]


@given(guillotine())
def test_seams_of_any_cutting_account_for_every_side(outlines):
    found = draft(outlines)
    edges = find_edges(found)
    assert_first_is_on_the_right(found, edges)
    edges_and_outline, shown = boundary_sums(found, edges)
    # Seams shorter than a hundredth of an inch are left out.
    assert edges_and_outline == pytest.approx(shown, abs=0.02 * len(outlines) ** 2)
    # Against shapely, pair by pair.
    for one in found.patches:
        for other in found.patches[one.number :]:
            met = Polygon(one.outline).intersection(Polygon(other.outline)).length
            ours = lengths(edges).get((one.number, other.number), 0.0)
            assert ours == pytest.approx(met, abs=1e-6) or met < 0.01


@st.composite
def flowers(draw):
    """Overlapping circles, leaves, stems and repeats at random on the ground."""
    items = []
    for k in range(draw(st.integers(1, 5))):
        x, y = draw(st.integers(27, 69)), draw(st.integers(27, 69))
        kind = draw(st.sampled_from(["circle", "leaf", "stem", "petals"]))
        at = (F(x, 8) + F(k, 97), F(y, 8) + F(k, 89))
        if kind == "circle":
            shape, repeat = Circle(at, F(draw(st.integers(4, 24)), 8)), Repeat()
        elif kind == "stem":
            (stroke,) = parse_path(f"M {float(at[0])} {float(at[1])} C 6 3 9 9 {9.5 + k / 7} {4 + k / 3}")
            shape, repeat = Stem(stroke, F(1, 4), F(0), F(0), "two edges to the middle"), Repeat()
        else:
            shape = Pointed("leaf", at, F(2), F(3, 4), F(draw(st.integers(0, 359))), F(0))
            repeat = (
                Repeat(draw(st.integers(1, 3)), mirrored=draw(st.booleans()))
                if kind == "petals"
                else Repeat()
            )
        items.append(Applique(f"shape {k}", "pqrst"[k], shape, repeat))
    return items


@settings(max_examples=40, deadline=None)
@given(guillotine(), flowers())
def test_edges_account_for_all_that_shows(outlines, items):
    found = draft(outlines, items)
    edges = find_edges(found)
    assert_first_is_on_the_right(found, edges)
    edges_and_outline, shown = boundary_sums(found, edges)
    assert edges_and_outline == pytest.approx(shown, abs=0.02 * (len(edges) + len(outlines)))


def test_a_leaf_over_a_seam_has_an_edge_with_each_ground_patch_and_hides_the_seam_beneath():
    leaf = Pointed("leaf", (F(4), F(6)), F(4), F(1), F(90), F(0))
    found = draft(HALVES, [Applique("leaf", "leaf", leaf)])
    edges = find_edges(found)
    assert [(edge.first, edge.second, edge.kind) for edge in edges] == [
        (1, 2, "seam"), (3, 1, "applique"), (3, 2, "applique"),
    ]  # fmt: skip
    assert_first_is_on_the_right(found, edges)
    seam, left, right = edges
    assert len(seam.runs) == 2
    assert seam.length_in == pytest.approx(11, abs=0.02)
    around = Polygon(found.patches[2].outline).length
    assert left.length_in + right.length_in == pytest.approx(around, abs=0.01)
    assert len(left.runs) == len(right.runs) == 1


def test_two_stems_that_cross():
    found = draft(
        WHOLE, [Applique("low", "stem", stem("M 2 6 H 10")), Applique("high", "vine", stem("M 6 2 V 10"))]
    )
    edges = find_edges(found)
    assert_first_is_on_the_right(found, edges)
    got = lengths(edges)
    # The upper stem meets the lower one along both its sides, the lower stem the ground but for the crossing.
    assert got[3, 2] == pytest.approx(0.5, abs=0.002)
    assert got[3, 1] == pytest.approx(2 * 8.5, abs=0.01)
    assert got[2, 1] == pytest.approx(2 * 8.5, abs=0.01)
    assert [len(edge.runs) for edge in edges] == [2, 2, 2]


def test_a_hidden_shape_and_a_hidden_seam_have_no_edges():
    items = [Applique("lost", "leaf", circle(6, 6, 1)), Applique("eye", "centre", circle(6, 6, 2))]
    edges = find_edges(draft(WHOLE, items))
    assert [(edge.first, edge.second) for edge in edges] == [(3, 1)]
    small = [box(0, 0, 12, 6), box(0, 6, 6, 7), box(6, 6, 12, 7), box(0, 7, 12, 12)]
    cover = Outline(tuple((F(x), F(y)) for x, y in ((5, 5), (7, 5), (7, 8), (5, 8))))
    found = draft(small, [Applique("cover", "leaf", cover)])
    assert (2, 3) not in lengths(find_edges(found))
    assert lengths(find_edges(found))[5, 2] == pytest.approx(1, abs=0.002)


def test_shapes_side_by_side_meet_each_other_not_the_ground():
    left = Outline(tuple((F(x), F(y)) for x, y in ((4, 4), (6, 4), (6, 8), (4, 8))))
    right = Outline(tuple((F(x), F(y)) for x, y in ((6, 4), (8, 4), (8, 8), (6, 8))))
    found = draft(WHOLE, [Applique("left", "p", left), Applique("right", "q", right)])
    edges = find_edges(found)
    assert_first_is_on_the_right(found, edges)
    assert lengths(edges) == {
        (2, 1): pytest.approx(8, abs=0.01),
        (3, 1): pytest.approx(8, abs=0.01),
        (3, 2): pytest.approx(4, abs=0.01),
    }


def test_a_ring_has_an_inner_and_an_outer_edge_and_none_with_itself():
    ring = stem("M 6 3 A 3 3 0 0 1 6 9 A 3 3 0 0 1 6 3 Z")
    (edge,) = find_edges(draft(WHOLE, [Applique("ring", "stem", ring)]))
    assert edge.length_in == pytest.approx(2 * pi * (3.125 + 2.875), abs=0.03)
    assert len(edge.runs) == 2
    # Round the outside clockwise as seen, round the hole the other way.
    areas = sorted(sum(x * w - v * y for (x, y), (v, w) in pairwise(run)) / 2 for run in edge.runs)
    assert areas == pytest.approx([-pi * 2.875**2, pi * 3.125**2], rel=0.002)


def test_no_edge_runs_along_the_outside_of_the_block():
    found = draft(
        WHOLE, [Applique("stem", "stem", stem("M 6 12 V 6")), Applique("eye", "eye", circle(6, 6, 2))]
    )
    edges = find_edges(found)
    assert max(float(y) for edge in edges for run in edge.runs for _, y in run) <= 12.001
    assert lengths(edges)[2, 1] == pytest.approx(2 * (6 - sqrt(1 - 1 / 64)), abs=0.002)


def test_which_edges_should_read():
    items = [Applique("eye", "b", circle(6, 6, 2)), Applique("ring", "c", circle(6, 6, 1))]
    plain = find_edges(draft(HALVES, items, roles="aa"))
    assert [edge.wanted for edge in plain] == [False, True, True, True]
    found = draft(HALVES, items, roles="aa", wanted=(("a", "a", True), ("b", "a", False)))
    assert [edge.wanted for edge in find_edges(found)] == [True, False, False, True]
    over = find_edges(found, wanted={frozenset(("a", "b")): True, frozenset("a"): False})
    assert [edge.wanted for edge in over] == [False, True, True, True]
    assert [edge.wanted for edge in find_edges(found, unread=("ring",))] == [True, False, False, False]
    assert [edge.wanted for edge in find_edges(replace(found, unread=("ring",)))] == [
        True,
        False,
        False,
        False,
    ]


def test_a_copy_exactly_on_another_leaves_no_edge_of_the_lower():
    item = Applique("twin", "leaf", circle(6, 6, 2), Repeat(turns=2))
    found = draft(WHOLE, [item])
    assert set(lengths(find_edges(found))) == {(3, 1)}
    half = Outline(box(5, 5, 6, 7))  # shares three of its sides' lines with what lies on it
    edges = find_edges(
        draft(WHOLE, [Applique("half", "p", half), Applique("whole", "q", Outline(box(5, 5, 7, 7)))])
    )
    assert lengths(edges) == {(3, 1): pytest.approx(8, abs=0.002)}
