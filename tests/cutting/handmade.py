"""Drafts worked out by hand, so that the cutting tests do not rest on the block files."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import sqrt

from blocks.motion import Motion, Point, shift
from blocks.values import Bend, CutBias, CutOutline, CutPiece, CutRectangle, Draft, Patch

F = Fraction
SEAM = F(1, 4)
STEM_CUT = F(5, 8)

Shape = CutRectangle | CutOutline | CutBias


def square_points(width: Fraction, height: Fraction) -> tuple[Point, ...]:
    return (F(0), F(0)), (width, F(0)), (width, height), (F(0), height)


def make_draft(shapes: Sequence[tuple[str, Shape]], *, notes: tuple[str, ...] = ()) -> Draft:
    """A draft with one patch a piece; the patches lie on top of each other, which cutting does not mind."""
    pieces = tuple(CutPiece(i, role, shape, f"{role} unit") for i, (role, shape) in enumerate(shapes))
    patches = tuple(make_patch(piece) for piece in pieces)
    return Draft(
        name="Hay meadow",
        finished_width_in=F(12),
        finished_height_in=F(12),
        seam_in=SEAM,
        pieces=pieces,
        patches=patches,
        notes=notes,
    )


def make_patch(piece: CutPiece) -> Patch:
    shape = piece.shape
    to_piece: Motion | Bend
    if isinstance(shape, CutBias):
        to_piece = Bend(((0.0, 0.0), (shape.length_in, 0.0)), 0.0, float(shape.width_in) / 2)
        outline = square_points(F(shape.length_in), shape.finished_width_in)
    elif isinstance(shape, CutOutline):
        to_piece, outline = shift(F(0), F(0)), shape.finished
    else:
        to_piece = shift(SEAM, SEAM)
        outline = ((F(0), F(0)), (shape.width_in - 2 * SEAM, F(0)), (F(0), shape.height_in - 2 * SEAM))
    return Patch(piece.number + 1, piece.role, outline, piece.number, to_piece, piece.step)


def squares(side: Fraction, many: int, *, role: str = "ground") -> list[tuple[str, Shape]]:
    return [(role, CutRectangle(side, side))] * many


def rectangles(
    width: Fraction, height: Fraction, many: int, *, role: str = "ground"
) -> list[tuple[str, Shape]]:
    return [(role, CutRectangle(width, height))] * many


def half_square(finished: Fraction, *, role: str = "petal") -> tuple[str, Shape]:
    side = float(finished) + 0.25 * (2 + sqrt(2))
    return role, CutRectangle(side, side)


def stem(length: float, *, width: Fraction = STEM_CUT, role: str = "stem") -> tuple[str, Shape]:
    return role, CutBias(width, length, F(1, 4))


def leaf(*, left: float = 0.0, top: float = 0.0, role: str = "leaf") -> tuple[str, Shape]:
    """A six-cornered leaf, 1 by 2 in with its allowance, its box starting anywhere."""
    corners = ((0.5, 0.0), (1.0, 0.6), (1.0, 1.4), (0.5, 2.0), (0.0, 1.4), (0.0, 0.6))
    outer = tuple((left + x, top + y) for x, y in corners)
    inner = tuple((left + 0.5 + (x - 0.5) * 0.6, top + 1 + (y - 1) * 0.8) for x, y in corners)
    return role, CutOutline(outer, inner)
