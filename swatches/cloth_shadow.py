"""A shadow across cloth beside no white paper: every colour of the print darker by one factor.

Beyond a straight, more or less soft edge all colours are darker alike. Pairs of like places say so: of those
that lie on both sides, as many differ by that one factor as elsewhere agree, and none agree any more. The
edge of a stripe or of a motif is no such thing: across it, places of one colour still agree.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swatches.like_places import Places, pair_up
from swatches.repeat import Repeat
from swatches.shadow_votes import (
    AGREE,
    FURTHEST,
    LEAST_AGREEING,
    LEAST_DEPTH,
    STEPS,
    is_proof,
    near_votes,
    step_of,
)
from swatches.sheet_shadow import Shadow

__all__ = ["HuePairs", "find_cloth_shadow", "pairs_of_one_hue", "several_colours"]

_PAIRS = 50_000
_MOST_PAIRS = 30_000
_GREY, _GREY_SHARE = 0.07, 0.1
"""How far the three channels of a pair may differ, in logarithms, for its light alone to have changed."""
_ANGLES, _EDGES = 32, 24
_CLEAR = 0.03
_LEAST_SCORE = 0.65
"""Measured: shadows score 0.8 to 1.3, prints without one at most 0.3."""
_ENOUGH = 0.03
_OTHER, _LEAST_OTHER = 0.35, 0.025

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class HuePairs:
    """Pairs of places that differ in lightness alone, by number, and how much lighter the first is."""

    first: NDArray[np.intp]
    second: NDArray[np.intp]
    lighter: Floats


def pairs_of_one_hue(
    places: Places,
    repeat: Repeat | None,
    *,
    reaches: tuple[float, ...],
    slow: Floats,
    chance: np.random.Generator,
) -> HuePairs:
    """At most 30,000 such pairs, as many within each reach in half widths.

    `slow`: (n, 3), the logarithm of the slow light at every place.
    """
    parts = [pair_up(places, repeat, reach=reach, count=_PAIRS, chance=chance) for reach in reaches]
    a, b = (np.concatenate([getattr(part, side) for part in parts]) for side in ("first", "second"))
    trust = np.minimum(places.trust[a], places.trust[b])
    apart = (places.logs[a] - slow[a]) - (places.logs[b] - slow[b])
    lighter = (apart * trust).sum(axis=1) / trust.sum(axis=1)
    uneven = np.sqrt(((apart - lighter[:, None]) ** 2 * trust).sum(axis=1) / trust.sum(axis=1))
    kept = np.flatnonzero((uneven < _GREY + _GREY_SHARE * np.abs(lighter)) & (np.abs(lighter) < FURTHEST))
    kept = kept[:: max(1, -(-len(kept) // _MOST_PAIRS))]
    return HuePairs(a[kept], b[kept], lighter[kept])


def several_colours(places: Places, numbers: NDArray[np.intp]) -> bool:
    """Whether places of these numbers have more colours of the cloth than one; rare ones do not count."""
    logs = places.logs[numbers]
    kinds = np.stack([logs[:, 0] - logs[:, 1], logs[:, 2] - logs[:, 1], logs.mean(axis=1)], axis=1)
    other = (np.abs(kinds - np.median(kinds, axis=0)) > _OTHER).any(axis=1)
    return bool(other.mean() > _LEAST_OTHER)


def find_cloth_shadow(places: Places, pairs: HuePairs) -> tuple[Shadow, NDArray[np.intp]] | None:
    """The shadow with one straight edge that the cloth shows, and the numbers of lit places that say so.

    How soft the edge is, is not found.
    """
    if not len(pairs.lighter):
        return None
    agreeing = float((np.abs(pairs.lighter) < AGREE).mean())
    if agreeing < LEAST_AGREEING:
        return None
    first, second = places.at[pairs.first], places.at[pairs.second]
    best: tuple[float, Shadow] | None = None
    for angle in np.arange(_ANGLES) * (2 * np.pi / _ANGLES):
        across, down = float(np.cos(angle)), float(np.sin(angle))
        ends = np.quantile(places.at @ (across, down), (0.06, 0.94))
        edges = np.linspace(ends[0], ends[1], _EDGES)
        counted = _across(first @ (across, down), second @ (across, down), pairs.lighter, edges)
        score, depth = _votes(counted, agreeing, pairs=len(first))
        i = int(np.argmax(score))
        if best is None or score[i] > best[0]:
            shadow = Shadow(across, down, float(edges[i]), _CLEAR, np.full(3, depth[i]))
            best = float(score[i]), shadow
    if best is None or best[0] <= _LEAST_SCORE:
        return None
    side = (places.at @ (best[1].across, best[1].down) - best[1].edge) > 0
    first_lit, second_lit = side[pairs.first], side[pairs.second]
    agrees = np.abs(np.where(first_lit, -pairs.lighter, pairs.lighter) - best[1].depth[0]) < AGREE
    over = np.concatenate(
        [pairs.second[second_lit & ~first_lit & agrees], pairs.first[first_lit & ~second_lit & agrees]]
    )
    return best[1], over


def _across(near: Floats, far: Floats, lighter: Floats, edges: Floats) -> Floats:
    """Of the pairs that lie on both sides of each edge, how many have a lower place how much lighter.

    (edges, steps of lightness).
    """
    low, high = np.minimum(near, far) + _CLEAR, np.maximum(near, far) - _CLEAR
    step = step_of(np.where(near <= far, lighter, -lighter))
    # A pair counts for every edge from the first to the last that lies between its places.
    first, last = np.searchsorted(edges, low), np.searchsorted(edges, high)
    spans = np.flatnonzero(first < last)
    count = (len(edges) + 1) * STEPS
    begun = np.bincount(first[spans] * STEPS + step[spans], minlength=count)
    ended = np.bincount(last[spans] * STEPS + step[spans], minlength=count)
    return np.asarray((begun - ended).reshape(-1, STEPS).cumsum(axis=0)[:-1], dtype=np.float64)


def _votes(counted: Floats, agreeing: float, *, pairs: int) -> tuple[Floats, Floats]:
    """How plainly each edge is that of a shadow on its lower side, and how deep that would be."""
    near, depths, total = near_votes(counted)
    total = np.maximum(total, 1)
    deepest = np.argmax(np.where(depths < -LEAST_DEPTH, near, -1), axis=1)
    shaded = near[np.arange(len(counted)), deepest] / total / agreeing
    unshaded = near[:, int(np.argmin(np.abs(depths)))] / total / agreeing
    sure = np.minimum(1.0, np.sqrt(total / pairs / _ENOUGH))
    return np.where(is_proof(total, shaded, unshaded), (shaded - unshaded) * sure, 0.0), depths[deepest]
