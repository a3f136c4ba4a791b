"""The edges of a quilt: those inside each design, found once, and those across its joins, once a kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import hypot

import numpy as np
from numpy.typing import NDArray

from blocks.cells import Cell
from blocks.designs import Design, patches_of
from blocks.edges import find_edges
from blocks.motion import STAY, Motion, Point
from blocks.quilt import Quilt, Repeat
from blocks.seams import Run, exact_seams
from blocks.values import Draft, Edge, Patch

__all__ = ["Neighbours", "neighbours_of", "quilt_edges"]

_Join = tuple[tuple[int, int, tuple[Run, ...], float], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Neighbours:
    """Every pair of patches of a quilt that meet, as columns of equal length; numbers count from 1."""

    first: NDArray[np.int64]
    second: NDArray[np.int64]
    length_in: NDArray[np.float64]


def neighbours_of(quilt: Quilt) -> Neighbours:
    """Which patches meet, and along what length; appliqué edges included, seams across joins last."""
    inner = {id(design): _columns(_inner_edges(design)) for design in quilt.designs()}
    first, second, length_in = [], [], []
    for repeat in quilt.repeats:
        ones, others, lengths = inner[id(repeat.cell.design)]
        first.append(ones + repeat.first_patch)
        second.append(others + repeat.first_patch)
        length_in.append(lengths)
    across = [
        (one.first_patch + i, other.first_patch + j, length)
        for one, other, join in _joins(quilt)
        for i, j, _, length in join
    ]
    table = np.array(across, dtype=np.float64).reshape(-1, 3)
    return Neighbours(
        np.concatenate([*first, table[:, 0].astype(np.int64)]),
        np.concatenate([*second, table[:, 1].astype(np.int64)]),
        np.concatenate([*length_in, table[:, 2]]),
    )


def quilt_edges(quilt: Quilt) -> Iterator[Edge]:
    """Every edge of a quilt as it hangs, numbered like the patches of `write_out`."""
    rules = {frozenset(pair[:2]): pair[2] for design in quilt.designs() for pair in design.wanted}
    inner = {id(design): _inner_edges(design) for design in quilt.designs()}
    for repeat in quilt.repeats:
        motion = quilt.view.after(repeat.cell.motion)
        for edge in inner[id(repeat.cell.design)]:
            runs = tuple(motion.all(run) for run in edge.runs)
            ends = repeat.first_patch + edge.first, repeat.first_patch + edge.second
            yield Edge(*ends, edge.kind, runs, edge.length_in, edge.wanted)
    for one, other, join in _joins(quilt):
        motion = quilt.view.after(one.cell.motion)
        for i, j, lines, length_in in join:
            roles = one.cell.design.placed[i].role, other.cell.design.placed[j].role
            reads = rules.get(frozenset(roles), roles[0] != roles[1])
            runs = tuple(motion.all(run) for run in lines)
            yield Edge(one.first_patch + i, other.first_patch + j, "seam", runs, length_in, reads)


def _inner_edges(design: Design) -> tuple[Edge, ...]:
    """The edges inside a design, its patches counted from 0."""
    patches = tuple(patches_of(design, nth=0, repeats=1, motion=STAY, first_piece=0, first_patch=0))
    nought = Fraction(0)
    draft = Draft(design.name, nought, nought, nought, (), patches, design.wanted, design.laid.unread)
    return find_edges(draft, unread=design.laid.unread)


def _columns(
    edges: tuple[Edge, ...],
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.float64]]:
    return (
        np.array([edge.first for edge in edges], dtype=np.int64),
        np.array([edge.second for edge in edges], dtype=np.int64),
        np.array([edge.length_in for edge in edges], dtype=np.float64),
    )


def _joins(quilt: Quilt) -> Iterator[tuple[Repeat, Repeat, _Join]]:
    """Every two repeats that lie side by side, with their seams: patches counted from 0 in each, the first
    repeat's own frame. Two repeats that meet like two others are not measured again."""
    known: dict[tuple[int, int, Motion], _Join] = {}
    for i, j in exact_seams([_whole(repeat.cell, k) for k, repeat in enumerate(quilt.repeats)]):
        one, other = quilt.repeats[i], quilt.repeats[j]
        across = one.cell.motion.inverse().after(other.cell.motion)
        key = (id(one.cell.design), id(other.cell.design), across)
        if key not in known:
            known[key] = _meet(one.cell.design, other.cell.design, across)
        if known[key]:
            yield one, other, known[key]


def _whole(cell: Cell, number: int) -> Patch:
    """A cell as if it were one patch."""
    return Patch(number, "", cell.motion.all(cell.design.outline), 0, STAY, cell.design.name)


def _meet(one: Design, other: Design, across: Motion) -> _Join:
    """The seams between two designs, the second moved by `across` into the frame of the first."""
    count = len(one.placed)
    patches = [Patch(i, placed.role, placed.outline, 0, STAY, "") for i, placed in enumerate(one.placed)]
    patches += [
        Patch(count + j, placed.role, across.all(placed.outline), 0, STAY, "")
        for j, placed in enumerate(other.placed)
    ]
    seams = exact_seams(patches)
    return tuple(
        (i, j - count, tuple(runs), sum(map(_length, runs)))
        for (i, j), runs in seams.items()
        if i < count <= j
    )


def _length(run: tuple[Point, ...]) -> float:
    return sum(hypot(v - x, w - y) for (x, y), (v, w) in pairwise(run))
