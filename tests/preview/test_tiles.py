"""Tiles against plain area averages, across borders and at odd ratios."""

from __future__ import annotations

import numpy as np
import pytest

from palettes.encodings import srgb8_to_lin
from preview.tiles import prefilter
from tests.preview.scenes import cloth, noise_cloth, plain


def box_mean(light, low, high):
    """Mean of a wrapped row of samples from `low` to `high`, fractions of samples counted by their part."""
    total = 0.0
    for i in range(int(np.floor(low)), int(np.ceil(high))):
        total = total + light[i % len(light)] * (min(i + 1, high) - max(i, low))
    return total / (high - low)


@pytest.mark.parametrize("ppi", [8.0, 30.0, 33.7, 60.0])
def test_each_texel_is_about_one_output_pixel_of_cloth(ppi):
    swatch = noise_cloth(3, ppi=60, inches=2)
    tile = prefilter(swatch, ppi=ppi)
    light = srgb8_to_lin(swatch.tile_srgb8).astype(np.float64)
    texel = swatch.ppi / tile.x_per_in
    columns = [
        box_mean(light.swapaxes(0, 1), (c + tile.offset_px - 1) * texel, (c + tile.offset_px + 1) * texel)
        for c in range(tile.width_px)
    ]
    across = np.stack(columns, axis=1)
    texel = swatch.ppi / tile.y_per_in
    rows = [
        box_mean(across, (r + tile.offset_px - 1) * texel, (r + tile.offset_px + 1) * texel)
        for r in range(tile.height_px)
    ]
    truth = np.stack(rows)
    found = tile.lin16[: tile.height_px, : tile.width_px, :3] / 65535
    # The slight sharpening leaves a little contrast beyond the plain mean, hence no closer.
    assert np.sqrt(np.mean((found - truth) ** 2)) < 0.06 * truth.std()
    assert np.corrcoef(found.ravel(), truth.ravel())[0, 1] > 0.998


@pytest.mark.parametrize("ppi", [3.3, 20.0, 37.7, 80.0, 149.0, 400.0])
def test_the_mean_light_stays(ppi):
    swatch = noise_cloth(4, ppi=150, inches=1, fall=1.5)
    tile = prefilter(swatch, ppi=ppi)
    truth = srgb8_to_lin(swatch.tile_srgb8).reshape(-1, 3).mean(axis=0)
    found = tile.lin16[: tile.height_px, : tile.width_px, :3].reshape(-1, 3).mean(axis=0) / 65535
    np.testing.assert_allclose(found, truth, rtol=2e-3)


@pytest.mark.parametrize("ppi", [20.0, 75.0, 100.0, 300.0])
def test_a_wrapping_tile_has_no_border(ppi):
    """Rolling the cloth rolls the tile: no texel knows where the border was."""
    swatch = noise_cloth(5, ppi=100, inches=2)
    rolled = cloth(np.roll(swatch.tile_srgb8, (100, 50), axis=(0, 1)), ppi=100)
    first, second = prefilter(swatch, ppi=ppi), prefilter(rolled, ppi=ppi)
    texels = [tile.lin16[: tile.height_px, : tile.width_px, :3].astype(int) for tile in (first, second)]
    back = np.roll(texels[1], (-first.height_px // 2, -first.width_px // 4), axis=(0, 1))
    assert np.abs(texels[0] - back).max() <= 2
    padded = first.lin16
    np.testing.assert_array_equal(padded[:, first.width_px :], padded[:, : padded.shape[1] - first.width_px])
    np.testing.assert_array_equal(padded[first.height_px :], padded[: padded.shape[0] - first.height_px])


def test_a_photograph_does_not_wrap():
    photo = np.zeros((60, 60, 3), np.uint8)
    photo[:, 40:] = 255
    tile = prefilter(cloth(photo, ppi=60, repeats=False), ppi=20)
    assert (tile.lin16[:, :20, :3] == 0).all()


def test_the_scale_is_exact_though_texels_are_whole():
    swatch = cloth(np.zeros((97, 131, 3)), ppi=73.0)
    tile = prefilter(swatch, ppi=20.3)
    assert tile.width_px / tile.x_per_in == pytest.approx(swatch.width_in, rel=1e-15)
    assert tile.height_px / tile.y_per_in == pytest.approx(swatch.height_in, rel=1e-15)


def test_a_solid_stays_itself_and_a_print_smaller_than_a_pixel_becomes_its_mean():
    tile = prefilter(plain(12, 200, 99), ppi=33.3)
    assert len(np.unique(tile.lin16[..., :3].reshape(-1, 3), axis=0)) == 1
    tiny = prefilter(noise_cloth(6, ppi=50, inches=0.2), ppi=1)
    assert (tiny.width_px, tiny.height_px) == (1, 1)


def test_a_very_dense_tile_is_kept_at_the_photograph_s_own_density():
    swatch = cloth(np.random.default_rng(0).integers(0, 255, (1500, 1500, 3)), ppi=20.0)
    tile = prefilter(swatch, ppi=20.0 * 0.9999)
    assert tile.lin16.nbytes <= 2**24 * 8 * 1.01
    dense = cloth(np.zeros((2600, 2600, 3)), ppi=100.0)
    assert prefilter(dense, ppi=90.0).width_px == 2600
