"""Through a coloured film: greys keep their value, and the film's own colour passes for light."""

from __future__ import annotations

import numpy as np
import pytest

from palettes.coloured_film import FILMS, film_gap_L, film_light, film_srgb8

GREYS = np.repeat(np.arange(0, 256, 15, dtype=np.uint8)[:, None], 3, axis=1)


@pytest.mark.parametrize("film", FILMS)
def test_greys_are_right(film):
    assert np.abs(film_gap_L(GREYS, film=film)).max() < 1e-3
    assert film_light(np.ones(3, np.float32), film=film) == pytest.approx(1)


def test_a_red_is_a_light_through_red_and_a_dark_through_green():
    red, leaf = np.uint8([205, 25, 40]), np.uint8([60, 130, 50])
    assert film_gap_L(red, film="red") > 20
    assert film_gap_L(red, film="green") < -10
    assert film_gap_L(leaf, film="red") < -10
    assert film_gap_L(leaf, film="green") > 2


def test_the_docstring_tells_the_figure():
    told = float(film_gap_L.__doc__.split("-> ")[1].split(":")[0])
    assert film_gap_L(np.uint8([205, 25, 40]), film="red") == pytest.approx(told, abs=0.05)


def test_the_picture_is_of_one_hue():
    rng = np.random.default_rng(3)
    shown = film_srgb8(rng.integers(0, 256, (20, 30, 3), dtype=np.uint8), film="red").astype(int)
    assert (shown[..., 0] >= shown[..., 1]).all()
    assert (shown[..., 1] == shown[..., 2]).all()
