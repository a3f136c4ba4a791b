"""Does one cloth read against its neighbour? The share of an edge that shows, and one word for it."""

# ruff: noqa: N815 - L* and CIEDE2000 keep their capitals in field names too

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from palettes.difference import ciede2000
from palettes.encodings import luminance
from palettes.lightness import lab_from_lin
from palettes.meeting import STRANGERS, Meeting
from palettes.munsell import value_of_luminance
from palettes.reasons import doubt_note, reason_for
from palettes.seeing import as_viewed
from palettes.shares import Colours, Places, Shares, colours_of, find_shares, sure_chances
from palettes.thresholds import THRESHOLDS, Thresholds
from palettes.viewing import ACROSS_TABLE, Viewing

__all__ = ["WORDS", "Reading", "Viewing", "Word", "judge_edge", "judge_edges", "value_shares", "word_for"]

Word = Literal["clear", "soft", "lost"]

WORDS: tuple[Word, ...] = ("clear", "soft", "lost")

_Light = NDArray[np.floating]
_Floats = NDArray[np.float64]

_TAIL = 1.2816
"""Standard deviations from the middle to the 10th and the 90th percentile."""


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
    share_least: float
    share_most: float
    """Between these share_shows lies in four cases of five, for the doubt about the cloths' colours."""
    first_busy: float
    second_busy: float
    """False edges inside each cloth, as a share of its places beside the edge: 0 is plain."""
    merges: float
    """How often a spot of one cloth and a spot of the other have the same colour, 0 to 1."""
    one_cloth: bool
    """Two prints of like motif scale and like value, that look like one piece of cloth."""
    word: Word
    """For share_shows."""
    word_with_colour: Word
    reason: str
    """One plain sentence."""
    note: str
    """What stands in the way of being sure, one sentence; "" for colours that are known."""
    chances: tuple[float, ...] = field(repr=False)
    """For each place along the edge: how surely its step is seen by value."""

    @property
    def share_lost(self) -> float:
        """The share of the edge that does not show, by value alone."""
        return 1 - self.share_shows

    @property
    def hue_alone(self) -> bool:
        """Whether colour carries an edge that value does not."""
        return self.word == "lost" and self.word_with_colour == "clear"

    @property
    def is_sure(self) -> bool:
        """Whether the word would be the same at either end of the doubt."""
        return word_for(self.share_least) == word_for(self.share_most)


