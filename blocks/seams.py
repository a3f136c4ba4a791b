"""Seams between finished patches, found from edges that lie on exactly the same line."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from math import gcd, lcm

from blocks.motion import Point
from blocks.values import Patch

__all__ = ["Run", "Spot", "exact_seams"]

Run = tuple[Point, ...]
"""Points along a boundary."""

Spot = tuple[int, int]
"""A point in whole numbers of the smallest common part of an inch."""

_Side = tuple[Spot, Spot]
_Stretch = tuple[int, int, Spot, Spot, int]


def exact_seams(patches: Sequence[Patch]) -> dict[tuple[int, int], list[Run]]:
    """The lines along which patches of one layer meet, by their numbers, the lower first.

    The first patch lies on the right hand of each line. Corners in the middle of a neighbour's side are
    found too; all is decided in whole numbers, in time that grows with the number of sides.
    """
    points, walks = _in_whole_numbers(patches)
    meetings: dict[tuple[int, int], list[_Side]] = defaultdict(list)
    for start, end, right, left in _shared(walks):
        if right < left:
            meetings[right, left].append((start, end))
        elif left < right:
            meetings[left, right].append((end, start))
    return {
        pair: [tuple(points[spot] for spot in run) for run in _chain(meetings[pair])]
        for pair in sorted(meetings)
    }


def _in_whole_numbers(patches: Sequence[Patch]) -> tuple[dict[Spot, Point], list[tuple[int, list[Spot]]]]:
    """Every corner as written, by its spot; and each patch's number with its corners as spots."""
    # Integer ratios are the same exact numbers as fractions, and much quicker to handle by the thousand.
    ratios = [[(x.as_integer_ratio(), y.as_integer_ratio()) for x, y in patch.outline] for patch in patches]
    bottoms = {bottom for outline in ratios for point in outline for _, bottom in point}
    unit = lcm(*bottoms)
    times = {bottom: unit // bottom for bottom in bottoms}
    points: dict[Spot, Point] = {}
    walks = []
    for patch, outline in zip(patches, ratios, strict=True):
        spots = [(x * times[u], y * times[v]) for (x, u), (y, v) in outline]
        points.update(zip(spots, patch.outline, strict=True))
        walks.append((patch.number, spots))
    return points, walks


def _shared(walks: list[tuple[int, list[Spot]]]) -> Iterator[tuple[Spot, Spot, int, int]]:
    """Every stretch that two sides share: start, end, the patch on its right and the one on its left."""
    alone: dict[_Side, int] = {}
    for number, spots in walks:
        start = spots[-1]
        for end in spots:
            other = alone.pop((end, start), None)
            if other is None:
                alone[start, end] = number
            else:
                yield start, end, number, other
            start = end
    lines: dict[tuple[int, int, int], tuple[list[_Stretch], list[_Stretch]]] = {}
    for (start, end), number in alone.items():
        dx, dy = end[0] - start[0], end[1] - start[1]
        if not dx and not dy:
            continue
        common = gcd(dx, dy) if (dx, dy) > (0, 0) else -gcd(dx, dy)
        dx, dy = dx // common, dy // common
        line = lines.setdefault((dx, dy, dx * start[1] - dy * start[0]), ([], []))
        axis = 0 if dx else 1
        if common > 0:
            line[0].append((start[axis], end[axis], start, end, number))
        else:
            line[1].append((end[axis], start[axis], end, start, number))
    for onward, back in lines.values():
        yield from _overlaps(sorted(onward), sorted(back))


def _overlaps(onward: list[_Stretch], back: list[_Stretch]) -> Iterator[tuple[Spot, Spot, int, int]]:
    """Stretches of one line that both a side walked onward and one walked back cover."""
    i = j = 0
    while i < len(onward) and j < len(back):
        from_a, to_a, start_a, end_a, right = onward[i]
        from_b, to_b, start_b, end_b, left = back[j]
        if max(from_a, from_b) < min(to_a, to_b):
            yield start_a if from_a > from_b else start_b, end_a if to_a < to_b else end_b, right, left
        if to_a <= to_b:
            i += 1
        if to_b <= to_a:
            j += 1


def _chain(sides: list[_Side]) -> list[list[Spot]]:
    """Sides joined end to end into lines; corners on a straight line are left out."""
    if len(sides) == 1:
        return [list(sides[0])]
    onward = dict(sides)
    starts = onward.keys() - set(onward.values())
    runs = []
    # A closed line has no start of its own; after all others, any spot of it will do.
    for start in [*(start for start, _ in sides if start in starts), *(start for start, _ in sides)]:
        if start not in onward:
            continue
        run = [start]
        while run[-1] in onward:
            end = onward.pop(run[-1])
            if len(run) > 1 and _is_straight(run[-2], run[-1], end):
                run[-1] = end
            else:
                run.append(end)
        runs.append(run)
    return runs


def _is_straight(a: Spot, b: Spot, c: Spot) -> bool:
    return (b[0] - a[0]) * (c[1] - b[1]) == (b[1] - a[1]) * (c[0] - b[0])
