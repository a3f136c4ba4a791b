from __future__ import annotations

from math import exp

import pytest

from palettes.viewing import ACROSS_ROOM, ACROSS_TABLE, IN_HAND, Viewing, compared_radius_in


def test_a_degree_seen_from_six_feet_is_an_inch_and_a_quarter() -> None:
    """72 in times the tangent of 1 degree is 1.25676 in; the eye's blur is a twentieth of it."""
    assert ACROSS_TABLE.distance_in == 72
    assert ACROSS_TABLE.spread_in == pytest.approx(1.25676 / 20, rel=1e-3)


def test_spread_and_sigma_are_the_same_blur() -> None:
    r = 0.03
    spread, sigma = IN_HAND.spread_in, IN_HAND.sigma_in
    assert exp(-((r / spread) ** 2)) == pytest.approx(exp(-(r**2) / (2 * sigma**2)))


def test_farther_is_blurrier() -> None:
    assert IN_HAND.spread_in < ACROSS_TABLE.spread_in < ACROSS_ROOM.spread_in


@pytest.mark.parametrize("distance_in", [0, -1, float("nan"), float("inf")])
def test_a_distance_that_is_none_is_refused(distance_in: float) -> None:
    with pytest.raises(ValueError, match="viewing distance"):
        Viewing("from nowhere", distance_in)


def test_a_narrow_stem_is_compared_over_less_cloth() -> None:
    assert compared_radius_in(0.25) == 1 / 16
    assert compared_radius_in(0.5) == 1 / 8
    assert compared_radius_in(3) == 1 / 8
