"""The motion that carries a piece's own frame into the box cut for it on the cloth.

Boxes are rounded up to the ruler; a piece lies in the middle of its box, as it does when hands trim the
excess off evenly.
"""

from __future__ import annotations

from fractions import Fraction
from math import sqrt

from blocks.motion import Motion, Number, Point
from blocks.polygons import bounds
from blocks.values import CutBias, CutOutline, CutRectangle
from cutting.bias import SeatedStrip
from cutting.cutlist import exact_size

__all__ = ["seat_in_box", "seat_in_square"]

_HALF_ROOT = sqrt(0.5)


def seat_in_box(
    shape: CutRectangle | CutOutline,
    *,
    left_in: Fraction,
    top_in: Fraction,
    width_in: Fraction,
    height_in: Fraction,
    turned: bool = False,
) -> Motion:
    """Where a piece lies in its box: upright, its grain along the cloth; or a quarter turned, clockwise."""
    piece_width_in, piece_height_in = exact_size(shape)
    first_x, first_y = _first_corner(shape)
    if turned:
        # (x, y) -> (-y, x), then to the right by the height that now lies across.
        dx = left_in + _half(width_in - piece_height_in) + piece_height_in + first_y
        dy = top_in + _half(height_in - piece_width_in) - first_x
        return Motion(Fraction(0), Fraction(1), dx, dy)
    dx = left_in + _half(width_in - piece_width_in) - first_x
    dy = top_in + _half(height_in - piece_height_in) - first_y
    return Motion(Fraction(1), Fraction(0), dx, dy)


def seat_in_square(
    shape: CutBias, strip: SeatedStrip, *, left_in: Fraction, top_in: Fraction, side_in: Fraction
) -> Motion:
    """Where a bias strip lies in its square: along the diagonal that falls to the right, turned 45 degrees.

    Along the strip is cloth direction (1, 1) / sqrt(2); across it, (-1, 1) / sqrt(2).
    """
    # Every line along the strip is cut in half by the other diagonal, so the strip's middle lies on it.
    along = float(side_in) * _HALF_ROOT - shape.length_in / 2
    across = float(strip.across_in + (strip.width_in - shape.width_in) / 2)
    return Motion(
        _HALF_ROOT,
        _HALF_ROOT,
        float(left_in) + (along - across) * _HALF_ROOT,
        float(top_in) + (along + across) * _HALF_ROOT,
    )


def _half(length_in: Number) -> Number:
    return length_in / 2


def _first_corner(shape: CutRectangle | CutOutline) -> Point:
    """The top left of the piece's box, in its own frame."""
    if isinstance(shape, CutRectangle):
        return Fraction(0), Fraction(0)
    left, top, _, _ = bounds(shape.outline)
    return left, top
