"""How any two cloths of a stash would read beside each other, wherever they are cut: a table of all."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from palettes.looks import SPOTS, Look
from palettes.shares import sure_chances
from palettes.thresholds import THRESHOLDS, Thresholds

__all__ = ["pair_shares", "pair_table"]

_Floats = NDArray[np.float64]

_PARTNERS = np.random.default_rng(20).permutation(SPOTS)
"""Which spot of the other cloth each spot meets: independent of where in its cloth it lies."""

_PER_L = 100
"""Steps of the table of chances for one L*: a hundredth of L* moves no chance by a thousandth."""


def pair_table(
    looks: Sequence[Look],
    *,
    narrow: bool = False,
    with_colour: bool = False,
    thresholds: Thresholds = THRESHOLDS,
) -> _Floats:
    """The share (n, n) of an edge that would show between every two cloths, cut at random. Symmetric.

    narrow: one of the two is a stem under half an inch. with_colour: colour helps.
    """
    there = pair_shares(looks, looks, narrow=narrow, with_colour=with_colour, thresholds=thresholds)
    return (there + there.T) / 2


def pair_shares(
    firsts: Sequence[Look],
    seconds: Sequence[Look],
    *,
    narrow: bool = False,
    with_colour: bool = False,
    thresholds: Thresholds = THRESHOLDS,
) -> _Floats:
    """The share (n, m) of an edge that would show between each first and each second cloth.

    As palettes.reading counts it, but between spots taken anywhere in the two cloths.
    """
    weights = np.array(
        [1.0, thresholds.red_green_weight, thresholds.blue_yellow_weight] if with_colour else [1.0, 0.0, 0.0]
    )
    one, other = (
        np.stack([look.narrow_spots_lab if narrow else look.spots_lab for look in looks]) * weights
        for looks in (firsts, seconds)
    )
    other = other[:, _PARTNERS]
    chances = sure_chances(np.arange(200 * _PER_L) / _PER_L, thresholds=thresholds).astype(np.float32)
    means = one.mean(axis=1)[:, None] - other.mean(axis=1)[None]
    seen = np.stack(
        [_row(each, other, means[i], chances, with_colour, thresholds) for i, each in enumerate(one)]
    )
    busy = [
        np.array([look.narrow_busy if narrow else look.busy for look in looks]) for looks in (firsts, seconds)
    ]
    false = thresholds.false_edge_weight * (busy[0][:, None] + busy[1][None])
    return np.asarray(np.maximum(0.0, seen - false), dtype=np.float64)


def _row(
    one: _Floats,
    others: _Floats,
    means: _Floats,
    chances: NDArray[np.float32],
    with_colour: bool,
    thresholds: Thresholds,
) -> _Floats:
    """What shows of one cloth against each other, before false edges are taken off."""
    if with_colour:
        steps = one[None] - others
        sizes = np.sqrt(np.einsum("ijk,ijk->ij", steps, steps))
        one_way = np.einsum("ijk,ik->ij", steps, means) >= 0
    else:
        steps = one[None, :, 0] - others[:, :, 0]
        sizes = np.abs(steps)
        one_way = steps >= 0
    seen = chances[np.minimum((sizes * _PER_L).astype(np.int32), len(chances) - 1)]
    ends = np.stack([np.where(one_way, seen, 0).sum(axis=1), np.where(one_way, 0, seen).sum(axis=1)])
    return np.asarray(
        (ends.max(axis=0) + thresholds.turned_weight * ends.min(axis=0)) / sizes.shape[1], dtype=np.float64
    )
