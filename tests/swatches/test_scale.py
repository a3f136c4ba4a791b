"""Scale: typed or from two points, with its doubt stated, and nonsense refused."""

from __future__ import annotations

from fractions import Fraction

import pytest

from swatches.clicks import PointError
from swatches.measured_scale import ScaleError
from swatches.scale import ShownAcross, TwoPoints, scale_from_across, scale_from_points, scale_from_ppi

SIZE = {"width_px": 4000, "height_px": 3000}


def test_a_typed_scale_is_taken_at_its_word() -> None:
    scale = scale_from_ppi(300)
    assert scale.ppi == 300
    assert "as typed" in scale.note


@pytest.mark.parametrize("ppi", [0, -5, 9.99, 2400.1, float("nan"), float("inf")])
def test_absurd_densities(ppi: float) -> None:
    with pytest.raises(ScaleError) as caught:
        scale_from_ppi(ppi)
    assert caught.value.mend.endswith(".")


def test_two_points_on_a_ruler() -> None:
    scale = scale_from_points(TwoPoints((100.5, 200.5), (1300.5, 1100.5), Fraction(6)), **SIZE)
    assert scale.ppi == pytest.approx(1500 / 6)
    assert "looked straight down" in scale.note


def test_the_doubt_is_that_of_clicking() -> None:
    # 2 px at either end of 283 px, twice the spread: 2 in 100.
    near = scale_from_points(TwoPoints((10, 10), (210, 210), Fraction(1)), **SIZE)
    assert "±1.0%" in near.note
    far = scale_from_points(TwoPoints((10, 10), (2838, 10), Fraction(10)), **SIZE)
    assert "±0.1%" in far.note


def test_metric_distances_stay_exact() -> None:
    scale = scale_from_points(TwoPoints((0, 0), (1000, 0), Fraction(100 * 5, 127)), **SIZE)
    assert scale.ppi == pytest.approx(254)


@pytest.mark.parametrize(
    ("first", "second", "apart"),
    [
        ((50, 50), (50, 50), 1),
        ((50, 50), (60, 60), 1),
        ((50, 50), (500, 50), 0),
        ((50, 50), (500, 50), -2),
        ((50, 50), (500, 50), 241),
        ((50, 50), (500, 50), 100),
        ((50, 50), (3500, 50), 1),
    ],
)
def test_points_that_give_no_scale(
    first: tuple[float, float], second: tuple[float, float], apart: int
) -> None:
    with pytest.raises(ScaleError) as caught:
        scale_from_points(TwoPoints(first, second, Fraction(apart)), **SIZE)
    assert caught.value.mend.endswith(".")


@pytest.mark.parametrize("outside", [(-1, 5), (4001, 5), (5, 3001), (float("nan"), 5)])
def test_points_outside_the_picture(outside: tuple[float, float]) -> None:
    with pytest.raises(PointError) as caught:
        scale_from_points(TwoPoints((10, 10), outside, Fraction(5)), **SIZE)
    assert "4000 x 3000" in str(caught.value)
    assert caught.value.mend.endswith(".")


def test_cloth_said_to_be_seen_from_edge_to_edge() -> None:
    scale = scale_from_across(ShownAcross(Fraction(10)), width_px=3000)
    assert scale.ppi == 300
    assert "nothing in the photograph bears it out" in scale.note
    assert scale.off is not None
    # Both ends a quarter of an inch out, the same way of 10 inches: it has to cover half of that and the tilt.
    assert 0.035 < scale.off < 0.06
    little = scale_from_across(ShownAcross(Fraction(2)), width_px=3000)
    assert little.off is not None
    assert little.off > 2 * scale.off


@pytest.mark.parametrize(
    ("across_in", "width_px"), [(0, 2000), (-3, 2000), (241, 9000), (1, 2500), (240, 2000)]
)
def test_cloth_that_cannot_be_seen(across_in: int, width_px: int) -> None:
    with pytest.raises(ScaleError) as caught:
        scale_from_across(ShownAcross(Fraction(across_in)), width_px=width_px)
    assert caught.value.mend.endswith(".")
