from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.munsell import luminance_of_value, value_of_luminance


@given(st.floats(0, 10))
def test_value_and_back(value: float) -> None:
    assert value_of_luminance(luminance_of_value(value)) == pytest.approx(value, abs=1e-9)


def test_the_ends_and_beyond() -> None:
    np.testing.assert_allclose(value_of_luminance([-0.1, 0, 1, 1.2]), (0, 0, 10, 10), atol=1e-9)


def test_it_climbs_everywhere() -> None:
    assert (np.diff(luminance_of_value(np.linspace(0, 10, 2001))) > 0).all()
