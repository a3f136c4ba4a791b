"""Outlines drawn by hand brought together: corners and edges that miss each other by a hair are made to meet.

Corners near the block's outline go onto it, upright and level seams become one line, corners near one another
become one, and an edge that a corner lies beside goes through that corner. No point moves further than the
tolerance in any of these steps.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise
from math import atan2, floor, hypot, pi

import numpy as np
from shapely import STRtree, linestrings, points

from blocks.curves import ExactPoint
from blocks.lengths import MM_PER_IN
from blocks.ruling import ruled

__all__ = ["grid_for", "settled", "snap_outlines", "straightened"]

_GRIDS_IN = (Fraction(1, 10**6), 1 / MM_PER_IN / 10**5)

_PASSES = 8
_SHARP = pi / 9
"""A turn of more than twenty degrees is a corner that was drawn; a flattened curve turns by less."""

_Ring = tuple[int, ...]


def snap_outlines(
    outlines: Sequence[Sequence[ExactPoint]],
    *,
    width_in: Fraction,
    height_in: Fraction,
    tolerance_in: Fraction,
) -> tuple[tuple[ExactPoint, ...], ...]:
    """The outlines, in the same order, with shared corners and edges exactly shared.

    A shape thinner than the tolerance comes out with fewer than three corners.
    """
    near_in = float(tolerance_in)
    drawn = [settled(outline, width_in, height_in, tolerance_in) for outline in outlines]
    drawn = ruled(drawn, sides_in=(width_in, height_in), tolerance_in=tolerance_in)
    spots, place = _gather(drawn, _frame(width_in, height_in), near_in)
    rings = [_tidy([place[point] for point in outline]) for outline in drawn]
    for _ in range(_PASSES):
        through = _through(rings, spots, near_in)
        if not through:
            break
        rings = [_tidy(list(_threaded(ring, through))) for ring in rings]
    return tuple(straightened([spots[i] for i in ring]) for ring in rings)


def _frame(width_in: Fraction, height_in: Fraction) -> tuple[ExactPoint, ...]:
    nought = Fraction(0)
    return (nought, nought), (width_in, nought), (width_in, height_in), (nought, height_in)


def grid_for(width_in: Fraction) -> Fraction:
    """The grid that corners lie on: millionths of an inch, or of ten millimetres for a metric block.

    Where the width is on neither, corners on the block's outline are on no grid, and all others on the first.
    """
    return next((grid for grid in _GRIDS_IN if (width_in / grid).denominator == 1), _GRIDS_IN[0])


def settled(
    outline: Iterable[ExactPoint], width_in: Fraction, height_in: Fraction, tolerance_in: Fraction
) -> tuple[ExactPoint, ...]:
    """The corners of an outline, each on the grid, or on the block's outline where it is near that."""
    grid_in = grid_for(width_in)
    return tuple(
        (_settle(x, width_in, tolerance_in, grid_in), _settle(y, height_in, tolerance_in, grid_in))
        for x, y in outline
    )


def _settle(number: Fraction, side_in: Fraction, tolerance_in: Fraction, grid_in: Fraction) -> Fraction:
    """A coordinate on the block's outline if it is near it, else on the grid."""
    if abs(number) <= tolerance_in:
        return Fraction(0)
    return side_in if abs(number - side_in) <= tolerance_in else round(number / grid_in) * grid_in


def _gather(
    outlines: Iterable[Sequence[ExactPoint]], frame: Sequence[ExactPoint], tolerance_in: float
) -> tuple[list[ExactPoint], dict[ExactPoint, int]]:
    """The spots that corners gather at, and which of them each corner goes to.

    A corner goes to the nearest spot within the tolerance, else it is a spot itself. Those come first that
    must not move, or that most outlines share; so no chain of small steps can carry a corner far.
    """
    sides = (frame[0], frame[2])
    counts: Counter[ExactPoint] = Counter()
    sharp: set[ExactPoint] = set()
    for outline in outlines:
        counts.update(set(outline))
        sharp.update(_sharp_corners(outline))

    def rank(point: ExactPoint) -> tuple[int, bool, int, Fraction, Fraction]:
        held = sum(point[k] in (side[k] for side in sides) for k in (0, 1))
        return -held, point not in sharp, -counts[point], point[1], point[0]

    spots: list[ExactPoint] = []
    near: dict[tuple[int, int], list[int]] = {}
    place: dict[ExactPoint, int] = {}
    cell_in = max(tolerance_in, float(_GRIDS_IN[0]))
    for point in [*frame, *sorted(counts, key=rank)]:
        x, y = float(point[0]), float(point[1])
        column, row = floor(x / cell_in), floor(y / cell_in)
        around = [i for c in (-1, 0, 1) for r in (-1, 0, 1) for i in near.get((column + c, row + r), ())]
        reached = [(hypot(float(spots[i][0]) - x, float(spots[i][1]) - y), i) for i in around]
        away_in, nearest = min(reached, default=(cell_in, -1))
        if nearest < 0 or away_in > tolerance_in:
            nearest = len(spots)
            spots.append(point)
            near.setdefault((column, row), []).append(nearest)
        place[point] = nearest
    return spots, place


