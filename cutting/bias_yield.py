"""What a square of cloth gives as one long bias strip: joined strips, the continuous method, the area rule.

Source for every formula: plane geometry; lengths along the middle of the strip, ends cut on the grain.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import floor, isqrt, sqrt

from blocks.lengths import round_up

__all__ = ["BiasYield", "area_rule_in", "continuous_strip", "joined_strips", "square_for_continuous"]


@dataclass(frozen=True, slots=True)
class BiasYield:
    """The strips a square gives, and their length."""

    strips: int
    """Separate strips; or, for the continuous method, the turns of the tube."""
    length_approx_in: float
    """Lengths added up along the middle of the strips, before joining."""
    joined_approx_in: float
    """Length of one strip when all are joined: a 45 degree join takes 2 sqrt(2) seam allowances."""


def area_rule_in(side_in: Fraction, *, strip_in: Fraction) -> Fraction:
    """The trade's quick rule, side squared by strip width: never reached, for only whole strips count."""
    return side_in**2 / strip_in


def joined_strips(side_in: Fraction, *, strip_in: Fraction, seam_in: Fraction) -> BiasYield:
    """Whole strips when the first cut runs corner to corner, and what they give joined.

    On each side n = floor(S / (sqrt(2) w)) strips; together 2 (n S sqrt(2) - n^2 w) long.
    """
    each_side = isqrt(floor(side_in**2 / (2 * strip_in**2)))
    strips = 2 * each_side
    length = 2 * (each_side * float(side_in) * sqrt(2) - each_side**2 * float(strip_in))
    joins = max(0, strips - 1)
    return BiasYield(strips, length, length - joins * 2 * sqrt(2) * float(seam_in))


def continuous_strip(side_in: Fraction, *, strip_in: Fraction, seam_in: Fraction) -> BiasYield:
    """The strip cut round and round from a square sewn into a tube.

    n = floor((S - 2 s) / (w sqrt(2))) turns; n S sqrt(2) long, less 2 sqrt(2) s for each seam crossed.
    """
    inner_in = max(Fraction(0), side_in - 2 * seam_in)
    turns = isqrt(floor(inner_in**2 / (2 * strip_in**2)))
    length = turns * float(side_in) * sqrt(2)
    return BiasYield(turns, length, length - max(0, turns - 1) * 2 * sqrt(2) * float(seam_in))


def square_for_continuous(
    length_in: Fraction, *, strip_in: Fraction, seam_in: Fraction, step_in: Fraction
) -> Fraction:
    """The smallest square, rounded up to the step, whose tube gives at least this length.

    The smallest n with 2 n^2 w + 2 sqrt(2) s >= L, then S = n w sqrt(2) + 2 s. The common rule, the root
    of L w and half an inch more, mostly falls short because only whole turns count.
    """
    turns = 1
    while 2 * turns**2 * float(strip_in) + 2 * sqrt(2) * float(seam_in) < float(length_in):
        turns += 1
    return round_up(turns * float(strip_in) * sqrt(2) + 2 * float(seam_in), step_in=step_in)
