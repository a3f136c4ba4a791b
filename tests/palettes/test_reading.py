from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from palettes.encodings import luminance
from palettes.lightness import lin_from_lab, luminance_of_lightness
from palettes.reading import WORDS, judge_edge, word_for
from palettes.reasons import busy_word
from palettes.thresholds import THRESHOLDS
from palettes.viewing import IN_HAND

PLACES = 40
LIGHT = arrays(np.float64, (PLACES, 3), elements=st.floats(0, 1))


def grey(L: float) -> np.ndarray:
    """A plain grey cloth of this lightness, at every place."""
    return np.full((PLACES, 3), float(luminance_of_lightness(L)))


def lab(*values: float) -> np.ndarray:
    """A plain cloth of this CIELAB colour, at every place."""
    return np.tile(lin_from_lab(np.array(values, dtype=np.float64)), (PLACES, 1))


def striped(dark_L: float, light_L: float) -> np.ndarray:
    """Stripes that cross the edge, one place each."""
    cloth = grey(light_L)
    cloth[::2] = grey(dark_L)[::2]
    return cloth


@given(LIGHT, LIGHT, LIGHT, LIGHT)
def test_swapping_the_sides_changes_no_figure(
    first: np.ndarray, second: np.ndarray, first_inside: np.ndarray, second_inside: np.ndarray
) -> None:
    there = judge_edge(first, second, first_inside=first_inside, second_inside=second_inside)
    back = judge_edge(second, first, first_inside=second_inside, second_inside=first_inside)
    assert (back.first_L, back.second_L) == (there.second_L, there.first_L)
    for figure in ("diff_L", "value_steps", "dE00", "share_shows", "share_with_colour", "share_false"):
        assert getattr(back, figure) == pytest.approx(getattr(there, figure), abs=1e-9), figure


@given(LIGHT, LIGHT)
def test_a_cloth_is_lost_on_itself(cloth: np.ndarray, inside: np.ndarray) -> None:
    reading = judge_edge(cloth, cloth, first_inside=inside)
    assert (reading.share_shows, reading.share_with_colour) == (0, 0)
    assert (reading.diff_L, reading.dE00, reading.value_steps) == (0, 0, 0)
    assert reading.word == reading.word_with_colour == "lost"


@given(LIGHT, LIGHT, LIGHT)
def test_shares_are_shares_and_colour_never_hurts(
    first: np.ndarray, second: np.ndarray, inside: np.ndarray
) -> None:
    reading = judge_edge(first, second, first_inside=inside)
    assert 0 <= reading.share_shows <= reading.share_with_colour <= 1
    assert 0 <= reading.share_false <= 1
    assert reading.share_lost == 1 - reading.share_shows
    assert reading.word in WORDS


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100))
def test_a_larger_step_never_shows_less(ground_L: float, near_L: float, far_L: float) -> None:
    near_L, far_L = sorted((near_L, far_L), key=lambda L: abs(L - ground_L))
    near, far = (judge_edge(grey(L), grey(ground_L)).share_shows for L in (near_L, far_L))
    assert near <= far + 1e-9


@pytest.mark.parametrize(
    ("first_L", "second_L", "share", "word"),
    [
        (75, 75, 0.0, "lost"),
        (75, 72, 0.076, "lost"),  # Phi(-1.4) - Phi(-2.6)
        (75, 66, 0.421, "soft"),  # Phi(-0.2) - Phi(-3.8)
        (75, 65, 0.5, "soft"),
        (35, 20, 0.841, "clear"),  # Phi(1)
        (95, 75, 0.977, "clear"),  # Phi(2)
        (10, 95, 1.0, "clear"),
    ],
)
def test_plain_cloths(first_L: float, second_L: float, share: float, word: str) -> None:
    reading = judge_edge(
        grey(first_L), grey(second_L), first_inside=grey(first_L), second_inside=grey(second_L)
    )
    assert reading.share_shows == pytest.approx(share, abs=5e-4)
    assert reading.word == word
    assert reading.diff_L == pytest.approx(abs(first_L - second_L), abs=1e-6)
    assert reading.value_steps == pytest.approx(reading.diff_L / 10, abs=0.15)
    assert reading.share_false == 0


def test_the_lightness_of_a_print_is_that_of_its_mean_light() -> None:
    """Half black, half white is L* 76, not 50."""
    reading = judge_edge(striped(0, 100), grey(50))
    assert reading.first_L == pytest.approx(76.069, abs=1e-3)


def test_means_of_the_whole_cloth_can_stand_in() -> None:
    reading = judge_edge(grey(30), grey(80), first_mean_lin=grey(60)[0], second_mean_lin=grey(70)[0])
    assert (reading.first_L, reading.second_L) == (pytest.approx(60), pytest.approx(70))
    assert reading.diff_L == pytest.approx(10)
    assert reading.share_shows == judge_edge(grey(30), grey(80)).share_shows


def test_half_of_a_stripe_is_lost_on_its_own_light_colour() -> None:
    reading = judge_edge(striped(15, 95), grey(95))
    assert reading.share_shows == pytest.approx(0.5, abs=1e-6)
    assert reading.word == "soft"
    assert "come close" in reading.reason


