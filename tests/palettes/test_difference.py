from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.difference import ciede2000

LAB = st.tuples(st.floats(0, 100), st.floats(-128, 128), st.floats(-128, 128))


@given(LAB, LAB)
def test_it_does_not_matter_which_comes_first(first: tuple[float, ...], second: tuple[float, ...]) -> None:
    assert ciede2000(first, second) == pytest.approx(float(ciede2000(second, first)), abs=1e-9)


@given(LAB)
def test_a_colour_does_not_differ_from_itself(lab: tuple[float, ...]) -> None:
    assert ciede2000(lab, lab) == 0


@given(LAB, LAB)
def test_it_is_a_size(first: tuple[float, ...], second: tuple[float, ...]) -> None:
    assert 0 <= ciede2000(first, second) < 250


def test_shapes_are_broadcast_and_the_last_axis_goes() -> None:
    cloth = np.zeros((4, 5, 3), dtype=np.float32)
    assert ciede2000(cloth, (50, 0, 0)).shape == (4, 5)
    assert ciede2000((50, 0, 0), (50, 0, 0)).shape == ()


def test_opposite_hues_are_found_whatever_the_rounding() -> None:
    """The hues of a colour and its mirror image are 180 degrees apart, but for one bit of atan2."""
    angles = np.linspace(0, np.pi, 721)
    a, b = 30 * np.cos(angles), 30 * np.sin(angles)
    first = np.stack([np.full_like(a, 50), a, b], axis=1)
    ways = ciede2000(first, first * (1, -1, -1)), ciede2000(first * (1, -1, -1), first)
    np.testing.assert_allclose(*ways, rtol=0, atol=1e-9)
