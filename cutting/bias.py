"""Bias strips cut from squares: how many there are in a piece of cloth, and the square that some strips need.

A strip lies along the diagonal that falls to the right. Across it, distance is counted from the
corner-to-corner line, positive towards the bottom left corner. At distance v a square of side S is
sqrt(2) S - 2 |v| long, so a strip with square ends fits if its outer edge does: whole strips, not an area.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from math import floor, isqrt, sqrt

from blocks.lengths import inches_text

__all__ = [
    "BiasSquare",
    "BiasStrip",
    "SeatedStrip",
    "SquareTooSmallError",
    "bias_plan",
    "smallest_square",
    "strips_from_piece",
]


@dataclass(frozen=True, slots=True)
class BiasStrip:
    """A strip that is wanted: cut width, and length with its tucks."""

    width_in: Fraction
    length_in: Fraction


@dataclass(frozen=True, slots=True)
class SeatedStrip:
    """A strip in its place in a square."""

    number: int
    """Which of the strips that were asked for."""
    across_in: Fraction
    """Where its first long edge lies, from the corner-to-corner line; it ends at across_in + width_in."""
    width_in: Fraction
    length_in: Fraction


@dataclass(frozen=True, slots=True)
class BiasSquare:
    """A square of cloth and the bias strips cut from it, from the top right corner to the bottom left."""

    side_in: Fraction
    strips: tuple[SeatedStrip, ...]

    def first_cut_in(self) -> Fraction:
        """How far the cut nearest to the corner-to-corner line lies from it; 0 is corner to corner."""
        cuts = [strip.across_in for strip in self.strips]
        cuts += [strip.across_in + strip.width_in for strip in self.strips]
        return min(cuts, key=abs)


class SquareTooSmallError(ValueError):
    """Not even the largest square gives the longest strip. Says how long it is and how to mend it."""

    def __init__(self, strip: BiasStrip, largest_in: Fraction) -> None:
        self.mend = "Use a wider cloth, or join the stem from two shorter strips."
        super().__init__(
            f"A bias strip {float(strip.length_in):.2f} in long cannot be cut from a square of "
            f"{inches_text(largest_in)} in."
        )


def strips_from_piece(
    width_in: Fraction, height_in: Fraction, *, length_in: Fraction, strip_in: Fraction
) -> int:
    """How many bias strips of one length and cut width lie whole in a rectangle of cloth.

    The ends are square to the strip; the first cut may lie anywhere.
    Source: plane geometry: the strips make a band that leaves (a + b) / sqrt(2) - length_in for its width.
    Example: from 10 by 10 in, strips 5 1/2 in long and 5/8 in wide -> 13
    """
    shorter_in = min(width_in, height_in)
    if length_in**2 > 2 * shorter_in**2:
        return 0
    # n strips fit while (n strip + length)^2 <= (a + b)^2 / 2: fractions, because a float loses exact fits.
    longest_sq = (width_in + height_in) ** 2 / 2
    count = max(0, floor((sqrt(longest_sq) - float(length_in)) / float(strip_in)) + 1)
    while count > 0 and (count * strip_in + length_in) ** 2 > longest_sq:
        count -= 1
    return count


def smallest_square(strips: Sequence[BiasStrip], *, step_in: Fraction) -> BiasSquare:
    """The smallest square, rounded up to the step, that gives all the strips, each in its own place.

    The longest lie nearest to the corner-to-corner line. For strips of one width and length no smaller square
    will do; for a mixture a smaller one may exist.
    """
    order = sorted(range(len(strips)), key=lambda i: (-strips[i].length_in, -strips[i].width_in, i))
    starts_in = _side_by_side(strips, order)
    side_in = _side_for(strips, starts_in, step_in=step_in)
    shift_in = _shift(strips, starts_in, side_in=side_in)
    seated = [
        SeatedStrip(i, starts_in[i] + shift_in, strips[i].width_in, strips[i].length_in) for i in starts_in
    ]
    return BiasSquare(side_in, tuple(sorted(seated, key=lambda strip: strip.across_in)))


def bias_plan(
    strips: Sequence[BiasStrip], *, step_in: Fraction, largest_in: Fraction, widest_in: Fraction
) -> tuple[BiasSquare, ...]:
    """Squares that together give all the strips, longest first, each square the smallest that will do.

    Squares keep to `largest_in` unless one strip alone needs more; none is larger than `widest_in`.
    Raises: SquareTooSmallError if a strip needs a square larger than that.
    """
    order = sorted(range(len(strips)), key=lambda i: (-strips[i].length_in, -strips[i].width_in, i))
    squares: list[BiasSquare] = []
    while order:
        alone = smallest_square([strips[order[0]]], step_in=step_in)
        if alone.side_in > widest_in:
            raise SquareTooSmallError(strips[order[0]], widest_in)
        limit_in = min(max(largest_in, alone.side_in), widest_in)
        count, square = 1, alone
        while count < len(order):
            more = smallest_square([strips[i] for i in order[: count + 1]], step_in=step_in)
            if more.side_in > limit_in:
                break
            count, square = count + 1, more
        squares.append(_renumbered(square, order[:count]))
        order = order[count:]
    return tuple(squares)


def _renumbered(square: BiasSquare, numbers: Sequence[int]) -> BiasSquare:
    return BiasSquare(
        square.side_in,
        tuple(
            SeatedStrip(numbers[strip.number], strip.across_in, strip.width_in, strip.length_in)
            for strip in square.strips
        ),
    )


def _side_by_side(strips: Sequence[BiasStrip], order: Sequence[int]) -> dict[int, Fraction]:
    """Where each strip starts when they are laid in turn on one side of a line and on the other."""
    below, above = order[0::2], order[1::2]
    ends_below = accumulate((strips[i].width_in for i in below), initial=Fraction(0))
    ends_above = accumulate((strips[i].width_in for i in above), initial=Fraction(0))
    next(ends_above)
    return {
        **dict(zip(below, ends_below, strict=False)),
        **{i: -end for i, end in zip(above, ends_above, strict=True)},
    }


def _side_for(strips: Sequence[BiasStrip], starts_in: dict[int, Fraction], *, step_in: Fraction) -> Fraction:
    """The side, rounded up to the step, of the square in which the band of strips can lie somewhere.

    Strip i from p to p + w fits at shift s if |s + p| and |s + p + w| are at most (sqrt(2) S - L) / 2; some s
    suits every strip if sqrt(2) S is at least the sum of the two largest needs below.
    """
    towards_left = max(strips[i].length_in / 2 + start + strips[i].width_in for i, start in starts_in.items())
    towards_right = max(strips[i].length_in / 2 - start for i, start in starts_in.items())
    # The smallest k with 2 (k step)^2 >= need^2, found with whole numbers.
    in_steps_sq = (towards_left + towards_right) ** 2 / (2 * step_in**2)
    return _root_up(in_steps_sq) * step_in


def _root_up(square: Fraction) -> int:
    """The smallest whole number whose square is not less."""
    root = isqrt(floor(square))
    return root if root**2 == square else root + 1


def _shift(strips: Sequence[BiasStrip], starts_in: dict[int, Fraction], *, side_in: Fraction) -> Fraction:
    """Where the band lies: one cut runs corner to corner if it can, else the band is in mid-play."""
    diagonal_in = Fraction(isqrt(floor(2 * side_in**2 * 10**18)), 10**9)
    least = max(-(diagonal_in - strips[i].length_in) / 2 - start for i, start in starts_in.items())
    most = min(
        (diagonal_in - strips[i].length_in) / 2 - start - strips[i].width_in for i, start in starts_in.items()
    )
    cuts = set(starts_in.values()) | {start + strips[i].width_in for i, start in starts_in.items()}
    corner_to_corner = [-cut for cut in cuts if least <= -cut <= most]
    if corner_to_corner:
        middle = (least + most) / 2
        return min(corner_to_corner, key=lambda shift_in: (abs(shift_in - middle), shift_in))
    # An eighth can be found on a ruler; the exact middle only if the play is narrower than that.
    eighth = Fraction(floor((least + most) * 4 + Fraction(1, 2)), 8)
    return eighth if least <= eighth <= most else (least + most) / 2
