"""One cutting misleads: how the edges read over many places where the pieces might be cut."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion, shift
from blocks.values import Edge
from palettes.encodings import luminance
from palettes.lightness import lightness
from palettes.reading import Word, value_shares, word_for
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import Audition
from preview.beside import means_lin, moved, patch_rows, places_beside
from preview.keeping import PaintCache
from preview.survey import Survey, survey_edges

__all__ = ["EdgeCuttings", "Spread", "cutting_places", "read_cuttings"]

_Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spread:
    """A figure over many cuttings: its mean, and what nine in ten exceed or stay under."""

    mean: float
    low: float
    """The 10th percentile."""
    high: float
    """The 90th percentile."""


@dataclass(frozen=True, slots=True)
class EdgeCuttings:
    """One edge over many cuttings of the two pieces that meet there."""

    first: int
    second: int
    wanted: bool
    share_shows: Spread
    """By value alone, 0 to 1."""
    first_L: Spread  # noqa: N815
    second_L: Spread  # noqa: N815
    words: tuple[tuple[Word, float], ...]
    """How often each word came out, the commonest first."""
    fixed: bool
    """Both pieces are cut where they are, so that there is one cutting only."""

    @property
    def is_sure(self) -> bool:
        """Whether nine cuttings in ten have the same word."""
        return self.words[0][1] >= 0.9


def read_cuttings(
    audition: Audition,
    edges: Sequence[Edge],
    *,
    count: int = 25,
    seed: int = 0,
    fussy: Collection[int] = (),
    viewing: Viewing = ACROSS_TABLE,
    cache: PaintCache | None = None,
) -> tuple[EdgeCuttings, ...]:
    """Every edge, in the order given, over `count` random cuttings of all pieces but the `fussy` ones.

    fussy: numbers of the pieces that are cut for their motif and stay where they are.
    Raises: ValueError for a count below 1.
    """
    if not edges:
        return ()
    kept = cache if cache is not None else PaintCache()
    survey = survey_edges(audition.draft, edges, cache=kept)
    rows = patch_rows(audition)
    shares, lights = [], []
    for moves in _moves(survey, audition, rows, count=count, seed=seed, fussy=fussy):
        there = rows.copy()
        there[:, 2:] += moves
        places = places_beside(survey, audition, viewing=viewing, cache=kept, rows=there)
        shares.append(value_shares(places, viewing=viewing))
        lights.append(lightness(luminance(means_lin(survey, audition, cache=kept, rows=there))))
    by_edge, by_patch = np.array(shares), np.array(lights)
    pieces = [patch.piece for patch in audition.draft.patches]
    found = []
    for index, edge in enumerate(survey.edges):
        one, other = (int(owners[index]) for owners in survey.owners)
        found.append(
            EdgeCuttings(
                edge.first,
                edge.second,
                edge.wanted,
                _spread(by_edge[:, index]),
                _spread(by_patch[:, one]),
                _spread(by_patch[:, other]),
                _words(by_edge[:, index]),
                pieces[one] in fussy and pieces[other] in fussy,
            )
        )
    return tuple(found)


def cutting_places(
    audition: Audition, edges: Sequence[Edge], *, count: int = 6, seed: int = 0, fussy: Collection[int] = ()
) -> tuple[dict[int, Motion], ...]:
    """Where every piece lies in each of `count` cuttings, for make_audition; read_cuttings reads the same."""
    survey = survey_edges(audition.draft, edges)
    cuttings = []
    for moves in _moves(survey, audition, patch_rows(audition), count=count, seed=seed, fussy=fussy):
        places = dict(enumerate(audition.places))
        for patch, (dx, dy) in zip(audition.draft.patches, moves, strict=True):
            if dx or dy:
                places[patch.piece] = shift(float(dx), float(dy)).after(audition.place_of(patch))
        cuttings.append(places)
    return tuple(cuttings)


def _moves(
    survey: Survey, audition: Audition, rows: _Floats, *, count: int, seed: int, fussy: Collection[int]
) -> list[_Floats]:
    """For each cutting how far every patch is moved on its cloth, inches; patches of one piece together."""
    if count < 1:
        raise ValueError(f"at least 1 cutting is wanted, got {count}")
    rng = np.random.default_rng(seed)
    patches = audition.draft.patches
    rooms = np.zeros((len(patches), 2, 2))
    for index, patch in enumerate(patches):
        if patch.piece not in fussy and len(survey.insides[index]):
            rooms[index] = _room(audition, rows, survey, index)
    piece_of = np.array([patch.piece for patch in patches])
    moves = []
    for _ in range(count):
        # Drawn for every piece, so that a piece made fussy leaves the others' cuttings as they were.
        part = rng.random((int(piece_of.max()) + 1, 2))[piece_of]
        moves.append(rooms[:, 0] + part * (rooms[:, 1] - rooms[:, 0]))
    return moves


def _room(audition: Audition, rows: _Floats, survey: Survey, index: int) -> _Floats:
    """The least and the largest move (2, 2): over a whole repeat, or as far as the photograph goes."""
    cloth = audition.cloth_of(audition.draft.patches[index])
    size = np.array([cloth.width_in, cloth.height_in])
    if cloth.repeats:
        return np.stack([np.zeros(2), size])
    points = moved(rows[index], survey.insides[index])
    low, high = points.min(axis=0), points.max(axis=0)
    moves = np.stack([-low, size - high])
    return np.where(moves[0] <= moves[1], moves, 0.0)


def _spread(figures: _Floats) -> Spread:
    low, high = np.percentile(figures, [10, 90])
    return Spread(float(figures.mean()), float(low), float(high))


def _words(shares: _Floats) -> tuple[tuple[Word, float], ...]:
    words = [word_for(float(share)) for share in shares]
    counts = {word: words.count(word) / len(words) for word in dict.fromkeys(words)}
    return tuple(sorted(counts.items(), key=lambda each: -each[1]))
