"""Does one cloth read against its neighbour? The share of an edge that shows, and one word for it."""

# ruff: noqa: N815 - L* and CIEDE2000 keep their capitals in field names too

from __future__ import annotations

from dataclasses import dataclass
from math import erf, sqrt
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from palettes.difference import ciede2000
from palettes.encodings import luminance
from palettes.lightness import lab_from_lin
from palettes.munsell import value_of_luminance
from palettes.reasons import reason_for
from palettes.thresholds import THRESHOLDS, Thresholds
from palettes.viewing import ACROSS_TABLE, Viewing

__all__ = ["ACROSS_TABLE", "WORDS", "Reading", "Viewing", "Word", "judge_edge", "word_for"]

Word = Literal["clear", "soft", "lost"]

WORDS: tuple[Word, ...] = ("clear", "soft", "lost")

_Light = NDArray[np.floating]
_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Reading:
    """What was found where two cloths meet. Shares are of the edge's length, 0 to 1."""

    first_L: float
    second_L: float
    """L* of each cloth's mean light."""
    diff_L: float
    """How far apart the two are in L*, never below 0."""
    value_steps: float
    """The same in Munsell value steps."""
    dE00: float
    """CIEDE2000 between the two means."""
    share_shows: float
    """By value alone, less the false edges: the headline."""
    share_with_colour: float
    """The same with colour helping; never below share_shows."""
    share_false: float
    """What the prints' own false edges took off share_shows."""
    word: Word
    """For share_shows."""
    word_with_colour: Word
    reason: str
    """One plain sentence."""

    @property
    def share_lost(self) -> float:
        """The share of the edge that does not show, by value alone."""
        return 1 - self.share_shows


@dataclass(frozen=True, slots=True)
class _Found:
    """Shares of an edge, 0 to 1: what shows in the end, and what was taken off before."""

    share: float
    turned: float
    false: float


def judge_edge(
    first_lin: _Light,
    second_lin: _Light,
    *,
    viewing: Viewing = ACROSS_TABLE,
    first_inside: _Light | None = None,
    second_inside: _Light | None = None,
    first_mean_lin: _Light | None = None,
    second_mean_lin: _Light | None = None,
    thresholds: Thresholds = THRESHOLDS,
) -> Reading:
    """How surely two cloths are told apart along the edge where they meet.

    first_lin, second_lin: linear light (n, 3), the cloth on each side of n places spaced evenly along
    the edge, already blurred as viewing asks (Viewing.sigma_in) and averaged over compared_radius_in.
    first_inside, second_inside: the same cloth at the same n places, thresholds.inside_in (1/4 in)
    further from the edge. With them a busy print pays for the edges it makes itself; a side without is
    taken as plain. A place with nothing there (a patch too narrow) holds nan and is left out.
    first_mean_lin, second_mean_lin: mean light (3,) of each whole patch or cloth, for the figures that
    stand beside the share; without them the mean along the edge is used.
    Swapping the sides swaps first_L and second_L and changes no figure.
    Raises: ValueError for arrays that do not fit together, or hold no place at all.
    """
    first, second = _places(first_lin, "first_lin"), _places(second_lin, "second_lin", like=first_lin)
    sides = (
        (first, None if first_inside is None else _places(first_inside, "first_inside", like=first_lin)),
        (second, None if second_inside is None else _places(second_inside, "second_inside", like=first_lin)),
    )
    by_value = _found(sides, weights=(1.0, 0.0, 0.0), thresholds=thresholds)
    weights = (1.0, thresholds.red_green_weight, thresholds.blue_yellow_weight)
    by_colour = _found(sides, weights=weights, thresholds=thresholds)
    means_lin = np.stack(
        [
            side.mean(axis=0) if mean_lin is None else np.asarray(mean_lin, dtype=np.float64)
            for side, mean_lin in ((first, first_mean_lin), (second, second_mean_lin))
        ]
    )
    return _reading(
        means_lin,
        by_value=by_value,
        with_colour=max(by_value.share, by_colour.share),
        viewing=viewing,
        thresholds=thresholds,
    )


def word_for(share: float, *, thresholds: Thresholds = THRESHOLDS) -> Word:
    """The one word for a share of an edge, 0 to 1.

    Example: word_for(0.80) -> "clear"
    """
    if share >= thresholds.clear_share:
        return "clear"
    return "soft" if share >= thresholds.soft_share else "lost"


