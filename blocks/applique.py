"""Appliqué laid on a block: its pieces, its patches, and what the maker should know of them.

Shapes are sewn in the order of their list, from the bottom up. Copies of one shape share its layer and lie
over one another in the order of their patch numbers.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from shapely import unary_union
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

from blocks.appliquefile import applique_faults, parse_applique
from blocks.copies import Applique, Copy, lay_copies
from blocks.faults import Fault, FaultsError
from blocks.lengths import inches_text
from blocks.motion import Point
from blocks.polygons import bounds
from blocks.shapes import Outline
from blocks.stems import Stem, stem_notes
from blocks.values import CutPiece, Patch
from blocks.visible import polygons_of

__all__ = ["Applique", "AppliqueLaid", "applique_faults", "lay_applique", "parse_applique"]

_NEAR_IN = 1e-6
_SPECK_IN2 = 1e-4
_INSIDE = "Keep it inside the seam line, or give it a tuck where it goes into a seam."


@dataclass(frozen=True, slots=True)
class AppliqueLaid:
    """The pieces and patches of the appliqué, numbered on from those of the ground, and what to know."""

    pieces: tuple[CutPiece, ...]
    patches: tuple[Patch, ...]
    notes: tuple[str, ...]
    unread: tuple[str, ...]
    """Names of shapes whose edges need not read."""


def lay_applique(
    items: Sequence[Applique],
    *,
    ground: tuple[Point, ...],
    first_piece: int,
    first_patch: int,
    first_layer: int = 1,
    seam_in: Fraction = Fraction(1, 4),
) -> AppliqueLaid:
    """Every copy of every shape, cut and laid on a ground with this finished outline.

    Only what goes into a seam by a tuck may reach over the ground's outline; patches end there.
    Raises: FaultsError with every shape that reaches over it otherwise.
    """
    land = Polygon([(float(x), float(y)) for x, y in ground])
    left, top, right, bottom = (Fraction(side) for side in bounds(ground))
    middle = ((left + right) / 2, (top + bottom) / 2)
    faults: list[Fault] = []
    copies: list[Copy] = []
    for layer, item in enumerate(items, start=first_layer):
        for copy in lay_copies(item, layer=layer, land=land, middle=middle, seam_in=seam_in):
            found, region = _inside(copy, land)
            faults += found
            copies.append(replace(copy, region=region))
    if faults:
        raise FaultsError(dict.fromkeys(faults))
    return AppliqueLaid(
        tuple(CutPiece(first_piece + i, c.item.cloth, c.shape, c.item.name) for i, c in enumerate(copies)),
        tuple(_patch(copy, first_patch + i, first_piece + i) for i, copy in enumerate(copies)),
        tuple(dict.fromkeys(_notes(copies, land, seam_in))),
        tuple(item.name for item in items if not item.reads),
    )


def _patch(copy: Copy, number: int, piece: int) -> Patch:
    ring = orient(copy.region, 1.0).exterior.coords[:-1]  # y runs down, so this is clockwise as seen
    outline = tuple((float(x), float(y)) for x, y in ring)
    return Patch(number, copy.item.cloth, outline, piece, copy.to_piece, copy.item.name, copy.layer)


def _inside(copy: Copy, land: Polygon) -> tuple[list[Fault], Polygon]:
    """The copy's region within the ground; a fault if more than a tuck reaches over its edge."""
    if land.buffer(_NEAR_IN).covers(copy.region):
        return [], copy.region
    over = copy.region.difference(land)
    loose = over.difference(unary_union([tuck.reach for tuck in copy.tucks])).buffer(0)
    region = max(polygons_of(copy.region.intersection(land)), key=lambda part: part.area, default=copy.region)
    if loose.area < _SPECK_IN2:
        return [], region
    spots = [spot for part in polygons_of(loose) for spot in part.exterior.coords]
    x, y = max(spots, key=lambda spot: land.distance(Spot(spot)))
    message = f"it reaches {land.distance(Spot(x, y)):.2f} in over the seam line near {x:.2f}, {y:.2f}"
    where = "path" if isinstance(copy.item.shape, Stem | Outline) else "at"
    return [Fault(copy.item.where, where, message, _INSIDE)], region


def _notes(copies: Sequence[Copy], land: Polygon, seam_in: Fraction) -> Iterator[str]:
    """What the maker should know of each shape, in sewing order."""
    covers: list[BaseGeometry] = [Polygon()]
    for copy in reversed(copies):
        covers.append(covers[-1].union(copy.region))
    for copy, cover in zip(copies, reversed(covers[:-1]), strict=True):
        name = copy.item.name
        if isinstance(copy.item.shape, Stem):
            yield from stem_notes(copy.item.shape, name=name)
        if copy.turned_over:
            alike = [other.turned_over for other in copies if other.item is copy.item]
            yield f"{name}: cut {sum(alike)} of its {len(alike)} copies with the template turned over."
        if copy.region.difference(cover).area < _SPECK_IN2:
            yield f"{name}: a copy is wholly hidden by later shapes; leave it out, or move it down the list."
        yield from _tuck_notes(copy, cover, land, seam_in)


def _tuck_notes(copy: Copy, cover: BaseGeometry, land: Polygon, seam_in: Fraction) -> Iterator[str]:
    for tuck in copy.tucks:
        told = f"{copy.item.name}: its {tuck.field.replace('_', ' ')}"
        shows = tuck.zone.intersection(copy.region).difference(cover).area
        # A tuck that goes into a seam at a slant has a corner inside the seam line; that is no raw end.
        into_seam = tuck.zone.difference(land).area > tuck.zone.area / 2
        if not into_seam and shows > max(_SPECK_IN2, 0.05 * tuck.zone.area):
            x, y = tuck.zone.centroid.coords[0]
            yield f"{told} shows near {x:.1f}, {y:.1f}; lay a later shape over it, or turn that end under."
        if tuck.length_in < seam_in and tuck.zone.difference(land).area > _SPECK_IN2:
            yield f"{told} is shorter than the seam it goes into; make it {inches_text(seam_in)} in."
