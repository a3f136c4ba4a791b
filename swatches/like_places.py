"""Places of one cloth that should look alike: the witnesses of how the light changes over it.

Two places of one printed colour, or of one spot of the repeat, differ by nothing but their light. Which
places have the same colour is not known beforehand; it shows in that, once the light is right, many more of
them agree. Source for the idea of agreeing with most: Mangin (2000), Entropy minimization for automatic
correction of intensity nonuniformity; our own way of doing it.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.repeat import Repeat

__all__ = ["Pairs", "Places", "pair_up", "read_places"]

_PER_IN = 24.0
"""Fine enough for pin dots, coarse enough to average the weave (ours)."""
_MOST_ACROSS = 320
_LEAST_LIGHT = 0.002
_DARK = 0.02
_STORED_DARK, _STORED_WHITE = 0.01, 0.97
_EDGE, _LEAST_KEPT = 0.12, 0.3

Floats = NDArray[np.float64]
Wholes = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Small squares of the cloth, row by row."""

    logs: Floats
    """(n, 3): logarithm of their light."""
    trust: Floats
    """(n, 3), 0 to 1: how far that logarithm can be read; dark channels hardly."""
    at: Floats
    """(n, 2): where they lie, from the middle of the cloth in half widths of it."""
    usable: Wholes
    """Numbers of those that are neither on an edge of the print, nor black, nor as white as can be stored."""
    columns: int
    rows: int
    per_in: float


@dataclass(frozen=True, slots=True, eq=False)
class Pairs:
    """Pairs of places, by number."""

    first: Wholes
    second: Wholes


def read_places(cloth_lin: NDArray[np.float32], *, ppi: float) -> Places:
    """The places of straightened cloth (H, W, 3) in linear light."""
    factor = max(ppi / _PER_IN, max(cloth_lin.shape[:2]) / _MOST_ACROSS, 1.0)
    columns, rows = max(2, int(cloth_lin.shape[1] / factor)), max(2, int(cloth_lin.shape[0] / factor))
    small = cv2.resize(cloth_lin, (columns, rows), interpolation=cv2.INTER_AREA)
    trust = (np.clip(small, 0, None) / (np.clip(small, 0, None) + _DARK)) ** 2 + 1e-6
    logs = cv2.GaussianBlur(np.log(np.maximum(small, _LEAST_LIGHT)), (0, 0), 0.7)
    around = np.ones((3, 3), np.uint8)
    change = ((cv2.dilate(logs, around) - cv2.erode(logs, around)) * trust).max(axis=2)
    usable = (small.max(axis=2) > _STORED_DARK) & (small.max(axis=2) < _STORED_WHITE)
    # In a busy print nothing is even: the evenest third of it has to do.
    usable &= change <= max(_EDGE, float(np.quantile(change, _LEAST_KEPT)))
    x, y = np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5)
    at = (np.stack([x.ravel(), y.ravel()], axis=1) - (columns / 2, rows / 2)) / (columns / 2)
    return Places(
        logs.reshape(-1, 3).astype(np.float64), trust.reshape(-1, 3).astype(np.float64), at,
        np.flatnonzero(usable), columns, rows, columns * ppi / cloth_lin.shape[1],
    )  # fmt: skip


def pair_up(
    places: Places, repeat: Repeat | None, *, reach: float, count: int, chance: np.random.Generator
) -> Pairs:
    """At most `count` pairs of usable places within `reach` half widths; whole repeats apart if given."""
    none = np.empty(0, np.intp)
    if len(places.usable) < 2:
        return Pairs(none, none)
    apart = _steps_apart(places, repeat, reach=reach, count=count, chance=chance)
    if apart is None:
        far = reach * places.columns / 2 * np.sqrt(chance.uniform(0.02, 1, count))
        way = chance.uniform(0, 2 * np.pi, count)
        apart = np.stack([far * np.cos(way), far * np.sin(way)], axis=1)
    first = chance.choice(places.usable, count)
    y, x = np.divmod(first, places.columns)
    to_x, to_y = np.rint(x + apart[:, 0]).astype(np.intp), np.rint(y + apart[:, 1]).astype(np.intp)
    inside = (to_x >= 0) & (to_x < places.columns) & (to_y >= 0) & (to_y < places.rows)
    first, second = first[inside], to_y[inside] * places.columns + to_x[inside]
    usable = np.zeros(places.columns * places.rows, dtype=np.bool_)
    usable[places.usable] = True
    good = usable[second]
    return Pairs(first[good], second[good])


def _steps_apart(
    places: Places, repeat: Repeat | None, *, reach: float, count: int, chance: np.random.Generator
) -> Floats | None:
    """Whole steps (count, 2) of a repeat, in places; along stripes any step will do."""
    if repeat is None or repeat.kind not in ("lattice", "stripe"):
        return None
    steps = np.array(repeat.steps_in) * places.per_in
    most = reach * places.columns / 2
    if repeat.kind == "lattice":
        shortest = float(np.linalg.svd(steps, compute_uv=False)[-1])
        span = np.arange(-min(40, ceil(most / shortest)), min(40, ceil(most / shortest)) + 1)
        moves = np.stack(np.meshgrid(span, span), axis=-1).reshape(-1, 2) @ steps
    else:
        across = steps[0]
        along = np.array([-across[1], across[0]]) / np.hypot(*across)
        times = chance.integers(-ceil(most / np.hypot(*across)), ceil(most / np.hypot(*across)) + 1, 2000)
        moves = times[:, None] * across + chance.uniform(-most, most, 2000)[:, None] * along
    length = np.hypot(*moves.T)
    moves = moves[(length > 1) & (length <= most)]
    return moves[chance.integers(0, len(moves), count)] if len(moves) >= 2 else None
