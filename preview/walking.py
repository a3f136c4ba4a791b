"""Places along an edge, evenly spaced, with the way to its right."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from blocks.values import Edge

__all__ = ["Walk", "walk_edge"]


@dataclass(frozen=True, slots=True, eq=False)
class Walk:
    """n places on an edge, each standing for the same length of it."""

    points_in: NDArray[np.float64]
    """(n, 2) block inches."""
    right: NDArray[np.float64]
    """(n, 2) unit vectors to the right hand, towards the edge's first patch."""


def walk_edge(edge: Edge, *, step_in: float, fewest: int = 8) -> Walk:
    """Places along all runs of an edge, at most `step_in` apart."""
    starts, ends = [], []
    for run in edge.runs:
        line = np.array([(float(x), float(y)) for x, y in run])
        starts.append(line[:-1])
        ends.append(line[1:])
    start, end = np.concatenate(starts), np.concatenate(ends)
    length = np.hypot(*(end - start).T)
    start, end, length = start[length > 0], end[length > 0], length[length > 0]
    upto = np.cumsum(length)
    count = max(fewest, ceil(upto[-1] / step_in))
    at = (np.arange(count) + 0.5) * (upto[-1] / count)
    which = np.minimum(np.searchsorted(upto, at, side="right"), len(length) - 1)
    heading = (end - start)[which] / length[which, None]
    into = at - (upto - length)[which]
    # With y running down, the right hand is the heading turned a quarter clockwise.
    return Walk(start[which] + heading * into[:, None], np.column_stack([-heading[:, 1], heading[:, 0]]))