def judge_edge(
    first_lin: _Light,
    second_lin: _Light,
    *,
    viewing: Viewing = ACROSS_TABLE,
    first_inside: _Light | None = None,
    second_inside: _Light | None = None,
    first_mean_lin: _Light | None = None,
    second_mean_lin: _Light | None = None,
    meeting: Meeting = STRANGERS,
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
    Lamp, screen and eyes that viewing asks for are put in here; its distance must be in the light already.
    Swapping the sides swaps first_L and second_L, first_busy and second_busy, and changes no other figure.
    Raises: ValueError for arrays that do not fit together, or hold no place at all.
    """
    first, second = _places(first_lin, "first_lin"), _places(second_lin, "second_lin", like=first_lin)
    insides = [
        None if inside is None else _places(inside, name, like=first_lin)
        for inside, name in ((first_inside, "first_inside"), (second_inside, "second_inside"))
    ]
    means_lin = np.stack(
        [
            side.mean(axis=0) if mean_lin is None else np.asarray(mean_lin, dtype=np.float64)
            for side, mean_lin in ((first, first_mean_lin), (second, second_mean_lin))
        ]
    )
    places = Places(first, second, insides[0], insides[1], np.zeros(1, np.intp))
    return judge_edges(
        places, means_lin=means_lin[None], viewing=viewing, meetings=(meeting,), thresholds=thresholds
    )[0]


def judge_edges(
    places: Places,
    *,
    means_lin: _Floats,
    viewing: Viewing = ACROSS_TABLE,
    meetings: Sequence[Meeting] | None = None,
    thresholds: Thresholds = THRESHOLDS,
) -> tuple[Reading, ...]:
    """judge_edge for many edges at once. means_lin: (edges, 2, 3), the mean light of both cloths."""
    met = meetings if meetings is not None else (STRANGERS,) * len(means_lin)
    colours = _seen_colours(places, viewing)
    means = as_viewed(means_lin, viewing)
    by_value = find_shares(colours, weights=(1.0, 0.0, 0.0), thresholds=thresholds)
    weights = (1.0, thresholds.red_green_weight, thresholds.blue_yellow_weight)
    by_colour = find_shares(colours, weights=weights, thresholds=thresholds)
    least, most = _ends_of_doubt(colours, by_value, met, thresholds=thresholds)
    lab = lab_from_lin(means)
    diff_L = np.abs(lab[:, 0, 0] - lab[:, 1, 0])
    figures = _Figures(
        lab,
        diff_L,
        np.abs(np.diff(value_of_luminance(luminance(means)), axis=1)[:, 0]),
        ciede2000(lab[:, 0], lab[:, 1]),
        sure_chances(diff_L, thresholds=thresholds),
        by_value,
        np.maximum(by_value.share, by_colour.share),
        np.minimum(least, by_value.share),
        np.maximum(most, by_value.share),
    )
    ends = np.append(places.starts, len(places.first_lin))
    return tuple(
        _reading(figures, edge, meeting, slice(ends[edge], ends[edge + 1]), viewing, thresholds)
        for edge, meeting in enumerate(met)
    )


def value_shares(
    places: Places, *, viewing: Viewing = ACROSS_TABLE, thresholds: Thresholds = THRESHOLDS
) -> _Floats:
    """The share of every edge that shows by value, and nothing else of its reading: for trying many cuts."""
    colours = _seen_colours(places, viewing)
    return find_shares(colours, weights=(1.0, 0.0, 0.0), thresholds=thresholds).share


def word_for(share: float, *, thresholds: Thresholds = THRESHOLDS) -> Word:
    """The one word for a share of an edge, 0 to 1.

    Example: word_for(0.80) -> "clear"
    """
    if share >= thresholds.clear_share:
        return "clear"
    return "soft" if share >= thresholds.soft_share else "lost"


@dataclass(frozen=True, slots=True, eq=False)
class _Figures:
    """Arrays with one entry for each edge."""

    means_lab: _Light
    diff_L: _Light
    value_steps: _Floats
    dE00: _Floats
    as_plain: _Floats
    by_value: Shares
    with_colour: _Floats
    least: _Floats
    most: _Floats


def _reading(
    figures: _Figures, edge: int, meeting: Meeting, places: slice, viewing: Viewing, thresholds: Thresholds
) -> Reading:
    found = figures.by_value
    share, with_colour = float(found.share[edge]), float(figures.with_colour[edge])
    diff_L, merges = float(figures.diff_L[edge]), meeting.merges
    one_cloth = meeting.like_motifs and diff_L <= thresholds.one_cloth_L
    if one_cloth:
        with_colour = share + thresholds.one_cloth_colour * (with_colour - share)
    word, word_with_colour = (word_for(each, thresholds=thresholds) for each in (share, with_colour))
    reason = reason_for(
        word=word,
        word_with_colour=word_with_colour,
        diff_L=diff_L,
        value_steps=float(figures.value_steps[edge]),
        dE00=float(figures.dE00[edge]),
        share=share,
        false=float(found.false[edge]),
        turned=float(found.turned[edge]),
        as_plain=float(figures.as_plain[edge]),
        one_cloth=one_cloth,
        meeting=meeting,
        viewing=viewing,
        thresholds=thresholds,
    )
    least, most = float(figures.least[edge]), float(figures.most[edge])
    return Reading(
        first_L=float(figures.means_lab[edge, 0, 0]),
        second_L=float(figures.means_lab[edge, 1, 0]),
        diff_L=diff_L,
        value_steps=float(figures.value_steps[edge]),
        dE00=float(figures.dE00[edge]),
        share_shows=share,
        share_with_colour=with_colour,
        share_false=float(found.false[edge]),
        share_least=least,
        share_most=most,
        first_busy=float(found.first_busy[edge]),
        second_busy=float(found.second_busy[edge]),
        merges=merges,
        one_cloth=one_cloth,
        word=word,
        word_with_colour=word_with_colour,
        reason=reason,
        note=doubt_note(meeting, least=least, most=most),
        chances=tuple(found.chances[places].tolist()),
    )


def _seen_colours(places: Places, viewing: Viewing) -> Colours:
    if viewing.is_usual:
        return colours_of(places)
    first, second = as_viewed(places.first_lin, viewing), as_viewed(places.second_lin, viewing)
    insides = [
        None if inside is None else np.asarray(as_viewed(inside, viewing), np.float64)
        for inside in (places.first_inside, places.second_inside)
    ]
    seen = Places(np.asarray(first), np.asarray(second), insides[0], insides[1], places.starts, places.told)
    return colours_of(seen)


def _ends_of_doubt(
    colours: Colours, by_value: Shares, meetings: Sequence[Meeting], *, thresholds: Thresholds
) -> tuple[_Floats, _Floats]:
    """The shares by value if the two cloths were nearer, and if they were further apart."""
    doubt_L = np.array([meeting.doubt_L for meeting in meetings])
    if not doubt_L.any():
        return by_value.share, by_value.share
    ends = [
        find_shares(colours, weights=(1.0, 0.0, 0.0), apart_L=way * _TAIL * doubt_L, thresholds=thresholds)
        for way in (-1.0, 1.0)
    ]
    return ends[0].share, ends[1].share


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
