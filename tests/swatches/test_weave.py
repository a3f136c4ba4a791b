"""Threads are told from the overtones of a sharp print: truth is the grid that the print was drawn on."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from benchmarks.sim.fabrics import render
from palettes.encodings import srgb8_to_lin
from swatches.weave import find_weave

_OFF_DEG = 0.3


def _turned(light, deg):
    rows, columns = light.shape[:2]
    turn = cv2.getRotationMatrix2D((columns / 2, rows / 2), -deg, 1.0)
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
    }[kind]
    light = 0.05 + 0.8 * drawn + np.random.default_rng(1).normal(0, 0.01, drawn.shape)
    return np.repeat(np.clip(light, 0, 1).astype(np.float32)[..., None], 3, axis=2)


@pytest.mark.parametrize("kind", ["checks", "gingham", "lines", "dots", "diamonds", "triangles"])
@pytest.mark.parametrize("ppi", [100, 200])
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
