"""How much of an edge shows: many edges at once, from the light on both sides of every place along them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import erf, sqrt

import numpy as np
from numpy.typing import NDArray

from palettes.lightness import lab_from_lin
from palettes.thresholds import THRESHOLDS, Thresholds

__all__ = ["Colours", "Places", "Shares", "colours_of", "find_shares", "sure_chances"]

_Floats = NDArray[np.float64]

_LARGEST_L = 120.0
_STEPS = 12001


@dataclass(frozen=True, slots=True, eq=False)
class Places:
    """Linear light (n, 3) beside n places, edge after edge; `starts` says where each edge begins.

    nan in an inside: a patch too narrow to look for false edges there. Where `told` is False nothing is
    known of the place and it counts for nothing; each edge needs one place that is told.
    """

    first_lin: _Floats
    second_lin: _Floats
    first_inside: _Floats | None
    second_inside: _Floats | None
    starts: NDArray[np.intp]
    told: NDArray[np.bool_] | None = None


@dataclass(frozen=True, slots=True, eq=False)
class Colours:
    """The same places in CIELAB."""

    first_lab: _Floats
    second_lab: _Floats
    first_inside: _Floats | None
    second_inside: _Floats | None
    starts: NDArray[np.intp]
    told: _Floats
    """1 for a place that counts, else 0."""


@dataclass(frozen=True, slots=True, eq=False)
class Shares:
    """For each edge, 0 to 1: what shows in the end, and what was taken off before."""

    share: _Floats
    turned: _Floats
    """Taken off for steps that run against the rest."""
    false: _Floats
    """Taken off for false edges."""
    first_busy: _Floats
    second_busy: _Floats
    """False edges inside each side, as a share of its places."""
    chances: _Floats
    """For each place: how surely its step is seen, less where it runs against the rest."""


def colours_of(places: Places) -> Colours:
    """The places in CIELAB, the costly part of a reading."""
    told = np.ones(len(places.first_lin)) if places.told is None else places.told.astype(np.float64)
    return Colours(
        np.asarray(lab_from_lin(places.first_lin), np.float64),
        np.asarray(lab_from_lin(places.second_lin), np.float64),
        None if places.first_inside is None else np.asarray(lab_from_lin(places.first_inside), np.float64),
        None if places.second_inside is None else np.asarray(lab_from_lin(places.second_inside), np.float64),
        places.starts,
        told,
    )


def find_shares(
    colours: Colours,
    *,
    weights: tuple[float, float, float],
    apart_L: _Floats | None = None,
    thresholds: Thresholds = THRESHOLDS,
) -> Shares:
    """What shows of every edge, with L*, a*, b* weighted so.

    apart_L: for each edge, how much further apart (or nearer, below 0) the two cloths are taken to be in
    L* than they were found to be; for the doubt about two photographs.
    """
    steps = (colours.first_lab - colours.second_lab) * weights
    starts, told = colours.starts, colours.told
    counts = np.maximum(np.add.reduceat(told, starts), 1)
    edge_of = np.repeat(np.arange(len(starts)), np.diff(np.append(starts, len(told))))
    one_way = _along_main(steps, starts, told, edge_of=edge_of, flat=weights[1:] == (0.0, 0.0))
    if apart_L is not None:
        steps = _moved(steps, starts, told, counts, apart_L=apart_L, edge_of=edge_of)
        one_way = _along_main(steps, starts, told, edge_of=edge_of, flat=weights[1:] == (0.0, 0.0))
    chances = sure_chances(_sizes(steps, weights), thresholds=thresholds) * told
    ends = np.stack([np.add.reduceat(np.where(one_way == way, chances, 0), starts) for way in (True, False)])
    main = ends[0] >= ends[1]
    against = one_way != main[edge_of]
    turned = (1 - thresholds.turned_weight) * ends.min(axis=0) / counts
    seen = ends.sum(axis=0) / counts - turned
    busy = [
        _busy(lab, inside, starts, told, weights=weights, thresholds=thresholds)
        for lab, inside in (
            (colours.first_lab, colours.first_inside),
            (colours.second_lab, colours.second_inside),
        )
    ]
    share = np.maximum(0.0, seen - thresholds.false_edge_weight * (busy[0] + busy[1]))
    chances = np.where(against, thresholds.turned_weight * chances, chances)
    return Shares(share, turned, seen - share, busy[0], busy[1], chances)


def sure_chances(sizes_L: _Floats, *, thresholds: Thresholds = THRESHOLDS) -> _Floats:
    """How surely steps of these sizes are seen: 0 for none, a half at half_seen_L, 1 for a large one.

    The chance of a sure step in the right direction, less that of one in the wrong direction, for a
    step seen with normally spread doubt. The second part matters below 5 L* only: it makes 0 of 0.
    """
    # A table, a ten-millionth from the formula: a block asks for a hundred thousand of these at a time.
    table = _sureness_table(thresholds.half_seen_L, thresholds.sureness_L)
    return np.interp(sizes_L, np.linspace(0, _LARGEST_L, _STEPS), table)


@lru_cache(maxsize=8)
def _sureness_table(half_seen_L: float, sureness_L: float) -> _Floats:
    doubt = sureness_L * sqrt(2)
    table = np.array(
        [
            0.5 * (erf((size - half_seen_L) / doubt) - erf((-size - half_seen_L) / doubt))
            for size in np.linspace(0, _LARGEST_L, _STEPS)
        ]
    )
    table.setflags(write=False)
    return table


def _sizes(steps_lab: _Floats, weights: tuple[float, float, float]) -> _Floats:
    if weights[1:] == (0.0, 0.0):
        return np.abs(steps_lab[:, 0])
    return np.asarray(np.sqrt(np.einsum("ij,ij->i", steps_lab, steps_lab)))


def _along_main(
    steps: _Floats, starts: NDArray[np.intp], told: _Floats, *, edge_of: NDArray[np.intp], flat: bool
) -> NDArray[np.bool_]:
    """Which of two ways each step points along the line in colour space that its edge's steps lie along."""
    if flat:
        return np.asarray(steps[:, 0] >= 0)
    spread = np.add.reduceat(steps[:, :, None] * steps[:, None, :] * told[:, None, None], starts, axis=0)
    main = np.linalg.eigh(spread).eigenvectors[:, :, -1]
    return np.asarray(np.einsum("ij,ij->i", steps, main[edge_of]) >= 0)


