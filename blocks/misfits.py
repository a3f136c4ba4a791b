"""Where drawn patches do not tile their block: every overlap and every gap, with its place and its size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import pi, sqrt
from typing import Literal

from shapely import STRtree, make_valid, unary_union
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from blocks.motion import Point
from blocks.visible import polygons_of

__all__ = ["Misfit", "find_misfits", "region_of", "thick_parts", "widest_spot"]

_MOST = 500
_ROUNDING_IN = 1e-6
_NEARLY = 0.95
"""The middle is sought in what is left this close to nothing; closer still, shrinking loses parts of it."""


@dataclass(frozen=True, slots=True)
class Misfit:
    """A region that two patches claim, or none, or that lies outside the block."""

    kind: Literal["overlap", "gap", "outside"]
    patches: tuple[int, ...]
    """The indices of the outlines that take part: two for an overlap, those round a gap, one outside."""
    at: tuple[float, float]
    """The middle of its widest part, inches from the block's top left corner."""
    area_in2: float
    widest_in: float
    """The diameter of the largest circle inside it."""


def find_misfits(
    outlines: Sequence[Sequence[Point]], *, width_in: Fraction, height_in: Fraction, tolerance_in: Fraction
) -> tuple[Misfit, ...]:
    """Every region wider than the tolerance where outlines overlap, leave a gap or reach outside the block.

    The largest comes first. Once five hundred overlaps are found no more are looked for.
    """
    regions = [region_of(outline) for outline in outlines]
    land = box(0, 0, float(width_in), float(height_in))
    tree = STRtree(regions)
    thin_in = float(tolerance_in)
    found = list(_overlaps(regions, tree, thin_in))
    for gap, misfit in _parts("gap", land.difference(unary_union(regions)), (), thin_in):
        near = sorted(int(hit) for hit in tree.query(gap.buffer(thin_in), predicate="intersects"))
        found.append(replace(misfit, patches=tuple(near)))
    for i, region in enumerate(regions):
        found += [misfit for _, misfit in _parts("outside", region.difference(land), (i,), thin_in)]
    return tuple(sorted(found, key=lambda misfit: (-misfit.area_in2, misfit.at)))


def region_of(outline: Sequence[Point]) -> BaseGeometry:
    """The region of an outline; all that it goes round if it crosses itself, nothing without area."""
    if len(outline) < 3:
        return Polygon()
    region = Polygon([(float(x), float(y)) for x, y in outline])
    return region if region.is_valid else unary_union(polygons_of(make_valid(region)))


def widest_spot(region: Polygon, *, within_in: float = 1e-4) -> tuple[tuple[float, float], float]:
    """The middle and the diameter of the largest circle inside a region.

    Found by shrinking the region until nothing is left, which long slivers of one width do not slow down.
    """
    shrunk_in, most_in = 0.0, sqrt(region.area / pi)
    while most_in - shrunk_in > within_in / 2:
        by_in = (shrunk_in + most_in) / 2
        if region.buffer(-by_in, join_style="mitre").is_empty:
            most_in = by_in
        else:
            shrunk_in = by_in
    core = max(polygons_of(region.buffer(-_NEARLY * shrunk_in, join_style="mitre")), key=_size)
    spot = core.centroid
    if core.distance(spot) > within_in:
        spot = core.representative_point()
    return (spot.x, spot.y), shrunk_in + most_in


def thick_parts(region: BaseGeometry, *, thin_in: float) -> list[Polygon]:
    """The parts of a region that a circle of this width fits into, without the hairlines that join them."""
    thick = []
    for part in polygons_of(region):
        cores = polygons_of(part.buffer(-thin_in / 2 - _ROUNDING_IN, join_style="mitre"))
        if len(cores) == 1:
            thick.append(part)
        else:
            grown = [core.buffer(thin_in / 2 + _ROUNDING_IN, join_style="mitre") for core in cores]
            thick += [
                max(polygons_of(core.intersection(part)), key=lambda piece: piece.area) for core in grown
            ]
    return thick


def _size(region: Polygon) -> float:
    return float(region.area)


def _overlaps(regions: Sequence[BaseGeometry], tree: STRtree, thin_in: float) -> Iterator[Misfit]:
    told = 0
    for i, region in enumerate(regions):
        for k in sorted(int(hit) for hit in tree.query(region, predicate="intersects") if hit > i):
            for _, misfit in _parts("overlap", region.intersection(regions[k]), (i, k), thin_in):
                yield misfit
                told += 1
            if told >= _MOST:
                return


def _parts(
    kind: Literal["overlap", "gap", "outside"], region: BaseGeometry, patches: tuple[int, ...], thin_in: float
) -> Iterator[tuple[Polygon, Misfit]]:
    for part in thick_parts(region, thin_in=thin_in):
        at, widest_in = widest_spot(part)
        yield part, Misfit(kind, patches, at, part.area, widest_in)
