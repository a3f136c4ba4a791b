"""A whole shelf at once: which of many cloths would read as stem, petal or background, or go with a print."""

# ruff: noqa: N815 - L* keeps its capital in field names too

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from math import erf, sqrt
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.lightness import lab_from_lin
from palettes.looks import Look
from palettes.thresholds import THRESHOLDS

__all__ = ["COLOURS", "Part", "Ranking", "Shelf", "rank_shelf", "shelf_of"]

Part = Literal["stem", "petal", "background"]

_Floats = NDArray[np.float32]

COLOURS = 4
"""Main colours of each cloth that are kept."""

_PER_DEVIATION = 400
_FAR = 4 * _PER_DEVIATION


@dataclass(frozen=True, slots=True, eq=False)
class Shelf:
    """n cloths as columns, read-only: for the wide patch and for the narrow stem in that order, where two."""

    L: _Floats
    spread_L: _Floats
    """(2, n): standard deviation of L* from spot to spot."""
    busy: _Floats
    """(2, n)."""
    colours_lab: _Floats
    """(COLOURS, 3, n): the main colours; the last is repeated where a cloth has fewer."""
    shares: _Floats
    """(COLOURS, n): 0 for the repeated ones."""

    def __len__(self) -> int:
        return len(self.L)


@dataclass(frozen=True, slots=True, eq=False)
class Ranking:
    """The shelf, the best first."""

    order: NDArray[np.intp]
    """Indices of the cloths."""
    score: _Floats
    """For each cloth on the shelf: what it is ranked by."""
    shows: _Floats
    """The share of the edge that would show by value, against the neighbour where it shows least."""
    merges: _Floats
    """How much of it has a colour of a neighbour, weighed by both shares."""
    harmony: _Floats
    """0 to 1: how near its colours are to the focus print's own; 1 for all where there is none."""


def shelf_of(looks: Sequence[Look]) -> Shelf:
    """The columns of many cloths; keep them, for they are all that a ranking needs."""
    spread_L = [(look.spots_lab[:, 0].std(), look.narrow_spots_lab[:, 0].std()) for look in looks]
    few = [_few(look) for look in looks]
    return Shelf(
        _columns([look.L for look in looks], ()),
        _columns(spread_L, (2,)),
        _columns([(look.busy, look.narrow_busy) for look in looks], (2,)),
        _columns([colours for colours, _ in few], (COLOURS, 3)),
        _columns([shares for _, shares in few], (COLOURS,)),
    )


def rank_shelf(
    shelf: Shelf,
    against: Sequence[Look],
    part: Part,
    *,
    focus: Look | None = None,
    harmony_weight: float = 0.25,
) -> Ranking:
    """The shelf ranked by how each cloth would read as this part beside all of `against`.

    A stem is compared over less cloth, a background pays for being busy. focus: a print whose own colours
    the cloth should go with; by harmony_weight this raises those that do.
    Raises: ValueError where there is nothing to read against.
    """
    if not against:
        raise ValueError("a shelf is ranked against one cloth at least")
    row = 1 if part == "stem" else 0
    shows = np.full(len(shelf), np.inf, np.float32)
    merges = np.zeros(len(shelf), np.float32)
    for look in against:
        spots_L = (look.narrow_spots_lab if part == "stem" else look.spots_lab)[:, 0]
        busy = look.narrow_busy if part == "stem" else look.busy
        np.minimum(shows, _shows(shelf, row, look.L, float(spots_L.std()), busy), out=shows)
        np.maximum(merges, _merges(shelf, look), out=merges)
    score = shows - np.float32(THRESHOLDS.merge_weight) * merges
    if part == "background":
        score -= np.float32(THRESHOLDS.calm_weight) * shelf.busy[0]
    harmony = np.ones(len(shelf), np.float32) if focus is None else _harmony(shelf, focus)
    if focus is not None:
        score += np.float32(harmony_weight) * harmony
    return Ranking(np.argsort(-score, kind="stable"), score, shows, merges, harmony)


