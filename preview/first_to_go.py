"""Which patch goes first? The same block from nearer to farther, and where each edge is lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from blocks.values import Edge
from palettes.thresholds import THRESHOLDS
from palettes.viewing import feet_away
from preview.audition import Audition
from preview.keeping import PaintCache
from preview.readings import read_distances

__all__ = ["FEET", "Going", "first_to_go"]

FEET = (2.0, 4.0, 6.0, 10.0, 15.0, 20.0)


@dataclass(frozen=True, slots=True)
class Going:
    """One edge that should read, from nearer to farther."""

    first: int
    second: int
    first_role: str
    second_role: str
    shares: tuple[float, ...]
    """The share that shows by value at each distance."""
    words: tuple[str, ...]
    goes_at_feet: float | None
    """The first distance from which it is lost for good; None for one that is never lost."""


def first_to_go(
    audition: Audition,
    edges: Sequence[Edge],
    *,
    feet: Sequence[float] = FEET,
    cache: PaintCache | None = None,
) -> tuple[Going, ...]:
    """Every edge that should read, those that go first at the top; of those that stay, the weakest first."""
    views = sorted(feet)
    wanted = [edge for edge in edges if edge.wanted]
    read = read_distances(audition, wanted, viewings=[feet_away(each) for each in views], cache=cache)
    by_edge = [{(found.first, found.second): found for found in readings} for readings in read]
    goings = []
    for edge in wanted:
        found = [readings[edge.first, edge.second] for readings in by_edge]
        shares = tuple(each.reading.share_shows for each in found)
        lost = [share < THRESHOLDS.soft_share for share in shares]
        gone = next((views[i] for i in range(len(views)) if all(lost[i:])), None)
        goings.append(
            Going(
                edge.first,
                edge.second,
                found[0].first_role,
                found[0].second_role,
                shares,
                tuple(each.word for each in found),
                gone,
            )
        )
    return tuple(
        sorted(
            goings,
            key=lambda each: (each.goes_at_feet or float("inf"), each.shares[-1], each.first, each.second),
        )
    )
