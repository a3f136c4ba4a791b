"""What the prints are drawn with: inks, the endless canvas, layouts, yarns and the weave."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from palettes.encodings import srgb8_to_lin
from swatches.demo.blooms import Petals, peony
from swatches.demo.canvas import blank, pixels
from swatches.demo.colours import ink_lin, ink_names, mix
from swatches.demo.layouts import brick, half_drop, toss
from swatches.demo.mottled import clouds
from swatches.demo.outlines import disc, leaf, petal, ribbon, spline
from swatches.demo.weave import finish, over, thread_count, weave_gain
from swatches.demo.yarn_dyed import bands

INCH = (Fraction(1), Fraction(1))


def test_mixtures_are_made_in_linear_light() -> None:
    clover, cream = np.array(ink_lin("clover")), np.array(ink_lin("cream"))
    assert ink_lin(mix("clover", 30, "cream")) == pytest.approx(0.3 * clover + 0.7 * cream)
    twice = mix(mix("clover", 30, "cream"), 50, "clover")
    assert ink_lin(twice) == pytest.approx(0.65 * clover + 0.35 * cream)
    with pytest.raises(KeyError):
        ink_lin("no such ink")


def test_inks_are_all_different() -> None:
    assert len({ink_lin(name) for name in ink_names()}) == len(ink_names())


@settings(max_examples=30, deadline=None)
@given(st.floats(0.02, 0.45), st.floats(0, 1), st.floats(0, 1))
def test_a_disc_covers_its_own_area_wherever_it_lies(radius_in: float, x: float, y: float) -> None:
    # The worst of 6000 discs, laid among the parts and just on their edges, was 0.39 of a part (measured).
    assert abs(_radius_off_parts(radius_in, complex(x, y))) < 0.42


def test_discs_are_not_too_large_or_small_as_a_whole() -> None:
    rng = np.random.default_rng(3)
    off = [_radius_off_parts(rng.uniform(0.02, 0.45), complex(*rng.uniform(0, 1, 2))) for _ in range(200)]
    # A fill that is not shrunk first comes out half a part too large.
    assert abs(np.mean(off)) < 0.07


def _radius_off_parts(radius_in: float, at_in: complex) -> float:
    """How much larger the radius of what is covered is, in parts of the canvas: 600 to the inch."""
    canvas = blank(INCH, "chalk")
    canvas.fill(at_in + radius_in * disc(), "soot")
    covered_in2 = float(canvas.shares("chalk").mean(dtype=np.float64))
    return (covered_in2 - np.pi * radius_in**2) / (2 * np.pi * radius_in) * 600


def test_coverage_is_even_round_the_middle() -> None:
    canvas = blank(INCH, "chalk")
    canvas.fill(0.5 + 0.5j + 0.3 * disc(corners=80), "soot")
    share = canvas.shares("chalk")
    # A shape laid half a pixel off would differ by a half and more at its edge.
    assert np.abs(share - share[::-1]).max() < 0.3
    assert np.abs(share - share[:, ::-1]).max() < 0.3
    rows = (np.arange(150) + 0.5) / 150
    assert float((share.sum(axis=1) * rows).sum() / share.sum()) == pytest.approx(0.5, abs=0.1 / 150)


def test_a_shape_that_leaves_on_one_side_comes_in_on_the_other() -> None:
    inside, across = blank(INCH, "chalk"), blank(INCH, "chalk")
    shape = 0.3 * petal(0.5) * np.exp(0.4j)
    inside.fill(0.4 + 0.5j + shape, "berry")
    across.fill(3.9 - 2.0j + shape, "berry")
    moved = np.roll(inside.light(), (75, 75), axis=(0, 1))
    apart = np.abs(across.light() - moved)
    # The two differ by no more than rounding: two of the sixteen parts in a few pixels of the edge.
    assert apart.max() < 2.5 / 16
    assert np.count_nonzero(apart.max(axis=2)) < 30
    assert inside.shares("chalk").max() == 1


def test_light_is_averaged_in_linear_light() -> None:
    canvas = blank(INCH, "chalk")
    # A quarter of a pixel in from the left, over the whole height.
    canvas.fill(np.array([0, 30.25, 30.25 + 150j, 150j]) / 150, "soot")
    chalk, soot = np.array(ink_lin("chalk")), np.array(ink_lin("soot"))
    row = canvas.light()[70]
    assert row[29] == pytest.approx(soot)
    assert row[30] == pytest.approx(0.25 * soot + 0.75 * chalk, rel=1e-5)
    assert row[31] == pytest.approx(chalk)


def test_a_bloom_is_as_wide_as_it_says() -> None:
    canvas = blank((Fraction(6), Fraction(6)), "cream")
    peony(canvas, 3 + 3j, 2.1, Petals("blush", "coral", "rosehip", "honey"), seed=1)
    rows = np.flatnonzero(canvas.shares("cream").max(axis=1) > 0.5)
    assert (rows[-1] - rows[0] + 1) / 150 == pytest.approx(4.2, rel=0.08)


def test_repeats_must_be_whole_pixels() -> None:
    assert pixels(Fraction(7, 3)) == 350
    with pytest.raises(ValueError, match="1/7"):
        pixels(Fraction(1, 7))


def test_outlines_start_where_they_are_held() -> None:
    assert leaf(0.4)[0] == pytest.approx(0)
    assert np.abs(leaf(0.4)).max() == pytest.approx(1)
    assert np.ptp(petal(0.4).imag) == pytest.approx(0.4)
    knots = np.array([0, 1 + 1j, 2, 3 - 1j])
    assert all(np.abs(spline(knots) - knot).min() < 1e-12 for knot in knots)
    strip = ribbon(np.linspace(0, 2, 5) + 0j, 0.5)
    assert np.ptp(strip.imag) == pytest.approx(0.5)


def test_lattices() -> None:
    assert half_drop((4, 4), across=2, down=2) == pytest.approx(np.array([1 + 1j, 3 + 2j, 1 + 3j, 3 + 4j]))
    assert brick((4, 4), across=2, down=2) == pytest.approx(np.array([1 + 1j, 3 + 1j, 2 + 3j, 4 + 3j]))


def test_tossed_motifs_keep_apart_across_the_border() -> None:
    radii = [0.5] * 6 + [0.2] * 20
    places = toss((4, 4), radii, seed=3, tries=200)
    apart = places[:, None] - places
    away = np.hypot((apart.real + 2) % 4 - 2, (apart.imag + 2) % 4 - 2)
    room = away - np.add.outer(radii, radii)
    assert room[~np.eye(len(radii), dtype=bool)].min() > 0
    assert toss((4, 4), radii, seed=3, tries=200) == pytest.approx(places)
    assert toss((4, 4), radii, seed=4, tries=200) != pytest.approx(places)


def test_bands_share_a_pixel_exactly() -> None:
    row = bands(Fraction(2, 75), [(Fraction(1, 100), "chalk"), (Fraction(1, 60), "soot")])
    chalk, soot = np.array(ink_lin("chalk")), np.array(ink_lin("soot"))
    assert row == pytest.approx(np.stack([chalk, (chalk + soot) / 2, soot, soot]))


@pytest.mark.parametrize("side_px", [150, 300, 450, 600])
def test_threads_are_whole_and_even(side_px: int) -> None:
    count = thread_count(side_px)
    assert count % 2 == 0
    assert count == pytest.approx(side_px / 2, abs=1)
    wave = over(side_px, side_px)
    # Over meets under at the border: the step there is one of the steps inside.
    step = np.abs(wave[0] - wave[-1]).max()
    assert step <= np.abs(np.diff(wave, axis=0)).max() + 1e-6


def test_the_weave_keeps_the_light() -> None:
    gain = weave_gain(300, 600, seed=1)
    assert float(gain.mean(dtype=np.float64)) == pytest.approx(1, abs=1e-6)
    assert 0.02 < float(gain.std()) < 0.06
    plain = np.full((300, 600, 3), ink_lin("moss"), np.float32)
    woven = finish(plain, seed=1)
    assert not woven.flags.writeable
    assert srgb8_to_lin(woven).mean(axis=(0, 1)) == pytest.approx(np.array(ink_lin("moss")), rel=0.005)


def test_clouds_wrap() -> None:
    field = clouds(120, 90, longest_px=40, seed=2)
    assert field.std() == pytest.approx(1, abs=1e-4)
    for axis in (0, 1):
        lines = np.moveaxis(field, axis, 0)
        assert np.abs(lines[0] - lines[-1]).mean() < 1.5 * np.abs(np.diff(lines, axis=0)).mean()