def _sharp_corners(outline: Sequence[ExactPoint]) -> Iterator[ExactPoint]:
    floats = [(float(x), float(y)) for x, y in outline]
    for i, (x, y) in enumerate(floats):
        (px, py), (qx, qy) = floats[i - 1], floats[(i + 1) % len(floats)]
        turn = atan2(qy - y, qx - x) - atan2(y - py, x - px)
        if abs((turn + pi) % (2 * pi) - pi) > _SHARP:
            yield outline[i]


def _through(
    rings: Iterable[_Ring], spots: Sequence[ExactPoint], tolerance_in: float
) -> dict[tuple[int, int], list[int]]:
    """For each side, by its lower end first, the spots beside it in order from that end; none for most."""
    sides = sorted({(min(p, q), max(p, q)) for ring in rings for p, q in pairwise((*ring, ring[0]))})
    used = sorted({i for side in sides for i in side})
    if not sides:
        return {}
    at = np.array([(float(x), float(y)) for x, y in spots])
    tree = STRtree(points(at[used]))
    hits = tree.query(linestrings(at[np.array(sides)]), predicate="dwithin", distance=tolerance_in)
    found: dict[tuple[int, int], list[tuple[float, int]]] = {}
    for k, hit in hits.T:
        side, spot = sides[k], used[hit]
        if spot in side:
            continue
        (px, py), (qx, qy), (x, y) = at[side[0]], at[side[1]], at[spot]
        along = ((x - px) * (qx - px) + (y - py) * (qy - py)) / ((qx - px) ** 2 + (qy - py) ** 2)
        if 0 < along < 1:
            found.setdefault(side, []).append((along, spot))
    return {side: [spot for _, spot in sorted(beside)] for side, beside in found.items()}


def _threaded(ring: _Ring, through: dict[tuple[int, int], list[int]]) -> Iterator[int]:
    """The ring with every side led through the spots beside it, alike whichever way it is walked."""
    for p, q in pairwise((*ring, ring[0])):
        yield p
        beside = through.get((min(p, q), max(p, q)), [])
        yield from beside if p < q else reversed(beside)


def _tidy(ring: list[int]) -> _Ring:
    """A ring without repeats, and without spurs that go out and come back the same way."""
    kept: list[int] = []
    for spot in ring:
        if kept and kept[-1] == spot:
            continue
        kept.append(spot)
        while len(kept) >= 3 and kept[-1] == kept[-3]:
            del kept[-2:]
    while len(kept) > 2:  # the ring's own start may lie on a repeat or at the tip of a spur
        if kept[0] == kept[-1]:
            kept.pop()
        elif kept[1] == kept[-1]:
            kept = kept[1:-1]
        elif kept[0] == kept[-2]:
            del kept[-2:]
        else:
            break
    return tuple(kept) if len(kept) > 2 else ()


def straightened(ring: Sequence[ExactPoint]) -> tuple[ExactPoint, ...]:
    """A ring without corners that lie exactly on a straight side: it is the same region."""
    kept = [
        point
        for i, point in enumerate(ring)
        if not _is_straight(ring[i - 1], point, ring[(i + 1) % len(ring)])
    ]
    return tuple(kept) if len(kept) > 2 else ()


def _is_straight(a: ExactPoint, b: ExactPoint, c: ExactPoint) -> bool:
    return (b[0] - a[0]) * (c[1] - b[1]) == (b[1] - a[1]) * (c[0] - b[0])
