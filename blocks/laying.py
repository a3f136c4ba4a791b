"""A unit laid out patch by patch in sewing order; each patch knows which making it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from blocks.motion import Motion, Point
from blocks.polygons import cut_away
from blocks.units import Batch, Covered, Joined, Leaf, LeafPatch, Unit

__all__ = ["PlacedPatch", "lay_unit"]


@dataclass(frozen=True, slots=True)
class PlacedPatch:
    """A patch where it lies in the block: which making of which batch, and the motion its unit took."""

    role: str
    outline: tuple[Point, ...]
    leaf: LeafPatch
    batch: Batch
    occurrence: int
    motion: Motion


def lay_unit(unit: Unit, motion: Motion, *, made: dict[str, int]) -> Iterator[PlacedPatch]:
    """Every patch of a unit moved into place, unit by unit in sewing order.

    `made` counts, by step, how many of its units have been used so far; it is counted on.
    """
    if isinstance(unit, Leaf):
        occurrence = made.get(unit.batch.step, 0)
        made[unit.batch.step] = occurrence + 1
        for patch in unit.patches:
            yield PlacedPatch(patch.role, motion.all(patch.outline), patch, unit.batch, occurrence, motion)
    elif isinstance(unit, Joined):
        for move, part in unit.parts:
            yield from lay_unit(part, motion.after(move), made=made)
    else:
        yield from _lay_covered(unit, motion, made=made)


def _lay_covered(unit: Covered, motion: Motion, *, made: dict[str, int]) -> Iterator[PlacedPatch]:
    for placed in lay_unit(unit.base, motion, made=made):
        outline = placed.outline
        for start, end in unit.lines:
            outline = cut_away(outline, motion(start), motion(end)) if outline else ()
        if outline:
            yield PlacedPatch(
                placed.role, outline, placed.leaf, placed.batch, placed.occurrence, placed.motion
            )
    yield from lay_unit(unit.corners, motion, made=made)
