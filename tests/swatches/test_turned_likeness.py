"""Likenesses of a picture to itself turned and mirrored, beside trying every shift."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from numpy.typing import NDArray

from swatches.turned_likeness import like_mirrored, like_quarter_turned, like_turned, spectra

Picture = NDArray[np.float32]
_TURNS: tuple[Callable[[Picture], Picture], ...] = (
    lambda seen: seen[::-1, ::-1],
    lambda seen: seen[:, ::-1],
    lambda seen: seen[::-1],
)


def _picture(rows: int, columns: int) -> Picture:
    even = np.random.default_rng(3).normal(0, 1, (rows, columns, 2)).astype(np.float32)
    # One arm of an L and its like, so that some turns are much liker than others.
    even[2:5, 1] += 9
    even[4, 1:6] += 9
    return np.asarray(even - even.mean(axis=(0, 1)), dtype=np.float32)


def _by_trying(even: Picture, other: Picture, *, wraps: bool) -> float:
    """The best correlation over all shifts, one by one; over a border as wide as half of it if not round."""
    if not wraps:
        border = [(0, even.shape[0]), (0, even.shape[1]), (0, 0)]
        even, other = np.pad(even, border), np.pad(other, border)
    tried = [
        float((even * np.roll(other, (down, right), axis=(0, 1))).sum())
        for down in range(even.shape[0])
        for right in range(even.shape[1])
    ]
    return max(tried) / float((even**2).sum())


@pytest.mark.parametrize("wraps", [True, False])
@pytest.mark.parametrize("shape", [(12, 9), (7, 11)])
def test_likenesses_are_those_that_trying_every_shift_finds(shape: tuple[int, int], wraps: bool) -> None:
    even = _picture(*shape)
    seen = spectra(even, wraps=wraps)
    found = (like_turned(seen, even), *like_mirrored(seen, even))
    tried = [_by_trying(even, turn(even), wraps=wraps) for turn in _TURNS]
    assert np.allclose(found, tried, atol=1e-5)


@pytest.mark.parametrize("wraps", [True, False])
def test_a_quarter_turn_is_tried_too(wraps: bool) -> None:
    even = _picture(9, 9)
    expected = _by_trying(even, np.rot90(even), wraps=wraps)
    assert like_quarter_turned(even, wraps=wraps) == pytest.approx(expected, abs=1e-5)
