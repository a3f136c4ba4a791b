"""The cutting list of a block: every piece with its exact cut size, and that size rounded up to the ruler."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from blocks.lengths import round_up
from blocks.motion import Motion, Number, Point
from blocks.polygons import bounds
from blocks.values import CutBias, CutOutline, CutPiece, CutRectangle, Draft, Patch
from cutting.rules import EIGHTH_IN, RulesError, length_text, size_text

__all__ = ["CutLine", "check_blocks", "cut_kind", "cut_list", "exact_size", "rounded_size"]

Kind = Literal["square", "rectangle", "template", "bias strip"]
_KIND_ORDER: tuple[Kind, ...] = ("square", "rectangle", "template", "bias strip")

MOST_BLOCKS = 1000
"""A whole class's kits; more are planned in lots."""

_DUST_IN = 1e-6
_FLAT_IN = 2e-3
"""Curved outlines are flattened to within a thousandth of an inch, on both sides of a shape."""


@dataclass(frozen=True, slots=True)
class CutLine:
    """Pieces of one role that are cut alike.

    For a bias strip the width is across the strip and the height along it, tucks included; for a template
    both are the box that the shape fits in.
    """

    role: str
    kind: Kind
    cut_width_in: Number
    """Exact, seam allowances included; a float is approximate because a diagonal or a curve made it so."""
    cut_height_in: Number
    rounded_width_in: Fraction
    """Rounded up to the ruler: what to cut."""
    rounded_height_in: Fraction
    finished: str
    """The size that shows when all is sewn, in the ruler's units; more than one if the pieces differ."""
    quantity: int
    pieces: tuple[int, ...]
    """Numbers of the pieces in one block."""
    steps: tuple[str, ...]
    outline: tuple[Point, ...] = ()
    """The shape to cut round, for a template."""

    def is_rounded(self) -> bool:
        """Whether what to cut is larger than the exact size."""
        return self.rounded_width_in > self.cut_width_in or self.rounded_height_in > self.cut_height_in

    def is_approximate(self) -> bool:
        """Whether a side of the exact size is irrational or measured along a curve."""
        return isinstance(self.cut_width_in, float) or isinstance(self.cut_height_in, float)


def check_blocks(blocks: int) -> None:
    """Nothing, for a number of blocks that can be planned.

    Raises: RulesError for fewer than one block or more than a thousand.
    """
    if not 1 <= blocks <= MOST_BLOCKS:
        raise RulesError(
            "blocks", f"{blocks} is not a number of blocks to cut", f"Ask for 1 to {MOST_BLOCKS} blocks."
        )


def cut_list(
    draft: Draft, *, grid_in: Fraction = EIGHTH_IN, blocks: int = 1, only: Collection[int] | None = None
) -> tuple[CutLine, ...]:
    """What to cut for so many blocks, role by role, the largest pieces first.

    `only` keeps to these piece numbers, for the pieces that share one cloth.
    Raises: RulesError for fewer than one block or more than a thousand.
    """
    check_blocks(blocks)
    alike: dict[Hashable, list[CutPiece]] = defaultdict(list)
    for piece in draft.pieces:
        if only is None or piece.number in only:
            alike[_alike(piece)].append(piece)
    patches = _patches_by_piece(draft)
    lines = [_line(group, draft, patches=patches, grid_in=grid_in, blocks=blocks) for group in alike.values()]
    roles = list(dict.fromkeys(piece.role for piece in draft.pieces))
    return tuple(sorted(lines, key=lambda line: (roles.index(line.role), *_largest_first(line))))


def _largest_first(line: CutLine) -> tuple[int, Fraction, Fraction, tuple[int, ...]]:
    """Straight pieces first, then templates and bias strips; by area, then by height; last by number."""
    cut_first = max(0, _KIND_ORDER.index(line.kind) - 1)
    area_sq_in = line.rounded_width_in * line.rounded_height_in
    return cut_first, -area_sq_in, -line.rounded_height_in, line.pieces


def exact_size(shape: CutRectangle | CutOutline | CutBias) -> tuple[Number, Number]:
    """Cut width and height before rounding: of the box for a template, across and along for a bias strip."""
    if isinstance(shape, CutRectangle):
        return shape.width_in, shape.height_in
    if isinstance(shape, CutBias):
        return shape.width_in, shape.length_in
    left, top, right, bottom = bounds(shape.outline)
    return right - left, bottom - top


