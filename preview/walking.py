"""Places along an edge, evenly spaced, with the way to its right."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from blocks.values import Edge

__all__ = ["Walk", "stretches_of", "walk_edge"]


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """n places on an edge, each standing for the same length of it."""

    points_in: NDArray[np.float64]
    """(n, 2) block inches."""
    right: NDArray[np.float64]
    """(n, 2) unit vectors to the right hand, towards the edge's first patch."""
    run: NDArray[np.intp]
    """Which of the edge's runs each place is on."""
    step_in: float
    """How much of the edge each place stands for."""


def walk_edge(edge: Edge, *, step_in: float, fewest: int = 8) -> Walk:
    """Places along all runs of an edge, at most `step_in` apart."""
    starts, ends, runs = [], [], []
    for number, run in enumerate(edge.runs):
        line = np.array([(float(x), float(y)) for x, y in run])
        starts.append(line[:-1])
        ends.append(line[1:])
        runs.append(np.full(len(line) - 1, number, np.intp))
    start, end, run_of = np.concatenate(starts), np.concatenate(ends), np.concatenate(runs)
    length = np.hypot(*(end - start).T)
    some = length > 0
    start, end, run_of, length = start[some], end[some], run_of[some], length[some]
    upto = np.cumsum(length)
    count = max(fewest, ceil(upto[-1] / step_in))
    at = (np.arange(count) + 0.5) * (upto[-1] / count)
    which = np.minimum(np.searchsorted(upto, at, side="right"), len(length) - 1)
    heading = (end - start)[which] / length[which, None]
    into = at - (upto - length)[which]
    # With y running down, the right hand is the heading turned a quarter clockwise.
    return Walk(
        start[which] + heading * into[:, None],
        np.column_stack([-heading[:, 1], heading[:, 0]]),
        run_of[which],
        float(upto[-1] / count),
    )


def stretches_of(walk: Walk, chosen: NDArray[np.bool_]) -> tuple[tuple[tuple[float, float], ...], ...]:
    """The chosen places as lines in block inches: one line for each unbroken row of them on one run."""
    joined = chosen[1:] & chosen[:-1] & (walk.run[1:] == walk.run[:-1])
    firsts = np.flatnonzero(chosen & ~np.append(False, joined))
    lasts = np.flatnonzero(chosen & ~np.append(joined, False))
    heading = np.column_stack([walk.right[:, 1], -walk.right[:, 0]]) * (walk.step_in / 2)
    lines = []
    for first, last in zip(firsts, lasts, strict=True):
        line = walk.points_in[first : last + 1]
        # Each place stands for half a step on either side of it.
        whole = np.vstack([line[:1] - heading[first], line, line[-1:] + heading[last]])
        lines.append(tuple((float(x), float(y)) for x, y in whole))
    return tuple(lines)
