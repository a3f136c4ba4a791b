"""All that one cloth is to give, as rectangles to cut, and the strips that give it on the least length."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction

from blocks.lengths import inches_text
from blocks.values import CutBias, CutPiece, CutRectangle
from cutting.bias import BiasSquare, BiasStrip, SquareTooSmallError, bias_plan
from cutting.cutlist import rounded_size
from cutting.rules import CuttingRules
from cutting.strips import Blank, Strip, cut_strips

__all__ = ["Job", "Order", "Size", "TooWideError", "best_strips", "length_of", "take_order"]

Size = tuple[Fraction, Fraction]
"""Width and height of a piece as it is cut, rounded up to the ruler."""


class TooWideError(ValueError):
    """A piece that does not fit across its cloth."""

    def __init__(self, what: str, *, cloth: str, usable_in: Fraction) -> None:
        self.mend = "Use a wider cloth, trim less selvage, or make this piece from two with a seam."
        super().__init__(f'{what}; the cloth "{cloth}" has {inches_text(usable_in)} in of width to cut from.')


@dataclass(frozen=True, slots=True)
class Job:
    """A piece to cut for one of the blocks."""

    piece: CutPiece
    block: int


@dataclass(frozen=True, slots=True)
class Order:
    """All that one cloth is to give. The blanks of whole pieces come first, then those of bias squares."""

    cloth: str
    whole: tuple[Job, ...]
    bias: tuple[Job, ...]
    squares: tuple[BiasSquare, ...]
    rules: CuttingRules
    may_turn: bool

    def blanks(self, turned: Collection[Size] = ()) -> list[Blank]:
        """One blank for each piece and square; rectangles of a turned size have their sides swapped."""
        found = []
        for key, job in enumerate(self.whole):
            width_in, height_in = rounded_size(job.piece.shape, grid_in=self.rules.grid_in)
            swap = isinstance(job.piece.shape, CutRectangle) and (width_in, height_in) in turned
            sides = (height_in, width_in) if swap else (width_in, height_in)
            found.append(Blank(key, *sides, turned=swap))
        for key, square in enumerate(self.squares, start=len(self.whole)):
            found.append(Blank(key, square.side_in, square.side_in))
        return found

    def name_of(self, key: int) -> str:
        """What a blank is for, in words."""
        if key >= len(self.whole):
            return "The square for bias strips"
        piece = self.whole[key].piece
        return f'A piece for "{piece.role}" (step "{piece.step}")'

    def turnable(self) -> list[Size]:
        """Sizes that may be laid a quarter turned, the largest first."""
        if not self.may_turn:
            return []
        shapes = [job.piece.shape for job in self.whole if isinstance(job.piece.shape, CutRectangle)]
        sizes = {rounded_size(shape, grid_in=self.rules.grid_in) for shape in shapes}
        return sorted((size for size in sizes if size[0] != size[1]), reverse=True)


def take_order(
    cloth: str,
    pieces: Sequence[CutPiece],
    *,
    rules: CuttingRules,
    may_turn: bool,
    blocks: int,
    usable_in: Fraction,
) -> Order:
    """What one cloth is to give for so many blocks, bias strips already gathered into squares.

    Raises: TooWideError for a bias strip that needs a larger square than the cloth is wide.
    """
    # Pieces of one role side by side: at the table they are cut one after the other.
    roles = list(dict.fromkeys(piece.role for piece in pieces))
    by_role = sorted(pieces, key=lambda piece: (roles.index(piece.role), piece.number))
    jobs = [Job(piece, block) for piece in by_role for block in range(blocks)]
    bias = tuple(job for job in jobs if isinstance(job.piece.shape, CutBias))
    whole = tuple(job for job in jobs if not isinstance(job.piece.shape, CutBias))
    strips = [BiasStrip(*rounded_size(job.piece.shape, grid_in=rules.grid_in)) for job in bias]
    try:
        squares = bias_plan(
            strips, step_in=rules.bias_step_in, largest_in=rules.largest_bias_in, widest_in=usable_in
        )
    except SquareTooSmallError as fault:
        raise TooWideError(str(fault).rstrip("."), cloth=cloth, usable_in=usable_in) from fault
    return Order(cloth, whole, bias, squares, rules, may_turn)


def best_strips(order: Order, *, usable_in: Fraction, left_in: Fraction) -> tuple[Strip, ...]:
    """The strips, with those sizes laid a quarter turned whose turn saves cloth.

    Size by size, the largest first.
    Raises: TooWideError for a piece that fits across neither way it may be laid.
    """
    may_turn = order.turnable()
    turned = frozenset(size for size in may_turn if size[1] <= usable_in < size[0])
    strips = _strips(order, turned, usable_in=usable_in, left_in=left_in)
    for size in may_turn:
        if size in turned or size[1] > usable_in:
            continue
        other = _strips(order, turned | {size}, usable_in=usable_in, left_in=left_in)
        if length_of(other) < length_of(strips):
            turned, strips = turned | {size}, other
    return strips


def length_of(strips: Sequence[Strip]) -> Fraction:
    """Length of cloth that strips take, one below the other."""
    return sum((strip.height_in for strip in strips), Fraction(0))


def _strips(
    order: Order, turned: Collection[Size], *, usable_in: Fraction, left_in: Fraction
) -> tuple[Strip, ...]:
    blanks = order.blanks(turned)
    for blank in blanks:
        if blank.width_in > usable_in:
            what = f"{order.name_of(blank.key)} is cut {inches_text(blank.width_in)} in wide"
            raise TooWideError(what, cloth=order.cloth, usable_in=usable_in)
    return cut_strips(blanks, usable_in=usable_in, left_in=left_in)
