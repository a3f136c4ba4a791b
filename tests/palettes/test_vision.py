from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lab_from_lin, lightness
from palettes.reading import judge_edge
from palettes.vision import OLDEST_YEARS, YOUNG_YEARS, as_seen_at_age, as_seen_by, eyes_matrix

KINDS = ("protan", "deutan", "tritan")
LIGHT = arrays(np.float64, (3,), elements=st.floats(0, 1))


@given(st.floats(0, 1), st.sampled_from(KINDS), st.floats(0, 1))
def test_greys_stay_grey(grey: float, eyes: str, severity: float) -> None:
    # The printed matrices' rows sum to 1 within a millionth or two.
    np.testing.assert_allclose(as_seen_by(np.full(3, grey), eyes=eyes, severity=severity), grey, atol=3e-6)


@given(LIGHT, st.sampled_from(KINDS))
def test_severity_0_changes_nothing(light: np.ndarray, eyes: str) -> None:
    np.testing.assert_array_equal(as_seen_by(light, eyes=eyes, severity=0), light)


@given(LIGHT, st.sampled_from(KINDS), st.floats(0, 1))
def test_light_stays_within_what_can_be_shown(light: np.ndarray, eyes: str, severity: float) -> None:
    seen = as_seen_by(light, eyes=eyes, severity=severity)
    assert ((seen >= 0) & (seen <= 1)).all()


def test_between_two_tenths_lies_the_mean() -> None:
    mean = (eyes_matrix("protan", severity=0.3) + eyes_matrix("protan", severity=0.4)) / 2
    np.testing.assert_allclose(eyes_matrix("protan", severity=0.35), mean, rtol=0, atol=1e-12)


@pytest.mark.parametrize("severity", [-0.1, 1.01, float("nan")])
def test_a_severity_that_is_none_is_refused(severity: float) -> None:
    with pytest.raises(ValueError, match="severity"):
        eyes_matrix("deutan", severity=severity)


def test_red_darkens_for_protan_eyes() -> None:
    red = srgb8_to_lin(np.uint8([255, 0, 0]))
    loss = lightness(luminance(red)) - lightness(luminance(as_seen_by(red, eyes="protan")))
    assert 12 < loss < 14


def test_red_on_green_of_one_value_is_lost_to_deutan_eyes() -> None:
    red, green = srgb8_to_lin(np.uint8([(190, 62, 52), (58, 126, 60)])).astype(np.float64)
    typical = judge_edge(np.tile(red, (4, 1)), np.tile(green, (4, 1)))
    deutan = judge_edge(*(np.tile(as_seen_by(side, eyes="deutan"), (4, 1)) for side in (red, green)))
    assert typical.word_with_colour == "clear"
    assert deutan.word_with_colour == "lost"


def test_an_old_lens_yellows_white_and_a_young_one_does_not() -> None:
    white = np.ones((1, 3))
    np.testing.assert_array_equal(as_seen_at_age(white, years=YOUNG_YEARS), white)
    b = [lab_from_lin(as_seen_at_age(white, years=years))[0, 2] for years in (25, 40, 60, 80)]
    assert b == sorted(b)
    assert b[-1] > 20
    assert as_seen_at_age(white, years=80)[0, 0] == 1


@given(LIGHT, st.floats(YOUNG_YEARS, OLDEST_YEARS))
def test_a_lens_never_adds_light(light: np.ndarray, years: float) -> None:
    assert (as_seen_at_age(light, years=years) <= light).all()


@pytest.mark.parametrize("years", [10, 101, float("nan")])
def test_an_age_outside_the_measurements_is_refused(years: float) -> None:
    with pytest.raises(ValueError, match="age"):
        as_seen_at_age(np.ones(3), years=years)


def test_float32_stays() -> None:
    light = np.ones((2, 3), dtype=np.float32)
    assert as_seen_by(light, eyes="tritan").dtype == np.float32
    assert as_seen_at_age(light, years=70).dtype == np.float32
