"""Every copy of an appliqué shape: what to cut for it and where it lies in the block."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from shapely.geometry import Point as Spot
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from blocks.curves import ExactPoint
from blocks.motion import STAY, Motion, Point, shift
from blocks.repeats import ONCE, Placement, Repeat, place_copies
from blocks.shapes import Circle, Outline, Pointed, Template, template_of
from blocks.stems import Stem
from blocks.strips import lay_strip
from blocks.values import Bend, CutBias, CutOutline

__all__ = ["Applique", "Copy", "Grain", "Tuck", "lay_copies"]

Grain = Literal["with the shape", "with the block"]

_NEAR_IN = 1e-6
_DECIMALS = 6


@dataclass(frozen=True, slots=True)
class Applique:
    """One appliqué shape as it is written down, with its copies."""

    name: str
    cloth: str
    shape: Stem | Pointed | Circle | Outline
    repeat: Repeat = ONCE
    turn_under_in: Fraction = Fraction(3, 16)
    grain: Grain = "with the shape"
    reads: bool = True
    """Whether its edges should read where the roles differ."""
    where: str = field(default="applique", compare=False)
    """Its table in the file, for faults."""


@dataclass(frozen=True, slots=True)
class Tuck:
    """The part of a copy that goes under something or into a seam."""

    field: str
    length_in: Fraction
    zone: Polygon
    reach: Polygon
    """How far over the ground's edge the copy may reach because of it."""


@dataclass(frozen=True, slots=True)
class Copy:
    """One copy of a shape, laid but not yet numbered."""

    item: Applique
    layer: int
    shape: CutBias | CutOutline
    to_piece: Motion | Bend
    region: Polygon
    tucks: tuple[Tuck, ...]
    turned_over: bool


def lay_copies(
    item: Applique, *, layer: int, land: Polygon, middle: ExactPoint, seam_in: Fraction
) -> Iterator[Copy]:
    """Every copy of a shape on the ground `land`, in sewing order; `middle` is the middle of the ground."""
    if isinstance(item.shape, Stem):
        places = place_copies(STAY, item.repeat, middle=middle)
        for place in places:
            yield _stem_copy(item, item.shape, layer, place)
        return
    template = template_of(item.shape)
    places = place_copies(template.lay, item.repeat, middle=middle)
    if template.to_mirror is not None:
        places = tuple(_unflipped(place, template.to_mirror) for place in places)
    regions = [_polygon(map(place, template.outline)) for place in places]
    # Along the block's edge the seam, not the turned edge, decides how much cloth is needed.
    at_edge = any(land.exterior.distance(region) < _NEAR_IN for region in regions)
    allowance_in = max(item.turn_under_in, seam_in) if at_edge else item.turn_under_in
    for place, region in zip(places, regions, strict=True):
        shape, to_piece = _cut(item, template, place, region, allowance_in)
        yield Copy(
            item, layer, shape, to_piece, region, _base_tuck(item.shape, template, place), place.reversed
        )


def _stem_copy(item: Applique, stem: Stem, layer: int, place: Placement) -> Copy:
    """A strip reads the same either way, so a mirror image needs no other piece."""
    strip = lay_strip(stem, turn_under_in=item.turn_under_in, place=place)
    lengths = {"start": stem.start_tuck_in, "end": stem.end_tuck_in}
    tucks = tuple(
        Tuck(f"{end}_tuck", lengths[end], zone, Spot(at).buffer(float(lengths[end] + stem.width_in)))
        for end, at, zone in strip.tucks
    )
    return Copy(item, layer, strip.shape, strip.bend, strip.region, tucks, turned_over=False)


def _cut(
    item: Applique, template: Template, place: Placement, region: Polygon, allowance_in: Fraction
) -> tuple[CutOutline, Motion]:
    """The shape to cut, and the motion that takes the block back to it.

    A template keeps its grain, so that its print turns with every copy, unless each is cut upright.
    """
    if item.grain == "with the block":
        shape, corner = _grown(region, allowance_in)
        return shape, corner
    flip = -1 if place.reversed else 1
    shape, corner = _grown(_polygon((flip * x, y) for x, y in template.outline), allowance_in)
    return shape, corner.after(place.motion.inverse())


def _unflipped(place: Placement, to_mirror: Motion) -> Placement:
    """A symmetric shape need not be flipped: a turn lays it onto its mirror image."""
    return Placement(place.motion.after(to_mirror), reversed=False) if place.reversed else place


def _base_tuck(shape: Pointed | Circle | Outline, template: Template, place: Placement) -> tuple[Tuck, ...]:
    if not isinstance(shape, Pointed) or not template.tuck:
        return ()
    zone = _polygon(map(place, template.tuck))
    at = place((Fraction(0), -shape.base_tuck_in))
    reach_in = float(shape.base_tuck_in + shape.width_in / 2)
    return (Tuck("base_tuck", shape.base_tuck_in, zone, Spot(float(at[0]), float(at[1])).buffer(reach_in)),)


def _grown(finished: Polygon, allowance_in: Fraction) -> tuple[CutOutline, Motion]:
    """A shape with its allowance in a frame with its own top left corner, and the motion into that frame."""
    grown = finished.buffer(float(allowance_in), quad_segs=8)
    left, top, _, _ = grown.bounds
    outline, inner = (
        tuple((round(x - left, _DECIMALS), round(y - top, _DECIMALS)) for x, y in ring.coords[:-1])
        for ring in (orient(grown, 1.0).exterior, orient(finished, 1.0).exterior)
    )
    return CutOutline(outline, inner), shift(-left, -top)


def _polygon(points: Iterable[Point]) -> Polygon:
    return Polygon([(float(x), float(y)) for x, y in points])
