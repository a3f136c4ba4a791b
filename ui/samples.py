"""Some edges of a quilt, read where they lie, a repeat or two at a time: the whole is never measured."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction
from typing import TypeVar

import numpy as np

from blocks.motion import Motion, shift
from blocks.values import Bend, Draft, Edge, Patch
from cutting.layout import all_places
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import make_audition
from preview.keeping import PaintCache
from preview.readings import EdgeReading, read_edges
from ui.bench import Drafted, Worked

__all__ = ["READ_AT_ONCE", "pick_edges", "read_apart"]

_PATCH_BYTES = 4000
"""About what a patch and its edges take in memory."""

_Window = tuple[Draft, tuple[Edge, ...]]
_Item = TypeVar("_Item")

READ_AT_ONCE = 1200
"""Edges that are all read; of more, some of each kind are (ours)."""

_REPEATS = 3
_OF_EACH = 6
"""How many repeats of each design, and how many edges of each kind at least, are read then (ours)."""


def pick_edges(drafted: Drafted, kinds: Sequence[Sequence[Edge]]) -> list[Edge]:
    """The edges to read: all of a small quilt; else all in a few repeats of each design, spread over the
    quilt, and as many more as it takes to have some of each kind."""
    everything = [edge for kind in kinds for edge in kind]
    if len(everything) <= READ_AT_ONCE or drafted.quilt is None:
        return everything
    firsts = _firsts(drafted)
    by_design: dict[int, list[int]] = {}
    for number, repeat in enumerate(drafted.quilt.repeats):
        by_design.setdefault(id(repeat.cell.design), []).append(number)
    whole = {number for numbers in by_design.values() for number in _spread(numbers, _REPEATS)}
    picked = []
    for kind in kinds:
        inside = [edge for edge in kind if (ends := set(_ends(edge, firsts))) <= whole and len(ends) == 1]
        picked += inside
        picked += _spread([edge for edge in kind if len(set(_ends(edge, firsts))) == 2], _OF_EACH)
        if not inside:
            picked += _spread([edge for edge in kind if len(set(_ends(edge, firsts))) == 1], _OF_EACH)
    return picked


def _spread(items: Sequence[_Item], count: int) -> list[_Item]:
    """So many of the items, evenly spread; all if there are no more."""
    if len(items) <= count:
        return list(items)
    return [items[round((i + 0.5) * len(items) / count - 0.5)] for i in range(count)]


def _firsts(drafted: Drafted) -> list[int]:
    """The first patch number of each repeat, ascending."""
    assert drafted.quilt is not None
    return [repeat.first_patch for repeat in drafted.quilt.repeats]


def _ends(edge: Edge, firsts: Sequence[int]) -> tuple[int, int]:
    """The repeats that the two patches of an edge belong to."""
    return bisect_right(firsts, edge.first) - 1, bisect_right(firsts, edge.second) - 1


def read_apart(
    worked: Worked,
    edges: Sequence[Edge],
    *,
    viewing: Viewing = ACROSS_TABLE,
    cache: PaintCache | None = None,
) -> Iterator[EdgeReading]:
    """A reading of each of these edges of a quilt, as the cloth lies there."""
    kept = cache if cache is not None else PaintCache()
    places, cloths = all_places(worked.plans), worked.cloth_of_patches()
    for window, moved in _windows(worked.drafted, edges, cache=kept):
        roles = {patch.role: worked.roles[patch.role] for patch in window.patches}
        singles = {
            patch.number: cloths[patch.number]
            for patch in window.patches
            if cloths[patch.number].key != roles[patch.role].key
        }
        audition = make_audition(window, roles=roles, places=places, overrides=singles)
        yield from read_edges(audition, moved, viewing=viewing, cache=kept)


def _windows(drafted: Drafted, edges: Sequence[Edge], *, cache: PaintCache) -> list[_Window]:
    """The edges in windows of the quilt, the same values again as long as the quilt stays the same."""

    def make() -> tuple[Draft, list[_Window]]:
        return found, [
            _window(found, [found.patches[number - 1] for number in numbers], own)
            for numbers, own in _groups(drafted, edges).items()
        ]

    found = drafted.draft
    # What is kept holds the draft, so its id cannot pass to another.
    key = ("quilt windows", id(found), len(edges))
    return cache.get(key, make, weigh=_weigh)[1]


def _weigh(made: tuple[Draft, list[_Window]]) -> int:
    return _PATCH_BYTES * sum(len(window.patches) for window, _ in made[1])


def _groups(drafted: Drafted, edges: Sequence[Edge]) -> dict[tuple[int, ...], list[Edge]]:
    """The edges by the one or two repeats that they lie in, each given by all of its patch numbers."""
    assert drafted.quilt is not None
    firsts = [*_firsts(drafted), len(drafted.draft.patches) + 1]
    by_repeats: dict[tuple[int, ...], list[Edge]] = {}
    for edge in edges:
        by_repeats.setdefault(tuple(sorted(set(_ends(edge, firsts)))), []).append(edge)
    return {
        tuple(number for repeat in repeats for number in range(firsts[repeat], firsts[repeat + 1])): own
        for repeats, own in by_repeats.items()
    }


def _window(found: Draft, patches: Sequence[Patch], edges: Sequence[Edge]) -> _Window:
    """The patches as a draft of their own, moved by whole inches to its top left, and their edges alike."""
    points = np.array([(float(x), float(y)) for patch in patches for x, y in patch.outline])
    (left, top), (right, bottom) = np.floor(points.min(axis=0)), np.ceil(points.max(axis=0))
    move = shift(-Fraction(int(left)), -Fraction(int(top)))
    draft = replace(
        found,
        finished_width_in=Fraction(int(right - left)),
        finished_height_in=Fraction(int(bottom - top)),
        patches=tuple(_moved(patch, move) for patch in patches),
    )
    return draft, tuple(replace(edge, runs=tuple(move.all(run) for run in edge.runs)) for edge in edges)


def _moved(patch: Patch, move: Motion) -> Patch:
    if isinstance(patch.to_piece, Bend):
        centre = tuple((float(x), float(y)) for x, y in move.all(patch.to_piece.centre))
        return replace(
            patch, outline=move.all(patch.outline), to_piece=replace(patch.to_piece, centre=centre)
        )
    return replace(patch, outline=move.all(patch.outline), to_piece=patch.to_piece.after(move.inverse()))
