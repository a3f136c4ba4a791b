"""What pairs of places of one hue say for a shadow: their votes on its depth, and how many are proof."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["AGREE", "FURTHEST", "LEAST_AGREEING", "LEAST_DEPTH", "STEPS", "is_proof", "near_votes", "step_of"]

AGREE = 0.1
"""How far two logarithms of light may differ and still be the same."""
FURTHEST = 1.4
_STEP = 0.05
STEPS = round(2 * FURTHEST / _STEP)
LEAST_DEPTH = 0.13
LEAST_AGREEING = 0.3
"""Share of the pairs of one hue that agree: below it a print is too busy to tell (measured)."""
_LEAST_ACROSS = 150
"""Pairs; fewer prove nothing."""
_MOST_UNSHADED, _LEAST_SHADED = 0.35, 0.7

Floats = NDArray[np.float64]


def step_of(lighter: Floats) -> NDArray[np.intp]:
    """Which step of lightness, from -FURTHEST up, each difference of logarithms falls into."""
    return np.clip((lighter + FURTHEST) / _STEP, 0, STEPS - 1).astype(np.intp)


def near_votes(counted: NDArray[np.floating]) -> tuple[Floats, Floats, Floats]:
    """Of votes (..., steps): those within AGREE of each depth (..., depths), the depths, and all of them."""
    wide = round(AGREE / _STEP)
    sums = np.concatenate([np.zeros((*counted.shape[:-1], 1)), counted.cumsum(axis=-1)], axis=-1)
    near = sums[..., 2 * wide :] - sums[..., : -2 * wide]
    return near, -FURTHEST + _STEP * (np.arange(near.shape[-1]) + wide), sums[..., -1]


def is_proof(across: ArrayLike, shaded: ArrayLike, unshaded: ArrayLike) -> NDArray[np.bool_]:
    """Whether pairs that lie across an edge prove a shadow.

    `across`: how many there are; `shaded`, `unshaded`: the shares of them that differ by the depth of the
    shadow, and by nothing, over the share that agrees elsewhere.
    """
    enough = np.asarray(across) >= _LEAST_ACROSS
    return enough & (np.asarray(unshaded) <= _MOST_UNSHADED) & (np.asarray(shaded) >= _LEAST_SHADED)