def _moved(
    steps: _Floats,
    starts: NDArray[np.intp],
    told: _Floats,
    counts: _Floats,
    *,
    apart_L: _Floats,
    edge_of: NDArray[np.intp],
) -> _Floats:
    """The steps with one whole cloth made lighter or darker, away from the other or towards it."""
    mean_L = np.add.reduceat(steps[:, 0] * told, starts) / counts
    away = np.where(mean_L < 0, -1.0, 1.0)
    # Nearer stops where the means meet: doubt does not turn the cloths round.
    move = np.maximum(apart_L, -np.abs(mean_L)) * away
    return np.column_stack([steps[:, 0] + move[edge_of], steps[:, 1:]])


def _busy(
    lab: _Floats,
    inside: _Floats | None,
    starts: NDArray[np.intp],
    told: _Floats,
    *,
    weights: tuple[float, float, float],
    thresholds: Thresholds,
) -> _Floats:
    """The share of places where the cloth makes an edge inside itself; 0 where none can be looked for."""
    if inside is None:
        return np.zeros(len(starts))
    steps = (lab - inside) * weights
    sizes = _sizes(steps, weights)
    there = np.where(np.isnan(sizes), 0.0, told)
    chances = np.where(there > 0, sure_chances(np.nan_to_num(sizes), thresholds=thresholds), 0.0)
    return np.asarray(np.add.reduceat(chances, starts) / np.maximum(np.add.reduceat(there, starts), 1))
