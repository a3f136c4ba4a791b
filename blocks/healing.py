"""Hairline gaps and overlaps that snapping leaves, given to a neighbour so that the patches tile exactly.

All outlines together cut the block into faces on a fine grid. A face that just one patch covers is that
patch's; any other goes to the neighbour with which it shares the longest edge.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import hypot

from shapely import STRtree, polygonize, unary_union
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.polygon import orient

from blocks.curves import ExactPoint
from blocks.misfits import region_of
from blocks.snapping import grid_for

__all__ = ["heal_outlines"]

_Spot = tuple[int, int]
_NOBODY = -1


@dataclass(slots=True)
class _Face:
    """One face of the cut-up block: its directed sides, the patches that cover it, and whose it is."""

    sides: list[tuple[_Spot, _Spot]]
    covered_by: frozenset[int]
    owner: int = _NOBODY


def heal_outlines(
    outlines: Sequence[Sequence[ExactPoint]], *, width_in: Fraction, height_in: Fraction
) -> tuple[tuple[ExactPoint, ...], ...]:
    """The outlines changed where they do not tile, however little or much; a lost patch comes out empty."""
    grid_in = grid_for(width_in)
    faces = _cut_up(outlines, width_in, height_in, grid_in)
    over = {side: i for i, face in enumerate(faces) for side in face.sides}
    _settle(faces, over)
    for patch in range(len(outlines)):
        for stray in _strays(faces, over, patch):
            faces[stray].owner = _NOBODY
            faces[stray].covered_by -= {patch}
    _settle(faces, over)
    right, bottom = round(width_in / grid_in), round(height_in / grid_in)

    def point(spot: _Spot) -> ExactPoint:
        """Where a spot lies; the block's outline need not be on the grid."""
        x = width_in if spot[0] == right else spot[0] * grid_in
        return x, height_in if spot[1] == bottom else spot[1] * grid_in

    rings = [_ring([face for face in faces if face.owner == patch]) for patch in range(len(outlines))]
    return tuple(tuple(map(point, ring)) for ring in rings)


def _cut_up(
    outlines: Sequence[Sequence[ExactPoint]], width_in: Fraction, height_in: Fraction, grid_in: Fraction
) -> list[_Face]:
    regions = [region_of(outline) for outline in outlines]
    tree = STRtree(regions)
    land = box(0, 0, float(width_in), float(height_in))
    lines = [
        LineString([(float(x), float(y)) for x, y in (*outline, outline[0])])
        for outline in outlines
        if len(outline) > 2
    ]
    noded = unary_union([land.exterior, *lines], grid_size=float(grid_in))
    faces = []
    for polygon in polygonize([noded]).geoms:
        middle = polygon.representative_point()
        if land.contains(middle):
            covered = frozenset(int(hit) for hit in tree.query(middle, predicate="intersects"))
            faces.append(
                _Face(_sides(polygon, grid_in), covered, min(covered) if len(covered) == 1 else _NOBODY)
            )
    return faces


def _sides(polygon: Polygon, grid_in: Fraction) -> list[tuple[_Spot, _Spot]]:
    """The sides of a face in whole numbers of the grid, what it bounds on the right hand."""
    turned = orient(polygon, 1.0)
    unit_in = float(grid_in)
    return [
        ((round(px / unit_in), round(py / unit_in)), (round(qx / unit_in), round(qy / unit_in)))
        for ring in (turned.exterior, *turned.interiors)
        for (px, py), (qx, qy) in pairwise(ring.coords)
    ]


def _settle(faces: Sequence[_Face], over: dict[tuple[_Spot, _Spot], int]) -> None:
    """Gives every face that is nobody's to a neighbour, from the settled ones outwards."""
    left = [i for i, face in enumerate(faces) if face.owner == _NOBODY]
    while left:
        best = max(left, key=lambda i: (_claims(faces, over, i)[0][0], -i))
        length, owner = _claims(faces, over, best)[0]
        if not length:
            return
        faces[best].owner = owner
        left.remove(best)


def _claims(faces: Sequence[_Face], over: dict[tuple[_Spot, _Spot], int], i: int) -> list[tuple[float, int]]:
    """The length of edge that each neighbouring patch shares with a face, the longest first.

    Only patches that cover it have a claim to a face that any patch covers.
    """
    shared: dict[int, float] = defaultdict(float)
    for (px, py), (qx, qy) in faces[i].sides:
        other = over.get(((qx, qy), (px, py)))
        owner = _NOBODY if other is None else faces[other].owner
        if owner != _NOBODY and (owner in faces[i].covered_by or not faces[i].covered_by):
            shared[owner] += hypot(qx - px, qy - py)
    return sorted(((length, owner) for owner, length in shared.items()), reverse=True) or [(0.0, _NOBODY)]


def _strays(faces: Sequence[_Face], over: dict[tuple[_Spot, _Spot], int], patch: int) -> Iterable[int]:
    """The faces of a patch that do not hang together, by whole edges, with its largest part."""
    own = {i for i, face in enumerate(faces) if face.owner == patch}
    parts: list[set[int]] = []
    while own:
        part, edge = set(), {own.pop()}
        while edge:
            part |= edge
            beside = {over.get((q, p), _NOBODY) for i in edge for p, q in faces[i].sides}
            edge = beside & own
            own -= edge
        parts.append(part)
    parts.sort(key=lambda part: -sum(abs(_area(faces[i].sides)) for i in part))
    return [i for part in parts[1:] for i in sorted(part)]


def _area(sides: Iterable[tuple[_Spot, _Spot]]) -> int:
    return sum(px * qy - qx * py for (px, py), (qx, qy) in sides)


def _ring(faces: Iterable[_Face]) -> list[_Spot]:
    """The outer boundary of faces that hang together, clockwise as seen."""
    sides = {side for face in faces for side in face.sides}
    onward: dict[_Spot, list[_Spot]] = defaultdict(list)
    for p, q in sides:
        if (q, p) not in sides:
            onward[p].append(q)
    rings = []
    while onward:
        ring = [min(onward)]
        while True:
            ends = onward[ring[-1]]
            ring.append(ends.pop())
            if not ends:
                del onward[ring[-2]]
            if ring[-1] == ring[0]:
                break
        rings.append(ring[:-1])
    return max(rings, key=lambda ring: _area(pairwise((*ring, ring[0]))), default=[])
