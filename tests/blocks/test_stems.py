from __future__ import annotations

from fractions import Fraction
from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.paths import parse_path
from blocks.stems import Stem, edge_strain, stem_faults, stem_notes, tightest_radius

F = Fraction


def stem(path, width="1/4"):
    (stroke,) = parse_path(path)
    return Stem(stroke, F(width), F(0), F(0), "two edges to the middle")


def test_a_straight_stem_has_no_bend():
    straight = stem("M 1 1 L 5 9")
    assert tightest_radius(straight.centre, over_in=F(1, 4)) == inf
    assert stem_faults(straight, where="applique 1") == ()
    assert stem_notes(straight, name="stem") == ()


@given(st.integers(2, 40), st.sampled_from(["1/8", "1/4", "3/8", "1/2"]))
def test_the_radius_of_a_parabola_at_its_top(height, width):
    """y = k x^2 written as a quadratic curve; its radius at the top is 1 / 2k."""
    k = height / 64
    (stroke,) = parse_path(f"M -3 {9 * k} Q 0 {-9 * k} 3 {9 * k}")
    found = tightest_radius(stroke, over_in=F(width))
    # Averaged over the stem's width, hence a little more than at the very top.
    assert 1 / (2 * k) * (1 - 1e-3) <= found <= 1 / (2 * k) * (1 + 0.6 * (k * float(F(width))) ** 2 + 1e-2)


def test_a_ring_bends_alike_all_round_wherever_it_begins():
    ring = stem("M 6 3 A 3 3 0 0 1 6 9 A 3 3 0 0 1 6 3 Z")
    assert tightest_radius(ring.centre, over_in=F(1, 4)) == pytest.approx(3)
    drop = stem("M 6 3 C 9 6 9 9 6 9 C 3 9 3 6 6 3 Z")
    assert [fault.message for fault in stem_faults(drop, where="x")] == ["the stem turns a corner at 6, 3"]
    turned = stem("M 6 9 C 3 9 3 6 6 3 C 9 6 9 9 6 9 Z")
    assert tightest_radius(drop.centre, over_in=F(1, 4)) == pytest.approx(
        tightest_radius(turned.centre, over_in=F(1, 4)), rel=0.05
    )


def test_a_handle_on_its_end_is_no_tight_bend():
    eased = stem("M 0 0 C 0 0 4 0 6 3")
    assert tightest_radius(eased.centre, over_in=F(1, 4)) > 1


@pytest.mark.parametrize(
    ("radius", "told"),
    [
        (3, ()),
        ("1.25", ()),  # ten per cent on the nose
        (1, ("12.5%", "press it to the curve")),
        ("0.625", ("20.0%", "press it to the curve")),
        ("0.5", ("25.0%", "Widen the curve to a radius of 0.62 in, narrow the stem to 3/16 in")),
    ],
)
def test_tight_bends_are_told_with_a_mend(radius, told):
    bent = stem(f"M 5 5 a {radius} {radius} 0 0 1 {2 * float(radius)} 0")
    assert stem_faults(bent, where="applique 1 (x)") == ()
    notes = stem_notes(bent, name="left stem")
    assert len(notes) == (1 if told else 0)
    for words in told:
        assert words in notes[0]
        assert notes[0].startswith("left stem: ")


def test_a_bend_that_must_fold_is_refused_with_a_mend():
    bent = stem("M 5 5 a 0.25 0.25 0 0 1 0.5 0", width="1/2")
    (fault,) = stem_faults(bent, where="applique 2 (hook)")
    assert (fault.where, fault.field) == ("applique 2 (hook)", "path")
    assert "radius of 0.25 in" in fault.message
    assert "1/2 in wide" in fault.message
    assert "1.25 in" in fault.mend
    assert edge_strain(F(1, 2), 0.25) == 1


def test_a_cusp_inside_a_curve_is_refused():
    assert stem_faults(stem("M 0 3 C 4 0 0 0 4 3"), where="x")


def test_corners_are_refused_and_slight_kinks_are_not():
    (fault,) = stem_faults(stem("M 0 0 L 4 0 L 4 4"), where="x")
    assert "corner at 4, 0" in fault.message
    assert "Round the corner" in fault.mend
    assert stem_faults(stem("M 0 0 L 4 0 L 8 0.2"), where="x") == ()


def test_edge_strain_is_symmetric_in_scale():
    assert edge_strain(F(1, 2), 2.0) == edge_strain(F(1, 4), 1.0) == 0.125
    assert edge_strain(F(1, 4), 0.0) == inf
    assert edge_strain(F(1, 4), inf) == 0
