"""Resampling keeps light, places and plain copies exactly."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.transform import ProjectiveTransform

from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from swatches.resampling import map_points, pixels_per_unit, resample, shrink
from tests.swatches.pictures import smooth, speckled


def test_halving_is_the_mean_of_four_in_light() -> None:
    cloth = speckled(64, 96)
    light = srgb8_to_lin(cloth).reshape(32, 2, 48, 2, 3).mean(axis=(1, 3))
    half = shrink(cloth, factor_x=0.5, factor_y=0.5)
    assert np.abs(half.astype(int) - lin_to_srgb8(light)).max() <= 1


def test_a_fine_check_becomes_its_true_grey() -> None:
    check = np.zeros((200, 200, 3), np.uint8)
    check[::2, ::2] = check[1::2, 1::2] = 255
    # Half the light is code 188; averaging codes would give 128.
    assert np.unique(shrink(check, factor_x=0.25, factor_y=0.25)).tolist() == [188]


@pytest.mark.parametrize("factor", [0.7, 0.31, 0.05])
def test_any_reduction_keeps_the_light_of_the_whole(factor: float) -> None:
    cloth = speckled(400, 400)
    small = shrink(cloth, factor_x=factor, factor_y=factor)
    assert srgb8_to_lin(small).mean() == pytest.approx(srgb8_to_lin(cloth).mean(), rel=0.01)


def test_whole_shifts_copy_the_very_pixels() -> None:
    cloth = speckled(40, 60)
    part = resample(cloth, np.array([[1.0, 0, 7], [0, 1.0, 5], [0, 0, 1.0]]), width_px=20, height_px=30)
    assert np.array_equal(part, cloth[5:35, 7:27])
    assert not part.flags.writeable


def test_half_a_pixel_lies_where_it_should() -> None:
    # A slope of light: what is sampled at x must be the light at x, with no shift of half a pixel.
    x = (np.arange(200) + 0.5) / 200
    cloth = lin_to_srgb8(np.repeat(np.repeat(x[None, :, None], 50, axis=0), 3, axis=2))
    to_photo = np.array([[0.8, 0.0, 20.3], [0.0, 0.8, 4.0], [0.0, 0.0, 1.0]])
    part = srgb8_to_lin(resample(cloth, to_photo, width_px=150, height_px=40))
    wanted = (0.8 * (np.arange(150) + 0.5) + 20.3) / 200
    assert np.abs(part[20, 3:-3, 1] - wanted[3:-3]).max() < 0.006
    assert abs((part[20, 3:-3, 1] - wanted[3:-3]).mean()) < 0.0005


def test_tiles_join_without_a_trace() -> None:
    tilted = np.array([[0.9, 0.2, 30.0], [-0.15, 1.1, 160.0], [2e-4, 1e-4, 1.0]])
    whole = resample(smooth(900, 1400), tilted, width_px=1100, height_px=700)
    steps = np.abs(np.diff(whole.astype(int), axis=1)).max(axis=(0, 2))
    assert steps.max() <= 2


def test_points_as_a_second_library_maps_them() -> None:
    matrix = np.array([[1.1, 0.2, 30.0], [-0.1, 0.9, 60.0], [2e-4, -1e-4, 1.0]])
    points = np.array([[0.0, 0.0], [100.0, 20.0], [3.0, 400.0]])
    assert np.allclose(map_points(matrix, points), ProjectiveTransform(matrix)(points))


def test_density_is_that_of_a_small_step() -> None:
    matrix = np.array([[1.1, 0.2, 30.0], [-0.1, 0.9, 60.0], [2e-4, -1e-4, 1.0]])
    here = np.array([[120.0, 80.0]])
    around = here + 1e-4 * np.array([[np.cos(a), np.sin(a)] for a in np.linspace(0, np.pi, 721)])
    apart = np.hypot(*(map_points(matrix, around) - map_points(matrix, here)).T) / 1e-4
    assert pixels_per_unit(matrix, (120.0, 80.0)) == pytest.approx((apart.min(), apart.max()), rel=1e-4)
