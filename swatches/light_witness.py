"""What pairs of like places say of the light on cloth: smooth light and a shadow that let them agree."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swatches.like_places import Places, pair_up
from swatches.repeat import Repeat
from swatches.sheet_shadow import Shadow

__all__ = [
    "ALIKE",
    "Witness",
    "agreeing",
    "call_witness",
    "covered",
    "fit_light",
    "fit_shadow",
    "light_terms",
]

ALIKE = 0.12
"""How far two logarithms may differ and be those of one colour in one light."""
_PAIRS = 40_000
_STEADY = 1e-4
_WIDTHS = (0.008, 0.02, 0.04, 0.08, 0.16)

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Witness:
    """Pairs of places and how far apart their light is."""

    apart: Floats
    """(m, 3): difference of the logarithms of their light."""
    trust: Floats
    """(m, 3): how far that can be read."""
    terms: Floats
    """(m, 5): difference of the terms of smooth light."""
    first: Floats
    """(m, 2): where the one lies, in half widths from the middle."""
    second: Floats


def call_witness(
    places: Places, repeat: Repeat | None, terms: Floats, *, reach: float, chance: np.random.Generator
) -> Witness:
    """Some tens of thousands of pairs within `reach` half widths; whole repeats apart if one is given.

    `terms`: (n, 5), the terms of smooth light at every place.
    """
    pairs = pair_up(places, repeat, reach=reach, count=_PAIRS, chance=chance)
    a, b = pairs.first, pairs.second
    return Witness(
        places.logs[a] - places.logs[b],
        np.minimum(places.trust[a], places.trust[b]),
        terms[a] - terms[b],
        places.at[a],
        places.at[b],
    )


def light_terms(at: Floats) -> Floats:
    """The terms (n, 5) of smooth light at places (n, 2): degree 2 without a constant, which no pair tells."""
    u, v = at.T
    return np.stack([u, v, u * u, u * v, v * v], axis=1)


def fit_light(terms: Floats, seen: Witness, start: Floats, *, alike: float, rounds: int = 6) -> Floats:
    """Coefficients (k, 3) with which pairs that are alike agree; unlike pairs have no say."""
    found = start
    total = seen.trust.sum(axis=1)
    steady = _STEADY * len(terms) * np.eye(terms.shape[1])
    for _ in range(rounds):
        left = seen.apart - terms @ found
        weight = np.clip(1 - (left**2 * seen.trust).sum(axis=1) / total / alike**2, 0, None) ** 2
        said = np.flatnonzero(weight)
        columns = []
        for i in range(3):
            weighted = terms[said] * (weight[said] * seen.trust[said, i])[:, None]
            columns.append(
                np.linalg.solve(weighted.T @ terms[said] + steady, weighted.T @ seen.apart[said, i])
            )
        found = np.stack(columns, axis=1)
    return found


def agreeing(seen: Witness, explained: Floats, alike: float) -> float:
    """Share of the pairs that agree once what is explained is taken off."""
    off = ((seen.apart - explained) ** 2 * seen.trust).sum(axis=1) / seen.trust.sum(axis=1)
    return float((np.clip(1 - off / alike**2, 0, None) ** 2).mean())


def covered(seen: Witness, shadow: Shadow) -> Floats:
    """How much further in the shadow the first place of each pair lies than the second, -1 to 1."""
    near, far = (shadow.cover(*side.T) for side in (seen.first, seen.second))
    return near - far


def fit_shadow(seen: Witness, spread: Floats, shadow: Shadow) -> tuple[Floats, Shadow]:
    """The slow light and the shadow's place, softness and depth that fit together best."""
    angle = float(np.arctan2(shadow.down, shadow.across))
    best = (-1.0, spread, shadow)
    start = np.vstack([spread, shadow.depth])

    def tried(angle: float, edge: float, width: float) -> tuple[float, Floats, Shadow]:
        here = Shadow(float(np.cos(angle)), float(np.sin(angle)), edge, width, shadow.depth)
        terms = np.column_stack([seen.terms, covered(seen, here)])
        fitted = fit_light(terms, seen, start, alike=0.15, rounds=3)
        score = agreeing(seen, terms @ fitted, ALIKE)
        return score, fitted[:-1], Shadow(here.across, here.down, edge, width, fitted[-1])

    at = (angle, shadow.edge, 0.03)
    for turn, shift in ((0.1, 0.05), (0.04, 0.02)):
        steps = [
            *((at[0] + d, at[1], at[2]) for d in (-turn, 0.0, turn)),
            *((at[0], at[1] + d, at[2]) for d in (-2 * shift, -shift, shift, 2 * shift)),
        ]
        best = max([best, *(tried(*step) for step in steps)], key=lambda made: made[0])
        at = (float(np.arctan2(best[2].down, best[2].across)), best[2].edge, best[2].width)
        widths = [tried(at[0], at[1], width) for width in _WIDTHS]
        best = max([best, *widths], key=lambda made: made[0])
        at = (at[0], at[1], best[2].width)
    return best[1], best[2]
