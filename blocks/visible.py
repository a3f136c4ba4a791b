"""What shows of each patch once the appliqué lies on top."""

from __future__ import annotations

from collections.abc import Sequence

from shapely import STRtree, make_valid, unary_union
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from blocks.motion import Point
from blocks.values import Bend, Draft, Patch

__all__ = ["Part", "Ring", "cover_of", "lies_over", "patch_region", "polygons_of", "visible_outlines"]

Ring = tuple[Point, ...]
"""A closed boundary without its last point; what it bounds is on the right hand."""

Part = tuple[Ring, ...]
"""A connected part of a patch: its outer boundary, then its holes."""

_SLIT_IN = 1e-5


def visible_outlines(draft: Draft) -> tuple[tuple[Part, ...], ...]:
    """The parts of each patch that show, patch by patch; nothing for a hidden one.

    Patches that nothing covers keep their outline exactly as it is.
    """
    regions = [patch_region(patch) for patch in draft.patches]
    uppers = [i for i, patch in enumerate(draft.patches) if patch.is_applique()]
    tree = STRtree([regions[i] for i in uppers])
    seen: list[tuple[Part, ...]] = []
    for patch, region in zip(draft.patches, regions, strict=True):
        over = [uppers[hit] for hit in tree.query(region)]
        cover = cover_of(patch, over, draft.patches, regions)
        whole = cover is None and not region.interiors
        seen.append(((patch.outline,),) if whole else _parts(region.difference(cover or Polygon())))
    return tuple(seen)


def patch_region(patch: Patch) -> Polygon:
    """The region of a patch; the slit in the outline of a ring-shaped stem is closed."""
    region = Polygon([(float(x), float(y)) for x, y in patch.outline])
    if isinstance(patch.to_piece, Bend) and patch.to_piece.centre[0] == patch.to_piece.centre[-1]:
        closed = region.buffer(_SLIT_IN, join_style="mitre").buffer(-_SLIT_IN, join_style="mitre")
        region = max(polygons_of(closed), key=lambda part: part.area)
    return region


def lies_over(upper: Patch, lower: Patch) -> bool:
    """Whether one patch is sewn on after another: by layer, then in the order of their numbers."""
    return (upper.layer, upper.number) > (lower.layer, lower.number)


def cover_of(
    patch: Patch, near: Sequence[int], patches: Sequence[Patch], regions: Sequence[Polygon]
) -> BaseGeometry | None:
    """All that lies over a patch among the appliqué patches at these indices; none if nothing does."""
    above = [regions[i] for i in near if patches[i].is_applique() and lies_over(patches[i], patch)]
    return unary_union(above) if above else None


def polygons_of(shape: BaseGeometry) -> list[Polygon]:
    """The polygons that a shape is made of, stray lines and points left out."""
    if isinstance(shape, Polygon):
        return [] if shape.is_empty else [shape]
    return [polygon for part in getattr(shape, "geoms", ()) for polygon in polygons_of(part)]


def _parts(shape: BaseGeometry) -> tuple[Part, ...]:
    valid = shape if shape.is_valid else make_valid(shape)
    return tuple(
        tuple(_points(ring.coords) for ring in (part.exterior, *part.interiors))
        for part in (orient(polygon, 1.0) for polygon in polygons_of(valid))
    )


def _points(coords: Sequence[tuple[float, ...]]) -> Ring:
    return tuple((float(spot[0]), float(spot[1])) for spot in coords[:-1])