def test_where_the_lighter_side_changes_over_the_lesser_part_counts_half() -> None:
    reading = judge_edge(striped(5, 95), grey(50))
    assert reading.share_shows == pytest.approx(0.75, abs=1e-6)
    assert "changes over" in reading.reason
    steady = judge_edge(striped(5, 95), grey(50), thresholds=replace(THRESHOLDS, turned_weight=1.0))
    assert steady.share_shows == pytest.approx(1.0, abs=1e-6)


def test_a_busy_print_pays_for_its_own_edges() -> None:
    print_there, print_inside = striped(55, 90), striped(90, 55)
    seen = judge_edge(print_there, grey(20)).share_shows
    paid = judge_edge(print_there, grey(20), first_inside=print_inside, second_inside=grey(20))
    assert paid.share_shows == pytest.approx(seen - THRESHOLDS.false_edge_weight, abs=1e-6)
    assert paid.share_false == pytest.approx(THRESHOLDS.false_edge_weight, abs=1e-6)
    assert "edges of their own" in paid.reason


@pytest.mark.parametrize(
    ("busy", "word"), [(0, "plain"), (0.049, "plain"), (0.05, "lively"), (0.25, "busy"), (1, "busy")]
)
def test_how_busy_in_a_word(busy: float, word: str) -> None:
    assert busy_word(busy) == word


def test_a_step_inside_a_solid_costs_nothing_even_beside_a_busy_print() -> None:
    busy = striped(20, 40)
    reading = judge_edge(busy, grey(95), first_inside=busy, second_inside=grey(95))
    assert reading.share_false == 0
    assert reading.word == "clear"


def test_places_without_cloth_further_inside_are_left_out() -> None:
    inside = striped(90, 20)
    narrow = inside.copy()
    narrow[: PLACES // 2] = np.nan
    all_places = judge_edge(striped(20, 90), grey(20), first_inside=inside)
    some_places = judge_edge(striped(20, 90), grey(20), first_inside=narrow)
    assert some_places.share_shows == pytest.approx(all_places.share_shows, abs=1e-9)
    no_place = judge_edge(striped(20, 90), grey(20), first_inside=np.full_like(inside, np.nan))
    assert no_place == judge_edge(striped(20, 90), grey(20))


def test_red_on_green_of_one_value_is_carried_by_colour_alone() -> None:
    reading = judge_edge(lab(45, 60, 35), lab(45, -45, 30))
    assert (reading.word, reading.word_with_colour) == ("lost", "clear")
    assert reading.dE00 > 60
    assert "Colour alone" in reading.reason
    assert "for some eyes" in reading.reason


def test_a_step_of_blue_and_yellow_alone_counts_for_little() -> None:
    reading = judge_edge(lab(70, 0, 45), lab(70, 0, -35))
    assert reading.dE00 > 40
    assert reading.share_with_colour < 0.4
    across = judge_edge(lab(70, 40, 0), lab(70, -40, 0))
    assert across.share_with_colour > 0.9


def test_the_distance_is_told_in_the_reason() -> None:
    assert "from 6 feet" in judge_edge(grey(30), grey(80)).reason
    assert "in the hand" in judge_edge(grey(30), grey(80), viewing=IN_HAND).reason


@pytest.mark.parametrize(
    ("share", "word"),
    [(0.0, "lost"), (0.3999, "lost"), (0.4, "soft"), (0.7999, "soft"), (0.8, "clear"), (1.0, "clear")],
)
def test_words(share: float, word: str) -> None:
    assert word_for(share) == word


def test_other_thresholds_can_be_tried() -> None:
    strict = replace(THRESHOLDS, half_seen_L=30.0, clear_share=0.95)
    assert judge_edge(grey(50), grey(75)).word == "clear"
    assert judge_edge(grey(50), grey(75), thresholds=strict).word == "lost"


def test_float32_is_read_like_float64() -> None:
    first, second = striped(20, 60), grey(70)
    near = judge_edge(first.astype(np.float32), second.astype(np.float32))
    assert near.share_shows == pytest.approx(judge_edge(first, second).share_shows, abs=1e-4)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (np.ones((0, 3)), np.ones((0, 3))),
        (np.ones((4, 3)), np.ones((5, 3))),
        (np.ones((4, 4)), np.ones((4, 4))),
        (np.ones(3), np.ones(3)),
        (np.full((4, 3), np.nan), np.ones((4, 3))),
    ],
)
def test_sides_that_do_not_fit_are_refused(first: np.ndarray, second: np.ndarray) -> None:
    with pytest.raises(ValueError, match=r"first_lin|second_lin"):
        judge_edge(first, second)


def test_an_inside_of_other_places_is_refused() -> None:
    with pytest.raises(ValueError, match="first_inside"):
        judge_edge(grey(30), grey(80), first_inside=grey(30)[:5])


@given(LIGHT, LIGHT, LIGHT)
def test_every_reason_is_one_sentence(first: np.ndarray, second: np.ndarray, inside: np.ndarray) -> None:
    reason = judge_edge(first, second, first_inside=inside).reason
    assert reason[0].isupper()
    assert reason.endswith(".")
    assert ". " not in reason


def test_luminance_alone_decides_the_headline() -> None:
    """Two colours of one luminance, however different, show no step of value."""
    first, second = lab(60, 50, 20), lab(60, -50, 20)
    assert luminance(first)[0] == pytest.approx(float(luminance(second)[0]))
    assert judge_edge(first, second).share_shows == pytest.approx(0, abs=1e-9)
