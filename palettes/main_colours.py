"""The few colours that a print is made of, and how much of it each covers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palettes.lightness import lab_from_lin
from palettes.thresholds import THRESHOLDS

__all__ = ["main_colours"]

_CELL_LAB = (8.0, 12.0, 12.0)
"""Colours are first counted in cells of this size (ours): too near to be told apart at a glance."""

_ROUNDS = 3


def main_colours(
    light_lin: NDArray[np.floating], *, most: int = 8, least_share: float = 0.01
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Mean light (k, 3) of up to `most` colours of the places (n, 3), and their shares, largest first.

    Colours are first those that many places have, far enough apart; then every place goes to the nearest
    and each colour becomes the mean light of its places. The shares sum to 1.
    """
    light = np.asarray(light_lin, dtype=np.float64).reshape(-1, 3)
    lab = np.asarray(lab_from_lin(light), dtype=np.float64)
    seeds = _seeds(lab, most=most, least=max(1, int(least_share * len(lab))))
    for _ in range(_ROUNDS):
        nearest = _nearest(lab, seeds)
        counts = np.bincount(nearest, minlength=len(seeds))
        kept = counts > 0
        sums = np.stack([np.bincount(nearest, light[:, c], minlength=len(seeds)) for c in range(3)], axis=1)
        means = sums[kept] / counts[kept, None]
        counts = counts[kept]
        seeds = np.asarray(lab_from_lin(means), dtype=np.float64)
    order = np.argsort(-counts, kind="stable")
    return means[order], counts[order] / counts.sum()


def _seeds(lab: NDArray[np.float64], *, most: int, least: int) -> NDArray[np.float64]:
    cells = np.floor(lab / _CELL_LAB).astype(np.int64) + 64
    codes = (cells[:, 0] * 256 + cells[:, 1]) * 256 + cells[:, 2]
    _, inverse, counts = np.unique(codes, return_inverse=True, return_counts=True)
    means = np.stack([np.bincount(inverse, lab[:, c]) for c in range(3)], axis=1) / counts[:, None]
    chosen: list[NDArray[np.float64]] = []
    for cell in np.argsort(-counts, kind="stable"):
        if len(chosen) == most or (chosen and counts[cell] < least):
            break
        if all(np.linalg.norm(means[cell] - other) >= THRESHOLDS.apart_lab for other in chosen):
            chosen.append(means[cell])
    return np.array(chosen)


def _nearest(lab: NDArray[np.float64], seeds: NDArray[np.float64]) -> NDArray[np.intp]:
    # |p - c|^2 less the part that is the same for every c.
    return np.asarray(np.argmin(np.sum(seeds**2, axis=1) - 2 * (lab @ seeds.T), axis=1))
