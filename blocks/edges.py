"""Where patches meet in the finished block: seams, and appliqué edges over what lies beneath them."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import pairwise
from math import hypot
from typing import Literal

from shapely import STRtree, line_merge, prepare
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry import Point as Spot
from shapely.geometry.base import BaseGeometry

from blocks.seams import Run, exact_seams
from blocks.values import Draft, Edge, Patch
from blocks.visible import cover_of, lies_over, patch_region

__all__ = ["find_edges"]

_ASIDE_IN = 1e-5
"""Appliqué edges are walked this far outside the shape, where what lies beneath is never in doubt."""

_SHORTEST_IN = 0.01


def find_edges(
    draft: Draft, *, wanted: Mapping[frozenset[str], bool] | None = None, unread: Collection[str] = ()
) -> tuple[Edge, ...]:
    """Every edge that shows: seams first, then appliqué edges from the bottom up.

    An edge should read where the roles differ. `draft.wanted` and then `wanted` say otherwise for a pair of
    roles, `draft.unread` and `unread` for all edges of the steps they name. Edges under a hundredth of an
    inch are left out.
    """
    rules = {frozenset((one, other)): reads for one, other, reads in draft.wanted} | dict(wanted or {})
    unread = {*draft.unread, *unread}
    regions = [patch_region(patch) for patch in draft.patches]
    numbered = {patch.number: patch for patch in draft.patches}
    ground = [patch for patch in draft.patches if not patch.is_applique()]
    uppers = [i for i, patch in enumerate(draft.patches) if patch.is_applique()]
    tree = STRtree([regions[i] for i in uppers])
    edges = []
    for (first, second), runs in exact_seams(ground).items():
        one, other = numbered[first], numbered[second]
        shown = [part for run in runs for part in _uncovered(run, one, uppers, tree, draft.patches, regions)]
        edges.append(_edge(one, other, shown, rules, unread))
    for upper, lower, runs in _applique_meetings(draft.patches, regions, uppers):
        edges.append(_edge(upper, lower, runs, rules, unread))
    return tuple(edge for edge in edges if edge.length_in >= _SHORTEST_IN)


def _edge(
    first: Patch,
    second: Patch,
    runs: Sequence[Run],
    rules: Mapping[frozenset[str], bool],
    unread: Collection[str],
) -> Edge:
    length_in = sum(hypot(v - x, w - y) for run in runs for (x, y), (v, w) in pairwise(run))
    reads = rules.get(frozenset((first.role, second.role)), first.role != second.role)
    reads = reads and first.step not in unread and second.step not in unread
    kind: Literal["seam", "applique"] = "applique" if first.is_applique() else "seam"
    return Edge(first.number, second.number, kind, tuple(runs), length_in, reads)


def _uncovered(
    run: Run,
    patch: Patch,
    uppers: Sequence[int],
    tree: STRtree,
    patches: Sequence[Patch],
    regions: Sequence[Polygon],
) -> list[Run]:
    """The parts of a seam that no appliqué lies over; the run itself, exact, where none does."""
    if not uppers:
        return [run]
    line = LineString([(float(x), float(y)) for x, y in run])
    near = [uppers[hit] for hit in tree.query(line, predicate="intersects")]
    cover = cover_of(patch, near, patches, regions)
    return [run] if cover is None else _runs(line.difference(cover), along=line)


def _applique_meetings(
    patches: Sequence[Patch], regions: Sequence[Polygon], uppers: Sequence[int]
) -> Iterable[tuple[Patch, Patch, list[Run]]]:
    """Each appliqué patch with everything directly beneath its visible boundary."""
    tree = STRtree(regions) if uppers else None
    for i in uppers:
        assert tree is not None
        upper, region = patches[i], regions[i]
        prepare(region)
        around = region.buffer(_ASIDE_IN, join_style="mitre")
        near = [int(hit) for hit in tree.query(around) if hit != i]
        cover = cover_of(upper, near, patches, regions)
        left = around.boundary
        if cover is not None:
            # Grown, so that a boundary which a later shape follows exactly counts as covered.
            left = left.difference(cover.buffer(2 * _ASIDE_IN, join_style="mitre"))
        beneath = sorted(
            (k for k in near if lies_over(upper, patches[k])),
            key=lambda k: (-patches[k].layer, -patches[k].number if patches[k].layer else patches[k].number),
        )
        for k in beneath:
            if patches[k].piece == upper.piece:
                continue
            met = left.intersection(regions[k])
            runs = _runs(met, inside=region)
            if runs:
                left = left.difference(regions[k])
                yield upper, patches[k], runs


def _runs(
    shape: BaseGeometry, *, along: LineString | None = None, inside: Polygon | None = None
) -> list[Run]:
    """The lines of a shape, joined, each with the first patch on its right hand."""
    parts = [
        part for part in getattr(shape, "geoms", [shape]) if part.geom_type in ("LineString", "LinearRing")
    ]
    parts = [LineString(part.coords) for part in parts if part.length > _ASIDE_IN]
    merged = line_merge(MultiLineString(parts)) if len(parts) > 1 else MultiLineString(parts)
    runs: list[Run] = []
    for line in getattr(merged, "geoms", [merged]):
        points = tuple((float(x), float(y)) for x, y in line.coords)
        if along is not None:
            keep = along.project(Spot(points[0])) <= along.project(Spot(points[-1]))
        else:
            keep = inside is None or _is_right_of(points, inside)
        runs.append(points if keep else points[::-1])
    return runs


def _is_right_of(points: tuple[tuple[float, float], ...], region: Polygon) -> bool:
    """Whether a region lies on the right hand of the longest side of a line beside it."""
    (x, y), (v, w) = max(
        pairwise(points), key=lambda side: hypot(side[1][0] - side[0][0], side[1][1] - side[0][1])
    )
    long = hypot(v - x, w - y)
    aside_in = 3 * _ASIDE_IN / long
    return bool(region.contains(Spot((x + v) / 2 - (w - y) * aside_in, (y + w) / 2 + (v - x) * aside_in)))