def _shows(shelf: Shelf, row: int, L: float, spread_L: float, busy: float) -> _Floats:
    """The share that would show, with local lightness spread like a Gaussian in both cloths."""
    apart = np.abs(shelf.L - np.float32(L))
    doubt = np.float32(1) / np.sqrt(
        shelf.spread_L[row] ** 2 + np.float32(spread_L**2 + THRESHOLDS.sureness_L**2)
    )
    middle = np.float32(THRESHOLDS.half_seen_L)
    # A Gaussian step seen with Gaussian doubt is a plain step seen with the doubt of both together.
    share = _below((apart - middle) * doubt)
    share += np.float32(THRESHOLDS.turned_weight) * _below((-apart - middle) * doubt)
    share -= np.float32(THRESHOLDS.false_edge_weight) * (shelf.busy[row] + np.float32(busy))
    return np.asarray(np.maximum(np.float32(0), share), np.float32)


def _below(deviations: _Floats) -> _Floats:
    """The part of a normal spread below so many standard deviations, to half a thousandth."""
    steps = np.clip(deviations * np.float32(_PER_DEVIATION), -_FAR, _FAR).astype(np.int16)
    return np.asarray(np.take(_normal(), steps + np.int16(_FAR)), np.float32)


@cache
def _normal() -> _Floats:
    at = np.arange(-_FAR, _FAR + 1) / _PER_DEVIATION
    table = np.array([0.5 * (1 + erf(each / sqrt(2))) for each in at], np.float32)
    table.setflags(write=False)
    return table


def _merges(shelf: Shelf, look: Look) -> _Floats:
    """How often a spot of each cloth and a spot of this one are of the same colour."""
    colours, shares = _few(look)
    merged = np.zeros(len(shelf), np.float32)
    for own_lab, own_share in zip(shelf.colours_lab, shelf.shares, strict=True):
        near = np.zeros(len(shelf), np.float32)
        for lab, share in zip(colours, shares, strict=True):
            if share > 0:
                gap = own_lab - lab.astype(np.float32)[:, None]
                near += np.float32(share) * (np.einsum("ij,ij->j", gap, gap) < THRESHOLDS.shelf_same_lab**2)
        merged += own_share * near
    return merged


def _harmony(shelf: Shelf, focus: Look) -> _Floats:
    """How near each cloth's colours are in hue and chroma to the nearest of the print's own, by share."""
    colours = np.asarray(lab_from_lin(focus.colours_lin), np.float32)
    total = np.zeros(len(shelf), np.float32)
    for own_lab, own_share in zip(shelf.colours_lab, shelf.shares, strict=True):
        gaps = [(own_lab[1] - a) ** 2 + (own_lab[2] - b) ** 2 for _, a, b in colours]
        nearest = np.minimum.reduce(gaps)
        total += own_share * np.exp(nearest * np.float32(-1 / THRESHOLDS.harmony_ab**2))
    return total


def _few(look: Look) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """COLOURS main colours in CIELAB and their shares, summing to 1; the last is repeated with no share."""
    lab = np.asarray(lab_from_lin(look.colours_lin[:COLOURS]), np.float64)
    shares = look.shares[:COLOURS] / look.shares[:COLOURS].sum()
    more = COLOURS - len(lab)
    return np.vstack([lab, np.repeat(lab[-1:], more, axis=0)]), np.append(shares, np.zeros(more))


def _columns(values: Sequence[ArrayLike], shape: tuple[int, ...]) -> _Floats:
    """One entry of this shape for each cloth, with the cloths along the last axis."""
    array = np.array(values, dtype=np.float32).reshape(len(values), *shape)
    columns = np.ascontiguousarray(np.moveaxis(array, 0, -1))
    columns.setflags(write=False)
    return columns
