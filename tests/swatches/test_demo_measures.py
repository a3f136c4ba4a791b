"""The demo cloth under the ruler: seams of the repeat, dots, cells, stripes, drops and directions."""

from __future__ import annotations

from fractions import Fraction

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from palettes.encodings import luminance, srgb8_to_lin
from swatches.demo import demo_about, demo_names, demo_swatch
from swatches.demo.colours import ink_lin
from swatches.demo.standing import pear_drop, skep_row

PRINTS = tuple(name for name in demo_names() if demo_about(name).kind != "solid")
ONE_WAY = tuple(name for name in PRINTS if demo_about(name).one_way)


def light(name: str) -> NDArray[np.float32]:
    return srgb8_to_lin(demo_swatch(name).tile_srgb8)


def border_step(tile: NDArray[np.uint8], *, axis: int) -> float:
    """The mean step over the border of the repeat, as a share of the largest step between two lines inside."""
    lines = np.moveaxis(tile, axis, 0).astype(np.int16)
    inside = np.abs(np.diff(lines, axis=0)).mean(axis=(1, 2))
    return float(np.abs(lines[0] - lines[-1]).mean() / inside.max())


@pytest.mark.parametrize("name", demo_names())
def test_the_repeat_has_no_seam(name: str) -> None:
    tile = demo_swatch(name).tile_srgb8
    for axis in (0, 1):
        assert border_step(tile, axis=axis) <= 1.05


@pytest.mark.parametrize("name", ["orchard lane", "hay meadow", "pond light", "river pebble"])
def test_a_repeat_cut_short_shows_its_seam(name: str) -> None:
    tile = demo_swatch(name).tile_srgb8
    assert border_step(tile[:-45], axis=0) > 1.05
    assert border_step(tile[:, :-45], axis=1) > 1.05


@pytest.mark.parametrize(
    ("name", "ground", "dots", "count"),
    [
        ("morning dew", "kingfisher", ("chalk",), 56),
        ("red currant", "chalk", ("rosehip",), 12),
        ("windfall", "apricot", ("cream", "coral", "rosehip"), 12),
    ],
)
def test_dots_have_their_true_diameter(name: str, ground: str, dots: tuple[str, ...], count: int) -> None:
    cloth = light(name)
    inks = np.array([ink_lin(ink) for ink in (ground, *dots)], np.float32)
    nearest = np.linalg.norm(cloth[..., None, :] - inks, axis=-1).argmin(axis=-1)
    found, _, stats, _ = cv2.connectedComponentsWithStats((nearest > 0).astype(np.uint8), connectivity=4)
    height, width = nearest.shape
    whole = [
        one
        for one in stats[1:found]
        if one[0] > 0 and one[1] > 0 and one[0] + one[2] < width and one[1] + one[3] < height
    ]
    assert len(whole) >= count
    diameters_in = np.sqrt(4 * np.array([one[cv2.CC_STAT_AREA] for one in whole]) / np.pi) / 150
    true_in = float(demo_about(name).motif_in)
    assert diameters_in.mean() == pytest.approx(true_in, rel=0.015)
    assert np.abs(diameters_in - true_in).max() < 1 / 150


def crossings_in(profile: NDArray[np.floating]) -> NDArray[np.float64]:
    """Where a row of pixels crosses half way between its least and its most light, in inches."""
    level = (profile.min() + profile.max()) / 2
    above = profile - level
    here = np.flatnonzero(np.sign(above[:-1]) != np.sign(above[1:]))
    return (here + 0.5 + above[here] / (above[here] - above[here + 1])) / 150


@pytest.mark.parametrize(
    ("name", "cell_in"), [("picnic cloth", 1 / 4), ("bee veil", 1.0), ("apron check", 1 / 8)]
)
def test_checks_have_square_cells_of_their_true_size(name: str, cell_in: float) -> None:
    cloth = luminance(np.tile(light(name), (2, 2, 1)))
    for axis in (0, 1):
        edges = crossings_in(cloth.mean(axis=axis))
        assert np.diff(edges) == pytest.approx(cell_in, abs=0.5 / 150)
        assert np.diff(edges).mean() == pytest.approx(cell_in, abs=0.1 / 150)


def test_where_two_yarns_cross_the_light_is_their_mean() -> None:
    cloth = light("bee veil")
    white, blue = np.array(ink_lin("chalk")), np.array(ink_lin("mill blue"))
    for rows, columns, want in (
        (slice(0, 150), slice(0, 150), white),
        (slice(0, 150), slice(150, 300), (white + blue) / 2),
        (slice(150, 300), slice(0, 150), (white + blue) / 2),
        (slice(150, 300), slice(150, 300), blue),
    ):
        assert cloth[rows, columns].mean(axis=(0, 1)) == pytest.approx(want, rel=0.01)


def test_stripes_have_their_true_widths() -> None:
    ticking = crossings_in(luminance(np.tile(light("mill stripe"), (1, 2, 1))).mean(axis=0))
    sixteenths = [1, 1, 5, 1, 1, 7, 1, 1, 5, 1, 1]
    assert np.diff(ticking) == pytest.approx(np.array(sixteenths) / 16, abs=0.5 / 150)
    assert ticking[6] - ticking[0] == pytest.approx(1.0, abs=0.05 / 150)
    awning = crossings_in(luminance(np.tile(light("market awning"), (1, 2, 1))).mean(axis=0))
    assert np.diff(awning) == pytest.approx(1.0, abs=0.1 / 150)


def moved(cloth_lin: NDArray[np.float32], *, right_in: int, down_in: int) -> float:
    """The mean difference between a cloth and itself, moved along; rounding at edges leaves about 0.0005."""
    there = np.roll(cloth_lin, (down_in * 150, right_in * 150), axis=(0, 1))
    return float(np.abs(there - cloth_lin).mean())


def test_a_half_drop_drops_by_half() -> None:
    pears = pear_drop((Fraction(4), Fraction(4)))
    assert moved(pears, right_in=1, down_in=1) < 0.001
    assert moved(pears, right_in=0, down_in=2) < 0.001
    assert moved(pears, right_in=1, down_in=0) > 0.02


def test_bricks_are_laid_half_over() -> None:
    skeps = skep_row((Fraction(4), Fraction(4)))
    assert moved(skeps, right_in=1, down_in=2) < 0.001
    assert moved(skeps, right_in=2, down_in=0) < 0.001
    assert moved(skeps, right_in=0, down_in=2) > 0.02


def likeness_upside_down(name: str) -> float:
    """How well a cloth turned by half a turn can be laid on itself: 1 is exactly, 0 no better than chance."""
    grey = luminance(light(name)).astype(np.float64)
    grey -= grey.mean()
    waves = np.fft.rfft2(grey)
    match = np.fft.irfft2(waves * np.conj(np.fft.rfft2(grey[::-1, ::-1])), s=grey.shape)
    return float(match.max() / (grey**2).sum())


@pytest.mark.parametrize("name", ONE_WAY)
def test_a_one_way_print_looks_different_upside_down(name: str) -> None:
    assert likeness_upside_down(name) < 0.9


@pytest.mark.parametrize("name", ["morning dew", "picnic cloth", "bee veil", "market awning", "cold frame"])
def test_cloth_without_a_top_looks_the_same_upside_down(name: str) -> None:
    assert not demo_about(name).one_way
    assert likeness_upside_down(name) > 0.97