def rounded_size(
    shape: CutRectangle | CutOutline | CutBias, *, grid_in: Fraction
) -> tuple[Fraction, Fraction]:
    """Cut width and height rounded up to the ruler, once.

    Example: an exact 3.8536 in square on a ruler of eighths -> 3 7/8 by 3 7/8
    """
    width_in, height_in = exact_size(shape)
    return round_up(width_in, step_in=grid_in), round_up(height_in, step_in=grid_in)


def cut_kind(shape: CutRectangle | CutOutline | CutBias) -> Kind:
    """What a maker calls a piece of this shape."""
    if isinstance(shape, CutOutline):
        return "template"
    if isinstance(shape, CutBias):
        return "bias strip"
    return "square" if _close(shape.width_in) == _close(shape.height_in) else "rectangle"


def _close(length_in: Number) -> Number:
    """The same length with a float's last digits dropped: equal sides worked out two ways compare equal."""
    return round(length_in, 6) if isinstance(length_in, float) else length_in


def _alike(piece: CutPiece) -> Hashable:
    """Equal for pieces that are cut alike."""
    size = tuple(_close(side) for side in exact_size(piece.shape))
    corners: tuple[Point, ...] = ()
    if isinstance(piece.shape, CutOutline):
        corners = tuple((_close(x), _close(y)) for x, y in piece.shape.outline)
    return piece.role, cut_kind(piece.shape), size, corners


def _patches_by_piece(draft: Draft) -> Mapping[int, tuple[Patch, ...]]:
    found: dict[int, tuple[Patch, ...]] = {}
    for patch in draft.patches:
        found[patch.piece] = (*found.get(patch.piece, ()), patch)
    return found


def _line(
    group: list[CutPiece],
    draft: Draft,
    *,
    patches: Mapping[int, tuple[Patch, ...]],
    grid_in: Fraction,
    blocks: int,
) -> CutLine:
    first = group[0]
    width_in, height_in = exact_size(first.shape)
    rounded_width_in, rounded_height_in = rounded_size(first.shape, grid_in=grid_in)
    sizes = [
        size
        for piece in group
        for size in _finished(piece, patches.get(piece.number, ()), seam_in=draft.seam_in, grid_in=grid_in)
    ]
    return CutLine(
        role=first.role,
        kind=cut_kind(first.shape),
        cut_width_in=width_in,
        cut_height_in=height_in,
        rounded_width_in=rounded_width_in,
        rounded_height_in=rounded_height_in,
        finished=" or ".join(dict.fromkeys(sizes)),
        quantity=len(group) * blocks,
        pieces=tuple(piece.number for piece in group),
        steps=tuple(dict.fromkeys(piece.step for piece in group)),
        outline=first.shape.outline if isinstance(first.shape, CutOutline) else (),
    )


def _finished(
    piece: CutPiece, patches: tuple[Patch, ...], *, seam_in: Fraction, grid_in: Fraction
) -> Iterable[str]:
    """The size that shows of a piece, on its own grain, for each patch that it makes."""
    shape = piece.shape
    if isinstance(shape, CutBias):
        # Its finished length depends on what it tucks under; the width is what the maker folds to.
        return [f"{length_text(shape.finished_width_in, grid_in=grid_in)} wide"]
    return [size_text(*size, grid_in=grid_in) for size in _finished_sizes(shape, patches, seam_in=seam_in)]


def _finished_sizes(
    shape: CutRectangle | CutOutline, patches: tuple[Patch, ...], *, seam_in: Fraction
) -> Iterable[tuple[Fraction, Fraction]]:
    if isinstance(shape, CutOutline):
        return [_box(shape.finished, within_in=_FLAT_IN)]
    sewn = [
        _box(patch.to_piece.all(patch.outline)) for patch in patches if isinstance(patch.to_piece, Motion)
    ]
    width_in, height_in = shape.width_in, shape.height_in
    if len(sewn) == 1 and isinstance(width_in, Fraction) and isinstance(height_in, Fraction):
        # A later corner may hide part of the patch; the piece still finishes at its cut size less two seams.
        return [(width_in - 2 * seam_in, height_in - 2 * seam_in)]
    return sewn


def _box(outline: tuple[Point, ...], *, within_in: float = _DUST_IN) -> tuple[Fraction, Fraction]:
    left, top, right, bottom = bounds(outline)
    return _snapped(right - left, within_in=within_in), _snapped(bottom - top, within_in=within_in)


def _snapped(length_in: Number, *, within_in: float) -> Fraction:
    """A length to read: on a sixty-fourth where it is one but for so much, else to a thousandth."""
    if isinstance(length_in, Fraction):
        return length_in
    mark = Fraction(round(length_in * 64), 64)
    return mark if abs(length_in - mark) < within_in else Fraction(round(length_in * 1000), 1000)
