"""Upright and level sides of drawn patches brought onto common lines, so that seams stay straight.

A seam of many patches is one line across a block. Drawn by hand its parts miss each other by a hair; the
longest part says where the line is, and all that lies beside it goes there.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from blocks.curves import ExactPoint

__all__ = ["ruled"]

_SHORTEST = 4
"""Sides shorter than so many tolerances may be part of a curve, and rule nothing."""


@dataclass(frozen=True, slots=True)
class _Line:
    """An upright or level line of a block: where it was drawn, from where to where, and where it goes."""

    drawn_in: Fraction
    low_in: Fraction
    high_in: Fraction
    goes_to_in: Fraction


def ruled(
    outlines: Sequence[Sequence[ExactPoint]], *, sides_in: ExactPoint, tolerance_in: Fraction
) -> list[tuple[ExactPoint, ...]]:
    """The outlines with their upright and level sides on common lines.

    No corner moves more than the tolerance across or down. `sides_in` are the width and height of the
    block, whose own edges nothing leaves.
    """
    moved = [tuple(outline) for outline in outlines]
    for axis in (0, 1):
        lines = _lines(moved, axis, sides_in, tolerance_in)
        at = [line.drawn_in for line in lines]
        for i, outline in enumerate(moved):
            windows = ((point[axis] - tolerance_in, point[axis] + tolerance_in) for point in outline)
            near = [lines[bisect_left(at, low) : bisect_right(at, high)] for low, high in windows]
            moved[i] = tuple(
                _ruled(point, axis, beside, tolerance_in) for point, beside in zip(outline, near, strict=True)
            )
    return moved


def _ruled(point: ExactPoint, axis: int, near: Sequence[_Line], tolerance_in: Fraction) -> ExactPoint:
    """A corner on the longest line beside it that it can go to; the first of equally long ones."""
    across_in, along_in = point[axis], point[1 - axis]
    beside = [
        line
        for line in near
        if line.low_in - tolerance_in <= along_in <= line.high_in + tolerance_in
        and abs(line.goes_to_in - across_in) <= tolerance_in
    ]
    if not beside:
        return point
    to_in = max(beside, key=lambda line: line.high_in - line.low_in).goes_to_in
    return (to_in, point[1]) if axis == 0 else (point[0], to_in)


def _lines(
    outlines: Iterable[Sequence[ExactPoint]], axis: int, sides_in: ExactPoint, tolerance_in: Fraction
) -> list[_Line]:
    """Every upright (axis 0) or level (axis 1) line drawn, by place; short ones go where longer ones lie."""
    drawn = set()
    for outline in outlines:
        for p, q in pairwise((*outline, outline[0])):
            if p[axis] == q[axis] and abs(p[1 - axis] - q[1 - axis]) >= _SHORTEST * tolerance_in:
                drawn.add((p[axis], *sorted((p[1 - axis], q[1 - axis]))))
    edges = [(edge_in, Fraction(0), sides_in[1 - axis]) for edge_in in (Fraction(0), sides_in[axis])]
    longest = sorted(drawn, key=lambda line: (line[1] - line[2], line))
    placed: list[_Line] = []
    for at_in, low_in, high_in in [*edges, *longest]:
        touching = (
            line.goes_to_in
            for line in placed
            if abs(line.goes_to_in - at_in) <= tolerance_in
            and line.low_in - tolerance_in <= high_in
            and low_in <= line.high_in + tolerance_in
        )
        placed.append(_Line(at_in, low_in, high_in, next(touching, at_in)))
    return sorted(placed, key=lambda line: (line.drawn_in, line.low_in, line.high_in))
