from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lab_from_lin, lightness
from palettes.reading import judge_edge
from palettes.seeing import as_viewed, under_warm_lamp
from palettes.viewing import ACROSS_TABLE, Viewing

LIGHT = arrays(np.float64, (4, 3), elements=st.floats(0, 1))


def viewing(**more: object) -> Viewing:
    return Viewing("from 6 feet", 72, **more)


@given(LIGHT)
def test_the_usual_way_of_looking_changes_nothing(light: np.ndarray) -> None:
    assert as_viewed(light, ACROSS_TABLE) is light
    assert ACROSS_TABLE.is_usual


@given(st.floats(0, 1))
def test_a_lamp_leaves_greys_grey(grey: float) -> None:
    np.testing.assert_allclose(under_warm_lamp(np.full((1, 3), grey)), grey, atol=1e-9)


def test_a_lamp_lifts_reds_and_lowers_blues() -> None:
    red, blue = srgb8_to_lin(np.uint8([(190, 60, 50), (60, 90, 160)])).astype(np.float64)
    move = [
        float(lightness(luminance(under_warm_lamp(each))) - lightness(luminance(each)))
        for each in (red, blue)
    ]
    assert 1.5 < move[0] < 5
    assert -4 < move[1] < -0.5


def test_a_projector_lifts_black_to_one_part_in_twenty() -> None:
    seen = as_viewed(np.array([[0.0] * 3, [1.0] * 3]), viewing(shown="projector"))
    assert luminance(seen[1]) / luminance(seen[0]) == pytest.approx(21)
    assert luminance(seen[1]) == pytest.approx(1)


def test_what_does_not_show_there_is_still_not_there() -> None:
    holes = np.full((2, 3), np.nan)
    for more in ({"light": "warm lamp"}, {"shown": "screen"}, {"eyes": "protan"}, {"years": 70}):
        assert np.isnan(as_viewed(holes, viewing(**more))).all()


def test_red_on_black_darkens_to_protan_eyes() -> None:
    """Red loses about 8 L* on black to protan eyes, and with it part of the edge."""
    red, black = (np.tile(lab, (4, 1)) for lab in srgb8_to_lin(np.uint8([(150, 30, 30), (25, 25, 25)])))
    usual, protan = judge_edge(red, black), judge_edge(red, black, viewing=viewing(eyes="protan"))
    assert 5 < usual.diff_L - protan.diff_L < 12
    assert protan.share_shows < usual.share_shows
    assert "to protan eyes" in protan.reason


def test_a_yellowed_lens_brings_blue_nearer_to_black() -> None:
    blue, black = (np.tile(lab, (4, 1)) for lab in srgb8_to_lin(np.uint8([(30, 50, 140), (10, 10, 10)])))
    young, old = judge_edge(blue, black), judge_edge(blue, black, viewing=viewing(years=80))
    assert old.diff_L < young.diff_L


@pytest.mark.parametrize(
    "more",
    [
        {"eyes": "owl"},
        {"shown": "paper"},
        {"light": "candle"},
        {"severity": 1.1},
        {"severity": float("nan")},
        {"years": 20},
        {"years": 101},
    ],
)
def test_settings_that_are_none_are_refused(more: dict[str, object]) -> None:
    with pytest.raises(ValueError, match=next(iter(more))):
        viewing(**more)


def test_all_that_is_not_usual_is_said() -> None:
    words = viewing(shown="screen", light="warm lamp", eyes="deutan", severity=0.6, years=70).full_words
    assert (
        words == "from 6 feet on a screen under a warm lamp to deutan eyes at 0.6 through a lens of 70 years"
    )


def test_lab_of_the_lamp_keeps_white() -> None:
    np.testing.assert_allclose(lab_from_lin(under_warm_lamp(np.ones((1, 3)))), [[100, 0, 0]], atol=1e-6)
