"""Pieces on cloth that does not repeat: kept on what was photographed, or said not to fit."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swatches.frame_fit import keep_on_photo
from swatches.swatch import Swatch, make_swatch

WIDTH_IN, HEIGHT_IN = 10.0, 8.0


def cloth(*, repeats: bool) -> Swatch:
    return make_swatch(
        np.zeros((160, 200, 3), np.uint8), key="k", name="n", ppi=20.0, repeats=repeats,
        scale_note="", colour_note="",
    )  # fmt: skip


def test_cloth_that_repeats_is_known_everywhere() -> None:
    fit = keep_on_photo(cloth(repeats=True), (300.0, 50.0, 340.0, 60.0))
    assert (fit.dx_in, fit.dy_in, fit.fits) == (0, 0, True)


def test_a_place_on_the_photo_stays() -> None:
    fit = keep_on_photo(cloth(repeats=False), (1.3, 2.1, 5.3, 6.1))
    assert (fit.dx_in, fit.dy_in, fit.fits) == (0, 0, True)


def test_a_place_off_the_photo_is_taken_modulo_the_room_to_spare() -> None:
    # 4 in on 10 leave 6 to spare: 39 is 3 more than six sixes.
    fit = keep_on_photo(cloth(repeats=False), (39.0, 0.0, 43.0, 4.0))
    assert 39.0 + fit.dx_in == pytest.approx(3.0)
    assert fit.fits


def test_neighbours_on_the_cloth_show_different_spots() -> None:
    seen = {
        round(start + keep_on_photo(cloth(repeats=False), (start, 0, start + 3.5, 3.5)).dx_in, 6)
        for start in (0.0, 3.5, 7.0, 10.5, 14.0, 17.5)
    }
    assert len(seen) == 6


def test_what_is_larger_than_the_photo_says_so() -> None:
    fit = keep_on_photo(cloth(repeats=False), (20.0, 3.0, 31.0, 5.0))
    assert not fit.fits
    assert 20.0 + fit.dx_in == 0.0
    assert fit.dy_in == 0.0


def test_exactly_as_large_as_the_photo_fits() -> None:
    fit = keep_on_photo(cloth(repeats=False), (12.5, 30.0, 12.5 + WIDTH_IN, 30.0 + HEIGHT_IN))
    assert fit.fits
    assert (12.5 + fit.dx_in, 30.0 + fit.dy_in) == (0.0, 0.0)


inches = st.floats(-500, 500)
sides = st.floats(0.1, 12)


@given(left=inches, top=inches, wide=sides, high=sides)
def test_what_fits_lies_wholly_on_the_photo(left: float, top: float, wide: float, high: float) -> None:
    fit = keep_on_photo(cloth(repeats=False), (left, top, left + wide, top + high))
    assert fit.fits == ((left + wide) - left <= WIDTH_IN + 1e-6 and (top + high) - top <= HEIGHT_IN + 1e-6)
    if fit.fits:
        assert left + fit.dx_in >= -1e-6
        assert left + wide + fit.dx_in <= WIDTH_IN + 2e-6
        assert top + fit.dy_in >= -1e-6
        assert top + high + fit.dy_in <= HEIGHT_IN + 2e-6
