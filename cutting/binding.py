"""The binding of a quilt: how wide to cut it, how many strips to join, how much cloth."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Literal

from blocks.lengths import inches_text
from cutting.rules import RulesError

__all__ = ["BindingPlan", "binding_cut_in", "plan_binding"]

_EXTRA_IN = Fraction(10)
"""For corners and the last join. Common practice, no source: 10 to 12 in."""
_EIGHTH_YARD_IN = Fraction(9, 2)


@dataclass(frozen=True, slots=True)
class BindingPlan:
    """Strips for a double-fold binding, in inches."""

    cut_in: Fraction
    need_in: Fraction
    """Once round the quilt and `_EXTRA_IN` more, rounded up to a whole inch."""
    strips: int
    joined_in: Fraction
    """Length of all strips once joined."""
    cloth_in: Fraction
    yards: Fraction
    """Rounded up to an eighth."""

    def sentence(self) -> str:
        """The plan in one line for a sheet."""
        return (
            f"Binding: cut {self.strips} strips {inches_text(self.cut_in)} in wide across the cloth; "
            f"joined they give {inches_text(self.joined_in)} in, {inches_text(self.need_in)} in are needed. "
            f"Buy {inches_text(self.yards)} yd."
        )


def binding_cut_in(finished_in: Fraction, *, seam_in: Fraction) -> Fraction:
    """How wide to cut a double-fold binding: twice (twice what shows, and the seam).

    Source: folding; for a quarter inch and a quarter-inch seam it is the least, at no thickness. Many makers
    cut it 1/4 to 1 in wider for the batting (common practice, no source).
    """
    return 2 * (2 * finished_in + seam_in)


def plan_binding(
    width_in: Fraction,
    height_in: Fraction,
    *,
    cut_in: Fraction,
    usable_in: Fraction = Fraction(40),
    join: Literal["diagonal", "straight"] = "diagonal",
    seam_in: Fraction = Fraction(1, 4),
) -> BindingPlan:
    """How many strips across the cloth bind a quilt of this finished size.

    A diagonal join of two strips uses up exactly their width; a straight one two seam allowances.
    Raises: RulesError if the strips are wider than long, or as long as what their joins use up.
    """
    lost_in = cut_in if join == "diagonal" else 2 * seam_in
    if cut_in <= 0 or usable_in <= lost_in:
        raise RulesError("binding", f"a strip of {usable_in} in is too short", "Give a narrower binding.")
    need_in = Fraction(ceil(2 * (width_in + height_in) + _EXTRA_IN))
    strips = max(1, ceil((need_in - lost_in) / (usable_in - lost_in)))
    joined_in = strips * usable_in - (strips - 1) * lost_in
    cloth_in = strips * cut_in
    yards = Fraction(ceil(cloth_in / _EIGHTH_YARD_IN), 8)
    return BindingPlan(cut_in, need_in, strips, joined_in, cloth_in, yards)
