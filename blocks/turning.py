"""Which edges of each appliqué shape are turned under, and which lie flat beneath something or in a seam."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shapely import STRtree, line_merge
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from blocks.polygons import rectangle
from blocks.values import Bend, Draft, Patch
from blocks.visible import cover_of, patch_region

__all__ = ["Turning", "turned_edges"]

_NEAR_IN = 1e-4
_SHORTEST_IN = 0.01

_Line = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Turning:
    """How one appliqué patch's boundary is finished, as lines in block inches."""

    patch: int
    turned: tuple[_Line, ...]
    """Turned under by the shape's allowance: these show."""
    flat: tuple[_Line, ...]
    """Left flat: these lie under a later shape, or in a seam."""
    turned_in: float
    flat_in: float

    def sentence(self) -> str:
        """What to do with the edges, for a sheet."""
        if not self.flat:
            return f"Patch {self.patch}: turn all edges under."
        if not self.turned:
            return f"Patch {self.patch}: turn no edge under."
        return f"Patch {self.patch}: turn {self.turned_in:.1f} in under, leave {self.flat_in:.1f} in flat."


def turned_edges(draft: Draft) -> tuple[Turning, ...]:
    """Every appliqué patch in sewing order, with its edges parted into turned and flat.

    The long edges of a bias stem are folded along their whole length before it is laid, so only its ends
    count as flat where they are hidden.
    """
    regions = [patch_region(patch) for patch in draft.patches]
    uppers = [i for i, patch in enumerate(draft.patches) if patch.is_applique()]
    if not uppers:
        return ()
    tree = STRtree([regions[i] for i in uppers])
    width, height = float(draft.finished_width_in), float(draft.finished_height_in)
    rim = Polygon([(float(x), float(y)) for x, y in rectangle(width, height)]).exterior.buffer(_NEAR_IN)
    turnings = []
    for i in uppers:
        near = [uppers[hit] for hit in tree.query(regions[i]) if uppers[hit] != i]
        cover = cover_of(draft.patches[i], near, draft.patches, regions)
        turnings.append(_part(draft.patches[i], regions[i], rim if cover is None else cover.union(rim)))
    return tuple(turnings)


def _part(patch: Patch, region: Polygon, hidden: BaseGeometry) -> Turning:
    boundary = region.boundary
    flat = boundary.intersection(hidden)
    if isinstance(patch.to_piece, Bend):
        flat = _ends_only(flat, patch.to_piece)
    turned = boundary.difference(flat.buffer(_NEAR_IN / 10)) if not flat.is_empty else boundary
    turned_lines, flat_lines = _lines(turned), _lines(flat)
    return Turning(patch.number, turned_lines, flat_lines, _length(turned_lines), _length(flat_lines))


def _ends_only(flat: BaseGeometry, bend: Bend) -> BaseGeometry:
    """The part of a hidden boundary that closes a strip's ends, across its first and last centre point."""
    ends = [LineString(bend.centre[:2]), LineString(bend.centre[-2:])]
    reach = bend.middle_in * 2
    caps: Any = None
    for end, at in zip(ends, (0, -1), strict=True):
        (x0, y0), (x1, y1) = end.coords[0], end.coords[-1]
        long = end.length or 1.0
        across = (-(y1 - y0) / long * reach, (x1 - x0) / long * reach)
        x, y = end.coords[at]
        cap = LineString([(x - across[0], y - across[1]), (x + across[0], y + across[1])]).buffer(
            10 * _NEAR_IN
        )
        caps = cap if caps is None else caps.union(cap)
    return flat.intersection(caps)


def _lines(shape: BaseGeometry) -> tuple[_Line, ...]:
    merged = line_merge(shape) if shape.geom_type == "MultiLineString" else shape
    parts: Sequence[Any] = getattr(merged, "geoms", [merged])
    return tuple(
        tuple((float(x), float(y)) for x, y in part.coords)
        for part in parts
        if part.geom_type in ("LineString", "LinearRing") and part.length >= _SHORTEST_IN
    )


def _length(lines: Sequence[_Line]) -> float:
    return float(sum(LineString(line).length for line in lines))
