from __future__ import annotations

import numpy as np
import pytest

from palettes.encodings import luminance, srgb8_to_lin
from palettes.eye import as_taken_in, spread_of
from palettes.lightness import lightness
from palettes.looks import SPOTS, look_of, shared_colour
from palettes.main_colours import main_colours
from palettes.viewing import ACROSS_TABLE, Viewing
from tests.palettes.judged_set import PPI, draw

PER_IN = (float(PPI), float(PPI))


def look(spec: str):
    return look_of(srgb8_to_lin(draw(spec).tile_srgb8), per_in=PER_IN, repeats=True)


def test_a_solid_has_one_colour_and_no_motifs() -> None:
    plain = look("#1e823c")
    assert not plain.is_print
    assert (plain.busy, plain.narrow_busy) == (0, 0)
    np.testing.assert_allclose(plain.shares, [1])
    assert plain.low_L == pytest.approx(plain.high_L) == pytest.approx(plain.L, abs=1e-3)
    assert plain.spots_lab.shape == (SPOTS, 3)


def test_a_print_has_the_shares_it_is_drawn_with() -> None:
    leafy = look("leaves #f3ecd8 #1e823c 0.3 0.7")
    assert leafy.shares[:2] == pytest.approx([0.7, 0.3], abs=0.03)
    assert lightness(luminance(leafy.colours_lin[0])) == pytest.approx(93.5, abs=1)
    assert pytest.approx(float(lightness(luminance(leafy.mean_lin)))) == leafy.L
    assert leafy.low_L < 50 < 90 < leafy.high_L


@pytest.mark.parametrize("side", [0.5, 1.0])
def test_motif_scale_grows_with_the_print(side: float) -> None:
    small, large = look(f"check #101010 #f5f3ee {side / 2:g}"), look(f"check #101010 #f5f3ee {side:g}")
    assert 1.5 < large.scale_in / small.scale_in < 2.5
    # Twice the side is the repeat; hard edges make it seem finer.
    assert 0.6 * side < large.scale_in < 2 * side


def test_a_fine_check_is_calm_across_a_table_and_a_coarse_one_is_busy() -> None:
    assert look("check #101010 #f5f3ee 0.0625").busy < 0.05
    assert look("check #101010 #f5f3ee 0.375").busy > 0.3


def test_two_cloths_share_the_colour_that_both_hold() -> None:
    share, colour = shared_colour(look("#1e823c"), look("leaves #f3ecd8 #1e823c 0.3 0.7"))
    assert share == pytest.approx(0.3, abs=0.03)
    assert colour in ("sea green", "forest green")
    assert shared_colour(look("#1e823c"), look("#a51923")) == (0.0, "")


def test_the_shared_colour_does_not_mind_which_is_first() -> None:
    one, other = look("multi 45 0.7 warm"), look("multi 45 0.6 warm")
    assert shared_colour(one, other)[0] == pytest.approx(shared_colour(other, one)[0])


def test_colours_that_merge_for_some_eyes_are_told_for_those() -> None:
    red, leafy = look("#b8455a"), look("leaves #f3ecd8 #5a7f3c 0.3 0.7")
    assert shared_colour(red, leafy)[0] == 0
    share, _ = shared_colour(red, leafy, viewing=Viewing("from 6 feet", 72, eyes="deutan"))
    assert share == pytest.approx(0.3, abs=0.03)


def test_spots_stand_for_the_whole_cloth() -> None:
    busy = look("multi 50 0.5 warm")
    taken_in = as_taken_in(
        srgb8_to_lin(draw("multi 50 0.5 warm").tile_srgb8),
        per_in=PER_IN,
        sigma_in=ACROSS_TABLE.sigma_in,
        radius_in=1 / 8,
        repeats=True,
    )
    everywhere = lightness(luminance(taken_in)).ravel()
    assert busy.spots_lab[:, 0].mean() == pytest.approx(everywhere.mean(), abs=1)
    assert busy.spots_lab[:, 0].std() == pytest.approx(everywhere.std(), rel=0.08)


def test_blur_keeps_the_mean_and_a_point_spreads_as_said() -> None:
    light = np.zeros((81, 81, 3), np.float32)
    light[40, 40] = 1
    seen = as_taken_in(light, per_in=PER_IN, sigma_in=0.05, radius_in=0.125, repeats=False)
    assert seen.sum() == pytest.approx(3, rel=1e-4)
    at = (np.arange(81) - 40) / PPI
    spread = np.sqrt((seen[..., 0].sum(axis=0) * at**2).sum())
    assert spread == pytest.approx(spread_of(sigma_in=0.05, radius_in=0.125), rel=0.01)


def test_a_repeating_cloth_is_taken_round_its_borders() -> None:
    light = np.random.default_rng(0).random((40, 40, 3)).astype(np.float32)
    once = as_taken_in(light, per_in=PER_IN, sigma_in=0.05, radius_in=0.1, repeats=True, spare=2)
    moved = as_taken_in(np.roll(light, 13, axis=1), per_in=PER_IN, sigma_in=0.05, radius_in=0.1, repeats=True)
    np.testing.assert_allclose(np.roll(once[:40, :40], 13, axis=1), moved, atol=1e-5)
    np.testing.assert_allclose(once[40:, :40], once[:2, :40], atol=1e-5)


def test_main_colours_of_few_places_are_those_places() -> None:
    light = np.array([[0.1, 0.2, 0.3]] * 3 + [[0.9, 0.1, 0.1]])
    colours, shares = main_colours(light)
    np.testing.assert_allclose(shares, [0.75, 0.25])
    np.testing.assert_allclose(colours, [[0.1, 0.2, 0.3], [0.9, 0.1, 0.1]])


def test_the_mean_of_the_main_colours_is_the_mean_light() -> None:
    light = np.random.default_rng(1).random((500, 3))
    colours, shares = main_colours(light, most=6)
    assert len(colours) <= 6
    np.testing.assert_allclose(shares @ colours, light.mean(axis=0))
    assert (np.diff(shares) <= 0).all()
