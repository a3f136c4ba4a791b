from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lab_from_lin, lightness, lin_from_lab, luminance_of_lightness

LIGHT = arrays(np.float64, (3,), elements=st.floats(0, 1))


def test_black_and_white() -> None:
    np.testing.assert_allclose(
        lab_from_lin(np.array([[0.0] * 3, [1.0] * 3])), [(0, 0, 0), (100, 0, 0)], atol=1e-12
    )


def test_greys_are_neutral() -> None:
    greys = np.repeat(np.linspace(0, 1, 101)[:, None], 3, axis=1)
    assert np.abs(lab_from_lin(greys)[:, 1:]).max() < 1e-12
    assert np.abs(lab_from_lin(greys.astype(np.float32))[:, 1:]).max() < 1e-3


@given(LIGHT)
def test_the_l_of_lab_is_the_lightness_of_the_luminance(light: np.ndarray) -> None:
    assert lab_from_lin(light)[0] == pytest.approx(float(lightness(luminance(light))), abs=1e-9)


@given(LIGHT)
def test_lab_and_back(light: np.ndarray) -> None:
    np.testing.assert_allclose(lin_from_lab(lab_from_lin(light)), light, rtol=0, atol=1e-12)


@given(st.floats(0, 100))
def test_lightness_and_back(L: float) -> None:
    assert lightness(luminance_of_lightness(L)) == pytest.approx(L, abs=1e-9)


def test_float32_stays_and_is_near_enough() -> None:
    codes = np.random.default_rng(3).integers(0, 256, (40, 50, 3), dtype=np.uint8)
    light = srgb8_to_lin(codes)
    lab = lab_from_lin(light)
    assert (lab.shape, lab.dtype) == ((40, 50, 3), np.float32)
    assert lightness(light[..., 1]).dtype == np.float32
    np.testing.assert_allclose(lab, lab_from_lin(light.astype(np.float64)), rtol=0, atol=1e-3)


def test_codes_are_refused_since_they_are_not_light() -> None:
    with pytest.raises(TypeError, match="uint8"):
        lab_from_lin(np.zeros((2, 3), dtype=np.uint8))


def test_bright_red_is_as_light_as_a_middle_grey() -> None:
    """What a picture turned to grey by the camera hides: red 53, royal blue 30, yellow 97."""
    light = srgb8_to_lin(np.uint8([(255, 0, 0), (0, 0, 255), (255, 255, 0)]))
    np.testing.assert_allclose(lightness(luminance(light)), (53.24, 32.30, 97.14), atol=0.02)
