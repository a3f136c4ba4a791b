"""Repeats: found as they are, owned up to where they are not, made into tiles that wrap."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchmarks.sim.fabrics import render
from palettes.encodings import srgb8_to_lin
from swatches.copies_in_line import pull_of_copy
from swatches.demo.shelf import demo_swatch
from swatches.finish import finish_cloth
from swatches.lattice import lattice_name, reduced, square_cell
from swatches.patchwork import best_cut, wrap_by_cut
from swatches.repeat import RepeatError, find_repeat, repeat_from_clicks
from swatches.repeat_tile import tile_from_repeat
from swatches.step_proof import step_stands
from swatches.straight import straighten
from swatches.weave import find_weave

PPI = 100


def cloth(
    name: str,
    *,
    turn_deg: float = 2.0,
    wide_in: float = 5.5,
    high_in: float = 4.2,
    seed: int = 2,
    ppi: int = PPI,
):
    picture, info = render(name, wide_in, high_in, ppi, seed)
    high, wide = picture.shape[:2]
    turn = cv2.getRotationMatrix2D((wide / 2, high / 2), turn_deg, 1)
    picture = cv2.warpAffine(picture, turn, (wide, high), flags=cv2.INTER_CUBIC)[24:-24, 24:-24]
    rng = np.random.default_rng(seed)
    light = srgb8_to_lin(picture) * np.linspace(1, 0.7, picture.shape[1], dtype=np.float32)[None, :, None]
    noisy = np.clip(light + rng.normal(0, 0.006, light.shape), 0, 1).astype(np.float32)
    truth = [tuple(turn[:, :2] @ np.array(step)) for step in info["lattice"]]
    return noisy, truth


@pytest.mark.parametrize(
    "name", ["dots_half", "gingham", "plaid", "floral_grid", "floral_half", "floral_brick", "ditsy_sub"]
)
def test_lattices_are_found_to_half_a_per_cent(name: str) -> None:
    light, truth = cloth(name)
    found = find_repeat(light, ppi=PPI)
    assert found.kind == "lattice"
    wanted = np.array(reduced(*truth))
    whole = np.array(found.steps_in) @ np.linalg.inv(wanted)
    assert abs(round(float(np.linalg.det(np.rint(whole))))) == 1
    off = np.array(found.steps_in) - np.rint(whole) @ wanted
    assert np.hypot(*off.T).max() < 0.005 * np.hypot(*wanted.T).max()


@pytest.mark.parametrize("turn_deg", [-7.5, 3.5, 6.0])
@pytest.mark.parametrize("name", ["dots", "gingham", "plaid", "floral_brick", "floral_white", "ditsy"])
def test_fine_prints_off_square_repeat_both_ways(name: str, turn_deg: float) -> None:
    # The same prints at a third of their size: the picture is drawn three times as large at a third of the ppi.
    light, truth = cloth(name, turn_deg=turn_deg, wide_in=13.5, high_in=10.5, seed=9, ppi=40)
    wide, high = light.shape[1] // 8, light.shape[0] // 8
    found = find_repeat(light[high:-high, wide:-wide], ppi=120)
    assert found.kind == "lattice"
    wanted = np.array(reduced(*truth)) / 3
    whole = np.array(found.steps_in) @ np.linalg.inv(wanted)
    assert abs(round(float(np.linalg.det(np.rint(whole))))) == 1
    assert np.abs(whole - np.rint(whole)).max() < 0.01


def test_stripes_are_one_way() -> None:
    light, truth = cloth("stripe")
    found = find_repeat(light, ppi=PPI)
    assert found.kind == "stripe"
    assert np.hypot(*found.steps_in[0]) == pytest.approx(np.hypot(*truth[0]), rel=0.005)


@pytest.mark.parametrize("name", ["toss_norepeat", "large_floral", "batik"])
def test_no_repeat_is_never_guessed(name: str) -> None:
    found = find_repeat(cloth(name)[0], ppi=PPI)
    assert found.kind == "none"
    assert "less than" in found.note


def test_less_than_a_repeat_and_a_half_is_said() -> None:
    # The same print, of which one repeat and a quarter at most is in view.
    light, truth = cloth("ditsy", turn_deg=0)
    wide, high = (round(1.15 * PPI * max(abs(step[axis]) for step in truth)) for axis in (0, 1))
    found = find_repeat(light[:high, :wide], ppi=PPI)
    assert found.kind in ("none", "one way")


@pytest.mark.parametrize("seed", [7, 13, 27, 39])
@pytest.mark.parametrize("name", ["floral_grid", "floral_tonal", "floral_white", "ditsy"])
def test_of_little_more_than_one_repeat_nothing_false_is_said_as_sure(name: str, seed: int) -> None:
    # Of the repeat across less than one and a quarter is in view: its step lies just beyond what can be
    # told. Truth: the simulator's lattice.
    _, info = render(name, 0.3, 0.3, 30, seed)
    (wide, _), (_, high) = info["lattice"]
    picture, info = render(name, 1.23 * wide, 2.1 * high, 130, seed)
    noise = np.random.default_rng(seed).normal(0, 0.008, picture.shape)
    light = np.clip(srgb8_to_lin(picture) + noise, 0, 1).astype(np.float32)
    found = find_repeat(light, ppi=130)
    steps = np.array(found.steps_in).reshape(-1, 2)
    shares = steps @ np.linalg.inv(np.array(info["lattice"]))
    right = np.abs(shares - np.rint(shares)).max(initial=0) < 0.02 and np.rint(shares).any(axis=-1).all()
    assert right or "Not sure" in found.note


@pytest.mark.parametrize("name", ["night hedge", "pond light"])
def test_copies_without_any_noise_are_found_too(name: str) -> None:
    # Drawn cloth, laid edge to edge: likeness that fits without a remainder once made roots of less than 0.
    swatch = demo_swatch(name)
    light = np.tile(srgb8_to_lin(swatch.tile_srgb8), (3, 3, 1))[::2, ::2]
    found = find_repeat(np.ascontiguousarray(light), ppi=swatch.ppi / 2)
    assert found.kind == "lattice"
    sides = np.diag([swatch.width_in, swatch.height_in])
    assert np.array(found.steps_in) == pytest.approx(sides, abs=0.01)


def test_margins_do_not_hide_a_repeat() -> None:
    # The print lies on pale paper that takes up to 7 % of the picture at each side.
    light, truth = cloth("floral_half", turn_deg=0)
    rows, columns = light.shape[:2]
    on_paper = np.full((rows, columns, 3), 0.85, np.float32)
    top, left = round(0.07 * rows), round(0.07 * columns)
    on_paper[top:-top, left:-left] = light[top:-top, left:-left]
    found = find_repeat(on_paper, ppi=PPI)
    assert found.kind == "lattice"
    wanted = np.array(reduced(*truth))
    whole = np.array(found.steps_in) @ np.linalg.inv(wanted)
    assert abs(round(float(np.linalg.det(np.rint(whole))))) == 1
    assert np.abs(np.array(found.steps_in) - np.rint(whole) @ wanted).max() < 0.01
    done = finish_cloth(on_paper, ppi=PPI)
    plain = finish_cloth(light, ppi=PPI)
    assert np.abs(done.tile_srgb8.mean(axis=(0, 1)) - plain.tile_srgb8.mean(axis=(0, 1))).max() < 3


@pytest.mark.parametrize("seed", range(8))
def test_stripes_that_cross_are_no_repeat(seed: int) -> None:
    # Stripes of chance widths and colours both ways: no length of either comes again.
    rng = np.random.default_rng(seed)

    def stripes(length: int, strength: float):
        edges = np.cumsum(rng.integers(15, 70, 60))
        return strength * rng.uniform(0, 1, (61, 3))[np.searchsorted(edges, np.arange(length))]

    light = 0.05 + stripes(500, 0.55)[None] + stripes(400, 0.25)[:, None]
    light = np.clip(light + rng.normal(0, 0.01, light.shape), 0, 1).astype(np.float32)
    assert find_repeat(light, ppi=PPI).kind == "none"


def test_a_step_along_lines_proves_nothing() -> None:
    x = np.arange(300) / PPI
    lines = np.sin(2 * np.pi * x / 0.7) + 0.5 * np.sin(2 * np.pi * x / 0.35 + 1)
    across = np.broadcast_to(lines[None, :, None], (260, 300, 3)).astype(np.float32)
    assert not step_stands(across, (0.0, 0.9), ppi=PPI)
    assert step_stands(across, (0.7, 0.0), ppi=PPI)
    assert not step_stands(across, (0.5, 0.0), ppi=PPI)
    plaid = across + np.broadcast_to(lines[:260, None, None], (260, 300, 3)).astype(np.float32)
    assert step_stands(plaid, (0.0, 0.7), ppi=PPI)
    assert not step_stands(plaid, (0.0, 0.9), ppi=PPI)


def test_plain_cloth_is_plain() -> None:
    assert find_repeat(np.full((300, 300, 3), 0.3, np.float32), ppi=PPI).kind == "plain"


def test_two_clicks_state_a_repeat() -> None:
    found = repeat_from_clicks(((10, 10), (110, 12)), ((10, 10), (60, 90)), ppi=100)
    assert found.kind == "lattice"
    assert abs(np.linalg.det(np.array(found.steps_in))) == pytest.approx(0.79)
    assert repeat_from_clicks(((0, 0), (0, 50)), ppi=100).steps_in == ((0.0, 0.5),)
    with pytest.raises(RepeatError, match="nearly the same"):
        repeat_from_clicks(((10, 10), (10, 11)), ppi=100)
    with pytest.raises(RepeatError, match="one line"):
        repeat_from_clicks(((0, 0), (100, 0)), ((0, 0), (201, 1)), ppi=100)


whole = st.integers(-3, 3)


@given(whole, whole, whole, st.sampled_from([1, -1]))
def test_reduced_is_the_same_for_every_basis(a: int, b: int, c: int, sign: int) -> None:
    base = np.array([[1.0, 0.1], [0.2, 0.7]])
    # Shears and a mirror make every change of basis, three of them a good many.
    shears = np.array([[1, a], [0, 1]]) @ np.array([[1, 0], [b, 1]]) @ np.array([[sign, c], [0, 1]])
    other = shears @ base
    first, second = np.array(reduced(*base)), np.array(reduced(tuple(other[0]), tuple(other[1])))
    assert np.sort(np.hypot(*first.T)) == pytest.approx(np.sort(np.hypot(*second.T)))


def test_lattices_have_the_trade_s_names() -> None:
    assert lattice_name(((1.0, 0.0), (0.0, 1.2))) == "straight"
    assert lattice_name(reduced((1.0, 0.5), (0.0, 1.0))) == "half-drop or brick"
    assert lattice_name(reduced((1.0, 1 / 3), (0.0, 1.0))) == "third-drop"
    cell = square_cell(reduced((1.0, 0.5), (0.0, 1.0)))
    assert cell is not None
    assert cell[1] == pytest.approx(np.array([[2.0, 0], [0, 1.0]]), abs=1e-12)


@pytest.mark.parametrize("name", ["floral_half", "plaid"])
def test_tiles_wrap_straight_and_true(name: str) -> None:
    light, truth = cloth(name)
    found = find_repeat(light, ppi=PPI)
    tile = tile_from_repeat(light, found, ppi=PPI)
    assert tile is not None
    assert tile.copies >= 3
    assert tile.turn_deg == pytest.approx(-2.0, abs=0.05)
    # The sides are whole repeats: a cell of the true lattice, to a tenth of a per cent.
    rows, columns = tile.tile_lin.shape[:2]
    area = rows * columns / tile.ppi**2
    cells = area / abs(np.linalg.det(np.array(truth)))
    assert cells == pytest.approx(round(cells), rel=0.004)
    across = np.abs(tile.tile_lin[:, -1] - tile.tile_lin[:, 0]).mean()
    inside = np.abs(np.diff(tile.tile_lin, axis=1)).mean(axis=(0, 2))
    assert across < 1.5 * np.quantile(inside, 0.95) + 0.01


def test_median_drops_lint() -> None:
    light, _ = cloth("floral_grid", turn_deg=0)
    found = find_repeat(light, ppi=PPI)
    clean = tile_from_repeat(light, found, ppi=PPI)
    dirty = light.copy()
    dirty[200:204, 100:160] = 1.0
    tile = tile_from_repeat(dirty, found, ppi=PPI)
    assert clean is not None
    assert tile is not None
    assert np.abs(tile.tile_lin - clean.tile_lin).max() < 0.2


def pulled(light, pull_mm: float, *, seed: int = 5):
    """Cloth pulled out of shape by so much at most, smoothly, over about an inch."""
    rng = np.random.default_rng(seed)
    rows, columns = light.shape[:2]
    x, y = np.meshgrid(np.arange(columns, dtype=np.float32), np.arange(rows, dtype=np.float32))
    for place in (x, y):
        field = cv2.GaussianBlur(rng.normal(size=(rows, columns)).astype(np.float32), (0, 0), 0.8 * PPI)
        place += field / np.abs(field).max() * pull_mm / 25.4 * PPI
    return cv2.remap(light, x, y, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT)


@pytest.mark.parametrize("name", ["floral_half", "floral_grid", "ditsy"])
def test_pulled_cloth_becomes_a_tile_as_sharp_as_the_cloth(name: str) -> None:
    # Truth: the print as drawn, without pull, noise or uneven light.
    light = srgb8_to_lin(render(name, 6.4, 4.6, PPI, 3)[0])
    found = find_repeat(pulled(light, 1.5), ppi=PPI)
    tile = tile_from_repeat(pulled(light, 1.5), found, ppi=PPI)
    assert tile is not None
    assert "same shape" in tile.note

    def fineness(picture):
        even = picture - cv2.GaussianBlur(picture, (0, 0), 3)
        return float(np.sqrt((even**2).mean()))

    assert fineness(tile.tile_lin) > 0.8 * fineness(light)


def test_the_pull_of_a_copy_is_found() -> None:
    light = srgb8_to_lin(render("floral_grid", 3.0, 3.0, PPI, 3)[0])
    tile = cv2.GaussianBlur(light, (0, 0), 1.0)[:240, :240]
    tile = wrap_by_cut(tile, overlap_px=40)
    pad = 20
    copy = cv2.copyMakeBorder(np.roll(tile, (-2, 3), axis=(0, 1)), pad, pad, pad, pad, cv2.BORDER_WRAP)
    pull = pull_of_copy(tile, copy, np.ones(copy.shape[:2], np.float32), pad_px=pad)
    assert np.median(pull, axis=(0, 1)) == pytest.approx((3.0, -2.0), abs=0.2)


def test_prints_that_grow_upwards_are_one_way() -> None:
    # Arrows that point up are their own mirror image from side to side, but not when turned.
    y, x = np.mgrid[0 : 4 * PPI, 0 : 5 * PPI] / PPI
    u, v = np.abs(x % 1 - 0.5), y % 1.25
    arrow = (u < 0.6 * (v - 0.1)) & (v < 0.7) | (u < 0.12) & (v >= 0.7) & (v < 1.1)
    both = (u < 0.15) & (np.abs(v - 0.6) < 0.45)
    for drawn, way in ((arrow, "one-way"), (both, "two-way")):
        noise = np.random.default_rng(1).normal(0, 0.01, drawn.shape)
        light = np.repeat((0.7 - 0.6 * drawn + noise)[..., None], 3, axis=2).astype(np.float32)
        done = finish_cloth(light, ppi=PPI)
        assert done.repeat.kind == "lattice"
        assert done.about.way == way


def test_a_fine_grid_on_a_dark_ground_is_not_plain() -> None:
    y, x = np.mgrid[0 : 3 * PPI, 0 : 3 * PPI]
    lines = ((x + y) % 40 < 2) | ((x - y) % 40 < 2)
    light = np.repeat((0.03 + 0.03 * lines)[..., None], 3, axis=2).astype(np.float32)
    done = finish_cloth(light, ppi=PPI)
    assert done.repeat.kind == "lattice"
    assert done.about.word == "tone-on-tone"


def test_cuts_close_and_nothing_is_mirrored() -> None:
    light, _ = cloth("batik", turn_deg=0)
    patch = wrap_by_cut(light, overlap_px=40)
    assert patch.shape[:2] == (light.shape[0] - 40, light.shape[1] - 40)
    for axis in (0, 1):
        step = np.abs(np.take(patch, 0, axis) - np.take(patch, -1, axis)).mean()
        assert step < 1.8 * np.abs(np.diff(patch, axis=axis)).mean()
    even = patch - patch.mean(axis=(0, 1))
    mirrored = float((even * even[:, ::-1]).sum() / (even * even).sum())
    assert mirrored < 0.5
    # Beyond the overlap the cloth is the photograph's own.
    assert np.array_equal(patch[40:, 40:], light[40:-40, 40:-40])


def test_best_cut_takes_the_cheap_way() -> None:
    cost = np.ones((30, 12), np.float32)
    way = 5 + np.round(2 * np.sin(np.arange(30) * 2 * np.pi / 30)).astype(int)
    cost[np.arange(30), way] = 0
    assert best_cut(cost).tolist() == way.tolist()


def test_weave_gives_the_grain() -> None:
    light, _ = cloth("solid", turn_deg=-3.0, wide_in=3, high_in=3, ppi=240)
    weave = find_weave(light, ppi=240)
    assert weave is not None
    assert weave.turn_deg == pytest.approx(3.0, abs=0.05)
    assert weave.skew_deg == pytest.approx(0.0, abs=0.05)
    assert (weave.threads_across_per_in, weave.threads_down_per_in) == pytest.approx((68, 64), abs=0.1)
    straight = find_weave(straighten(light, turn_deg=weave.turn_deg, skew_deg=weave.skew_deg), ppi=240)
    assert straight is not None
    assert abs(straight.turn_deg) < 0.05
    assert find_weave(cloth("solid")[0], ppi=PPI) is None


def test_finished_cloth_says_what_was_done() -> None:
    light, _ = cloth("floral_half")
    done = finish_cloth(light, ppi=PPI)
    assert done.wraps
    assert done.repeat.kind == "lattice"
    rows, columns = done.tile_srgb8.shape[:2]
    tile_in = np.array([columns, rows]) / done.ppi
    steps = np.array(done.repeat.steps_in)
    shares = steps / tile_in * 2
    assert np.abs(shares - np.rint(shares)).max() < 1e-6
    kept = finish_cloth(light, ppi=PPI, repeat="as it is")
    assert not kept.wraps
    assert kept.tile_srgb8.shape == light.shape


def test_colours_outside_are_counted() -> None:
    light = np.full((300, 300, 3), 0.4, np.float32)
    light[:30] = (0.5, -0.1, 0.2)
    done = finish_cloth(light, ppi=PPI, repeat="as it is")
    assert done.outside == pytest.approx(0.1)
    assert any("outside sRGB" in note for note in done.notes)


def test_a_large_tile_is_as_true_though_its_repeats_are_compared_in_small_pictures() -> None:
    # Six times as many pixels of the same cloth, so that the tile is 1,600 wide: the same tile comes out.
    cloth = pulled(srgb8_to_lin(render("floral_half", 6.4, 4.6, PPI, 3)[0]), 1.5)
    found = find_repeat(cloth, ppi=PPI)
    larger = np.asarray(cv2.resize(cloth, None, fx=6, fy=6, interpolation=cv2.INTER_CUBIC), dtype=np.float32)
    small, large = (tile_from_repeat(each, found, ppi=ppi) for each, ppi in ((cloth, PPI), (larger, 6 * PPI)))
    assert small is not None
    assert large is not None
    assert large.tile_lin.shape[1] > 1500
    assert "same shape" in large.note
    same = cv2.resize(large.tile_lin, small.tile_lin.shape[1::-1], interpolation=cv2.INTER_AREA)
    assert float(np.abs(same - small.tile_lin).mean()) < 0.003
