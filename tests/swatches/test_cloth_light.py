"""The light on cloth without any white paper: made-up prints under light that is known exactly."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from benchmarks.sim.fabrics import render
from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.cloth_light import find_cloth_light
from swatches.faults import light_faults
from swatches.repeat import find_repeat

PPI = 110


@cache
def cloth(name: str, seed: int = 5) -> NDArray[np.float32]:
    light = srgb8_to_lin(render(name, 6, 4.5, PPI, seed)[0])
    light.flags.writeable = False
    return light


def halves(shape: tuple[int, ...]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """How far right and down every pixel lies from the middle, in half widths."""
    y, x = np.mgrid[: shape[0], : shape[1]]
    return (x + 0.5) / shape[1] * 2 - 1, ((y + 0.5) * 2 - shape[0]) / shape[1]


def lamp(shape: tuple[int, ...]) -> NDArray[np.float64]:
    """Light from one side that also falls off all round: 1.67 times as bright in one corner as in another."""
    u, v = halves(shape)
    return np.exp(0.18 * u + 0.1 * v - 0.08 * (u * u + v * v))


def lit(name: str, light: NDArray[np.float64]) -> NDArray[np.float32]:
    return (cloth(name) * (light if light.ndim == 3 else light[..., None])).astype(np.float32)


def spread(seen: NDArray[np.float32], name: str) -> float:
    """Spread of the error of L* over the cloth, in the same units, a constant one apart."""
    off = lab_from_lin(np.clip(seen, 0, 1))[..., 0] - lab_from_lin(cloth(name))[..., 0]
    rows, columns = (side // 20 * 20 for side in off.shape)
    return float(off[:rows, :columns].reshape(rows // 20, 20, -1, 20).mean(axis=(1, 3)).std())


@pytest.mark.parametrize("name", ["solid", "large_floral", "toss_norepeat", "grunge", "plaid"])
def test_known_uneven_light_is_evened_out(name: str) -> None:
    light = lamp(cloth(name).shape)
    seen = lit(name, light)
    found = find_cloth_light(seen, ppi=PPI)
    assert found.sure
    assert found.uneven == pytest.approx(light.max() / light.min() - 1, abs=0.12)
    assert found.tinted == 0
    assert found.shaded == 0
    evened = found.taken_off(seen)
    assert spread(seen, name) > 1.4
    assert spread(evened, name) < 0.5
    kept = (picture.mean(axis=(0, 1), dtype=np.float64) for picture in (evened, seen))
    assert next(kept) == pytest.approx(next(kept), rel=1e-4)


@pytest.mark.parametrize("name", ["solid", "floral_half", "batik", "grunge", "plaid", "stripe"])
def test_even_light_is_left_alone(name: str) -> None:
    found = find_cloth_light(cloth(name), ppi=PPI)
    assert (found.uneven, found.tinted, found.shaded) == (0, 0, 0)
    assert np.array_equal(found.taken_off(cloth(name)), cloth(name))


def vignette(shape: tuple[int, ...], corner: float) -> NDArray[np.float64]:
    """Light as a lens leaves it: all in the middle, that share in the corners."""
    u, v = halves(shape)
    return 1 - (1 - corner) * (u * u + v * v) / (1 + (shape[0] / shape[1]) ** 2)


@pytest.mark.parametrize("name", ["solid", "large_floral", "floral_half", "plaid"])
def test_a_lens_that_darkens_the_corners_is_evened_out_and_not_named(name: str) -> None:
    light = vignette(cloth(name).shape, 0.6)
    found = find_cloth_light(lit(name, light), ppi=PPI)
    assert found.uneven == pytest.approx(1 / 0.6 - 1, abs=0.15)
    assert found.one_sided < 0.2
    assert light_faults(found) == ()
    u, _ = halves(light.shape)
    sided = find_cloth_light(lit(name, light * (1 - 0.25 * (1 + u))), ppi=PPI)
    # Twice as bright at one end as at the other, whatever the lens does.
    assert sided.one_sided == pytest.approx(1, abs=0.3)
    assert [fault.name for fault in light_faults(sided)] == ["uneven light"]


def test_corners_in_the_dark_are_named() -> None:
    found = find_cloth_light(lit("solid", vignette(cloth("solid").shape, 0.3)), ppi=PPI)
    (fault,) = light_faults(found)
    assert fault.name == "uneven light"
    assert "as bright as its corners" in fault.words


def test_a_print_without_two_like_places_is_left_alone_and_said() -> None:
    # Every inch has colours of its own.
    rng = np.random.default_rng(3)
    blocks = np.repeat(np.repeat(rng.uniform(0.05, 0.9, (27, 36, 3)), 18, axis=0), 18, axis=1)
    seen = (blocks * lamp(blocks.shape)[..., None]).astype(np.float32)
    found = find_cloth_light(seen, ppi=PPI)
    assert not found.sure
    assert np.array_equal(found.taken_off(seen), seen)


def test_a_repeat_tells_the_light_where_colours_do_not() -> None:
    rng = np.random.default_rng(4)
    cell = np.repeat(np.repeat(rng.uniform(0.05, 0.9, (8, 8, 3)), 14, axis=0), 14, axis=1)
    even = np.tile(cell, (4, 6, 1)).astype(np.float32)
    seen = (even * lamp(even.shape)[..., None]).astype(np.float32)
    assert not find_cloth_light(seen, ppi=PPI).sure
    found = find_cloth_light(seen, ppi=PPI, repeat=find_repeat(seen, ppi=PPI))
    assert found.sure
    off = np.log(found.taken_off(seen) / even).mean(axis=2)
    assert np.log(lamp(even.shape)).std() > 0.1
    assert off.std() < 0.02


def test_light_of_two_colours_is_told_and_taken_off() -> None:
    u, _ = halves(cloth("large_floral").shape)
    lamps = np.exp(np.stack([0.25 * u, 0 * u, -0.3 * u], axis=2))
    found = find_cloth_light(lit("large_floral", lamps), ppi=PPI)
    blue = lamps[..., 2] / luminance(lamps)
    assert found.tinted == pytest.approx(blue.max() / blue.min() - 1, rel=0.15)
    made = found.taken_off(lit("large_floral", lamps))
    off = np.log(np.maximum(made, 0.01)) - np.log(np.maximum(cloth("large_floral"), 0.01))
    assert (off[..., 0] - off[..., 2]).std() < 0.06
    assert (0.55 * u).std() > 0.3


def soft(far: NDArray[np.float64]) -> NDArray[np.float64]:
    """1 inside, 0 outside, over about a quarter inch of cloth six inches wide."""
    return 1 / (1 + np.exp(np.clip(far / 0.02, -30, 30)))


@pytest.mark.parametrize("name", ["solid", "large_floral", "gingham", "floral_tonal"])
def test_a_straight_shadow_is_found_and_taken_off(name: str) -> None:
    u, v = halves(cloth(name).shape)
    cover = soft(0.6 * u + 0.8 * v + 0.2)
    seen = lit(name, lamp(u.shape) * (1 - 0.35 * cover))
    found = find_cloth_light(seen, ppi=PPI)
    assert found.shadow is not None
    assert found.shaded == pytest.approx(cover.mean(), abs=0.05)
    assert found.depth == pytest.approx(0.35, abs=0.05)
    assert spread(found.taken_off(seen), name) < 0.35 * spread(seen, name)


def test_the_shadow_of_a_phone_is_found_and_left_in_place() -> None:
    u, v = halves(cloth("ditsy").shape)
    cover = soft(np.maximum(np.abs(u) - 0.3, v - 0.1))
    found = find_cloth_light(lit("ditsy", 1 - 0.4 * cover), ppi=PPI)
    assert found.shadow is None
    assert found.shaded == pytest.approx(cover.mean(), abs=0.07)
    assert found.depth == pytest.approx(0.4, abs=0.06)


def test_a_dark_motif_is_no_shadow() -> None:
    u, v = halves(cloth("solid").shape)
    for edge in (np.maximum(np.abs(u) - 0.3, v - 0.1), 0.6 * u + 0.8 * v + 0.2):
        motif = 1 - 0.4 * (edge < 0)
        assert find_cloth_light(lit("solid", motif), ppi=PPI).shaded == 0
