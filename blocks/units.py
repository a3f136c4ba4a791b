"""Units worked out from steps: patches on a table, each knowing its piece and how it got there.

A *batch* is one making: so many units from so many pieces (two half-square triangles from two squares). A
unit is a leaf made in batches, units joined by motions, or a unit with corners flipped over it.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from blocks.motion import Motion, Number, Point
from blocks.values import CutOutline, CutRectangle

__all__ = ["Batch", "BatchPiece", "Covered", "Joined", "Leaf", "LeafPatch", "Unit"]


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
