"""The median of a handful of pictures, beside numpy's."""

from __future__ import annotations

import numpy as np
import pytest

from swatches.middle import middle


@pytest.mark.parametrize("count", range(1, 25))
def test_the_middle_of_pictures_is_their_median(count: int) -> None:
    pictures = np.random.default_rng(count).integers(0, 9, (count, 5, 7, 3)).astype(np.float32)
    before = pictures.copy()
    assert np.array_equal(middle(list(pictures)), np.median(pictures, axis=0))
    assert np.array_equal(pictures, before)
