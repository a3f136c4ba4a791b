"""Threads are told from the overtones of a sharp print: truth is the grid that the print was drawn on."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from benchmarks.sim.fabrics import render
from palettes.encodings import srgb8_to_lin
from swatches.straight import straighten
from swatches.weave import find_weave

_OFF_DEG = 0.3


def _turned(light, deg, skew_deg=0.0):
    """Crosswise lines turned clockwise by `deg`, lengthwise ones by `skew_deg` more."""
    rows, columns = light.shape[:2]
    a, b = np.radians(deg), np.radians(deg + skew_deg)
    grain = np.array([[np.cos(a), -np.sin(b)], [np.sin(a), np.cos(b)]])
    middle = np.array([columns / 2, rows / 2])
    turn = np.column_stack([grain, middle - grain @ middle])
    made = cv2.warpAffine(light, turn, (columns, rows), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT)
    return np.ascontiguousarray(np.clip(made, 0, 1)[20:-20, 20:-20])


def _print(kind, side, ppi):
    y, x = np.mgrid[0 : 4 * ppi, 0 : 4 * ppi] / ppi
    drawn = {
        "checks": (x // side + y // side) % 2,
        "gingham": ((x // side) % 2 + (y // side) % 2) / 2,
        "lines": (x % side < side / 8) | (y % side < side / 8),
        "dots": (x % side - side / 2) ** 2 + (y % side - side / 2) ** 2 < (side / 4) ** 2,
        "diamonds": ((x + y) // side + (x - y) // side) % 2,
        "triangles": x % side < y % side,
        "off square": (x // side + (y + x * np.tan(np.radians(3))) // side) % 2,
        "half drop": (x / side % 1 - 0.5) ** 2 + ((y / side + x // side / 2) % 1 - 0.5) ** 2 < 0.1,
    }[kind]
    light = 0.05 + 0.8 * drawn + np.random.default_rng(1).normal(0, 0.01, drawn.shape)
    return np.repeat(np.clip(light, 0, 1).astype(np.float32)[..., None], 3, axis=2)


@pytest.mark.parametrize("kind", ["checks", "gingham", "lines", "dots", "diamonds", "triangles"])
@pytest.mark.parametrize("ppi", [100, 200, 300])
@pytest.mark.parametrize("side", [1 / 8, 1 / 4, 0.37])
def test_a_sharp_print_on_no_weave_is_never_turned_off_its_grid(kind, side, ppi):
    for deg in (0.0, 1.3):
        light = _turned(_print(kind, side, ppi), deg)
        weave = find_weave(light, ppi=ppi)
        if weave is not None:
            assert weave.turn_deg == pytest.approx(deg, abs=_OFF_DEG)
            assert weave.skew_deg == pytest.approx(0, abs=_OFF_DEG)


@pytest.mark.parametrize("name", ["solid", "batik", "floral_half", "large_floral", "plaid", "dots_half"])
def test_threads_below_a_print_are_still_seen(name):
    picture, _ = render(name, 4, 4, 200, 50)
    weave = find_weave(_turned(srgb8_to_lin(picture), 2.0), ppi=200)
    assert weave is not None
    assert weave.turn_deg == pytest.approx(2.0, abs=0.05)
    assert weave.skew_deg == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize("side", [1 / 8, 1 / 4, 0.37])
@pytest.mark.parametrize("kind", ["off square", "half drop"])
def test_a_print_that_is_off_its_own_grid_turns_nothing(kind, side):
    for ppi in (200, 300):
        weave = find_weave(_print(kind, side, ppi), ppi=ppi)
        assert weave is None or max(abs(weave.turn_deg), abs(weave.skew_deg)) < 0.1


@pytest.mark.parametrize(("turn_deg", "skew_deg"), [(-1.2, 1.5), (3.0, -0.8)])
@pytest.mark.parametrize("name", ["batik", "dots"])
def test_turned_and_skewed_cloth_is_straightened(name, turn_deg, skew_deg):
    light = _turned(srgb8_to_lin(render(name, 4, 4, 220, 51)[0]), turn_deg, skew_deg)
    weave = find_weave(light, ppi=220)
    assert weave is not None
    assert weave.turn_deg == pytest.approx(turn_deg, abs=0.06)
    assert weave.skew_deg == pytest.approx(skew_deg, abs=0.06)
    # The simulator weaves 68 by 64 threads an inch; a skew stretches the pitch by its cosine at most.
    assert weave.threads_across_per_in == pytest.approx(68, rel=0.002)
    assert weave.threads_down_per_in == pytest.approx(64, rel=0.002)
    straight = straighten(light, turn_deg=weave.turn_deg, skew_deg=weave.skew_deg)
    left = find_weave(straight, ppi=220)
    assert left is not None
    assert abs(left.turn_deg) < 0.06
    assert abs(left.skew_deg) < 0.06


def test_threads_that_the_pixels_are_too_few_for_are_not_guessed():
    # 90 threads an inch seen at 120 pixels an inch look like 30, leaning the wrong way.
    y, x = np.mgrid[0:600, 0:600] / 120
    tilt = np.radians(2.0)
    u, v = x * np.cos(tilt) + y * np.sin(tilt), y * np.cos(tilt) - x * np.sin(tilt)
    for threads in (70, 75, 90):
        light = 0.4 + 0.05 * np.sin(2 * np.pi * threads * u) + 0.05 * np.sin(2 * np.pi * threads * v)
        assert find_weave(np.repeat(light.astype(np.float32)[..., None], 3, axis=2), ppi=120) is None
