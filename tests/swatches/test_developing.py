"""Codes of wide spaces as sRGB: a large photograph, whose colours are worked out once each."""

from __future__ import annotations

import numpy as np

from swatches.developing import develop
from swatches.spaces import ADOBE_LIKE


def test_a_large_photograph_comes_out_as_its_parts_do() -> None:
    rng = np.random.default_rng(5)
    # Vivid greens and reds that sRGB cannot hold, pale colours that it can, and each of them many times.
    colours = rng.integers(0, 256, (4000, 3)).astype(np.uint8)
    photo = colours[rng.integers(0, len(colours), (1600, 2000))]
    whole = develop(photo, space=ADOBE_LIKE, alpha=None)
    parts = [develop(part, space=ADOBE_LIKE, alpha=None) for part in np.split(photo, 2)]
    assert np.array_equal(whole.srgb8, np.concatenate([part.srgb8 for part in parts]))
    assert whole.light16 is None
    assert 0.1 < whole.outside < 0.9
    assert abs(whole.outside - (parts[0].outside + parts[1].outside) / 2) < 1e-6