def _reading(
    means_lin: _Floats,
    *,
    by_value: _Found,
    with_colour: float,
    viewing: Viewing,
    thresholds: Thresholds,
) -> Reading:
    """The reading for two mean lights (2, 3) and the shares found along their edge."""
    means_lab = lab_from_lin(means_lin)
    diff_L = float(np.ptp(means_lab[:, 0]))
    value_steps = float(np.ptp(value_of_luminance(luminance(means_lin))))
    word, word_with_colour = (word_for(each, thresholds=thresholds) for each in (by_value.share, with_colour))
    return Reading(
        first_L=float(means_lab[0, 0]),
        second_L=float(means_lab[1, 0]),
        diff_L=diff_L,
        value_steps=value_steps,
        dE00=float(ciede2000(means_lab[0], means_lab[1])),
        share_shows=by_value.share,
        share_with_colour=with_colour,
        share_false=by_value.false,
        word=word,
        word_with_colour=word_with_colour,
        reason=reason_for(
            word=word,
            word_with_colour=word_with_colour,
            diff_L=diff_L,
            value_steps=value_steps,
            share=by_value.share,
            false=by_value.false,
            turned=by_value.turned,
            as_plain=_sureness(diff_L, thresholds=thresholds),
            viewing=viewing,
        ),
    )


def _places(light_lin: _Light, name: str, *, like: _Light | None = None) -> _Floats:
    """The light at each place in float64, once its shape is right."""
    light = np.asarray(light_lin, dtype=np.float64)
    if light.ndim != 2 or light.shape[1] != 3 or not len(light):
        raise ValueError(f"{name} must be linear light at 1 or more places, (n, 3), got shape {light.shape}")
    if like is not None and light.shape != np.shape(like):
        raise ValueError(f"{name} must have the places of first_lin, {np.shape(like)}, got {light.shape}")
    if "inside" not in name and not np.isfinite(light).all():
        raise ValueError(f"{name} holds a place that is not a number")
    return light


def _found(
    sides: tuple[tuple[_Floats, _Floats | None], ...],
    *,
    weights: tuple[float, float, float],
    thresholds: Thresholds,
) -> _Found:
    """What shows of the edge, with L*, a*, b* weighted so, and what was taken off on the way."""
    first, second = (lab_from_lin(side) * weights for side, _ in sides)
    one_way, other_way = _sure_shares(first - second, thresholds=thresholds)
    turned = (1 - thresholds.turned_weight) * other_way
    false = thresholds.false_edge_weight * sum(
        sum(_sure_shares(lab - lab_from_lin(inside) * weights, thresholds=thresholds))
        for lab, (_, inside) in zip((first, second), sides, strict=True)
        if inside is not None
    )
    seen = one_way + other_way - turned
    share = max(0.0, seen - false)
    return _Found(share=share, turned=turned, false=seen - share)


def _sure_shares(steps_lab: _Floats, *, thresholds: Thresholds) -> tuple[float, float]:
    """The share of places where the eye is sure of the step: with the larger part, and against it.

    Each place counts by the chance that its step is seen; places that hold no number are left out.
    """
    steps = steps_lab[~np.isnan(steps_lab).any(axis=1)]
    if not len(steps):
        return 0.0, 0.0
    chances = np.array([_sureness(size, thresholds=thresholds) for size in np.linalg.norm(steps, axis=1)])
    # The line in colour space that the steps lie along; either end of it may be the larger part.
    along = steps @ np.linalg.eigh(steps.T @ steps).eigenvectors[:, -1]
    ends = sorted((float(chances[along >= 0].sum()), float(chances[along < 0].sum())))
    return ends[1] / len(steps), ends[0] / len(steps)


def _sureness(size_L: float, *, thresholds: Thresholds) -> float:
    """0 for no step, a half at half_seen_L, 1 for a large one.

    The chance of a sure step in the right direction, less that of one in the wrong direction, for a
    step seen with normally spread doubt. The second part matters below 5 L* only: it makes 0 of 0.
    """
    doubt = thresholds.sureness_L * sqrt(2)
    right = 0.5 + 0.5 * erf((size_L - thresholds.half_seen_L) / doubt)
    wrong = 0.5 + 0.5 * erf((-size_L - thresholds.half_seen_L) / doubt)
    return right - wrong
