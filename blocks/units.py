"""Units worked out from steps: patches on a table, each knowing its piece and how it got there.

A *batch* is one making: so many units from so many pieces (two half-square triangles from two squares). A
unit is a leaf made in batches, units joined by motions, or a unit with corners flipped over it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from blocks.motion import Motion, Number, Point
from blocks.polygons import cut_away
from blocks.values import CutOutline, CutRectangle

__all__ = ["Batch", "BatchPiece", "Covered", "Joined", "Leaf", "LeafPatch", "PlacedPatch", "Unit", "lay_unit"]


@dataclass(frozen=True, slots=True)
class BatchPiece:
    """A piece that one making needs; with `pitch_in` its width grows by so much for each unit."""

    role: str
    shape: CutRectangle | CutOutline
    pitch_in: Number | None = None


@dataclass(frozen=True, slots=True)
class Batch:
    """One making of a step: how many units come from its pieces."""

    step: str
    makes: int
    pieces: tuple[BatchPiece, ...]


@dataclass(frozen=True, slots=True)
class LeafPatch:
    """A finished patch in its unit's frame; `slots[k]` says which piece the k-th unit of a batch takes."""

    role: str
    outline: tuple[Point, ...]
    slots: tuple[tuple[int, Motion], ...]


@dataclass(frozen=True, slots=True)
class Leaf:
    """A unit made directly from cloth."""

    width_in: Fraction
    height_in: Fraction
    batch: Batch
    patches: tuple[LeafPatch, ...]


@dataclass(frozen=True, slots=True)
class Joined:
    """Units side by side, each moved into its place."""

    width_in: Fraction
    height_in: Fraction
    parts: tuple[tuple[Motion, Unit], ...]


@dataclass(frozen=True, slots=True)
class Covered:
    """A unit with flipped corners over it: each line cuts the base away on its left hand."""

    width_in: Fraction
    height_in: Fraction
    base: Unit
    lines: tuple[tuple[Point, Point], ...]
    corners: Leaf


Unit = Leaf | Joined | Covered


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
