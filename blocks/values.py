"""What a drafted block is made of: cut pieces, finished patches, the maps between them, and edges.

Every other folder reads these values; nothing here computes. A patch is a real piece of cloth: its
`to_piece` map carries a point of the finished block back to a point of the cut piece, through the same
turns and flips that hands make.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from blocks.motion import Motion, Number, Point

__all__ = ["Bend", "CutBias", "CutOutline", "CutPiece", "CutRectangle", "Draft", "Edge", "Patch"]


@dataclass(frozen=True, slots=True)
class CutRectangle:
    """A rectangle to cut, seam allowances included; its grain runs along the height.

    A side is a Fraction where it is exact and a float where a diagonal makes it irrational (the cut
    list rounds that up, once).
    """

    width_in: Number
    height_in: Number


@dataclass(frozen=True, slots=True)
class CutOutline:
    """A shape to cut round a template, allowance included; corners clockwise as seen, grain along y.

    `finished` is the same shape without its allowance, in the same frame.
    """

    outline: tuple[Point, ...]
    finished: tuple[Point, ...]


@dataclass(frozen=True, slots=True)
class CutBias:
    """A strip cut at 45 degrees to the grain: `width_in` across, `length_in` along, tucks included.

    Piece frame: x runs along the strip from 0 to length_in, y across it from 0 to width_in.
    `length_in` is measured along a curve, hence approximate.
    """

    width_in: Fraction
    length_in: float
    finished_width_in: Fraction


@dataclass(frozen=True, slots=True)
class CutPiece:
    """One physical piece of cloth. Pieces with equal role and shape are cut alike."""

    number: int
    """Its place in `Draft.pieces`."""
    role: str
    shape: CutRectangle | CutOutline | CutBias
    step: str
    """The step of the block file that uses it, for people to read."""


@dataclass(frozen=True, slots=True)
class Bend:
    """How a bias strip lies: its centre line in block inches, and where on the strip that line starts.

    A block point maps to (start_in + distance along the centre line, middle_in + distance to its right).
    """

    centre: tuple[tuple[float, float], ...]
    """Flattened finely (within 0.001 in), from start to end, finished parts only, tucks included."""
    start_in: float
    """Strip length before the first centre point (0 where the tuck is part of the centre line)."""
    middle_in: float
    """Distance of the centre line from the strip's y = 0 edge: half the cut width."""


@dataclass(frozen=True, slots=True)
class Patch:
    """A finished patch as it shows in the block."""

    number: int
    """From 1: the pieced ground in reading order, then the appliqué from the bottom up."""
    role: str
    outline: tuple[Point, ...]
    """Corners clockwise as seen (inside is on the right hand), block inches; exact where pieced."""
    piece: int
    """The index in `Draft.pieces` of the cloth it is made from."""
    to_piece: Motion | Bend
    step: str
    layer: int = 0
    """0 for the pieced ground; appliqué from 1, a higher one lies on top."""

    def is_applique(self) -> bool:
        """Whether the patch lies on the pieced ground rather than in it."""
        return self.layer > 0


@dataclass(frozen=True, slots=True)
class Edge:
    """Where two patches meet: a seam between finished patches, or an appliqué edge over what lies beneath."""

    first: int
    """Patch number; for an appliqué edge, the upper patch. It lies to the right hand of each run."""
    second: int
    """Patch number of the neighbour, to the left hand of each run."""
    kind: Literal["seam", "applique"]
    runs: tuple[tuple[Point, ...], ...]
    """The boundary as lines of points, block inches."""
    length_in: float
    wanted: bool
    """Whether this edge should read: roles differ, unless the block file says otherwise."""


@dataclass(frozen=True, slots=True)
class Draft:
    """A block worked out in full: what to cut, what shows, and how one becomes the other."""

    name: str
    finished_width_in: Fraction
    finished_height_in: Fraction
    seam_in: Fraction
    pieces: tuple[CutPiece, ...]
    patches: tuple[Patch, ...]
    wanted: tuple[tuple[str, str, bool], ...] = ()
    """Pairs of roles whose edges should, or need not, read, against the usual rule."""
    unread: tuple[str, ...] = ()
    """Steps (appliqué shapes) whose edges need not read at all."""
    notes: tuple[str, ...] = ()
    """What the maker should know (units made in mirror versions, a stem bent tightly), one sentence each."""
