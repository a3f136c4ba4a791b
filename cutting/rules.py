"""How a maker cuts: the marks on the ruler, the selvage trimmed away, what may be turned, the bias square."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from types import MappingProxyType

from blocks.lengths import MM_PER_IN, inches_text, to_mm

__all__ = [
    "EIGHTH_IN",
    "GRIDS_IN",
    "CuttingRules",
    "RulesError",
    "grid_text",
    "is_metric",
    "length_text",
    "size_text",
]

EIGHTH_IN = Fraction(1, 8)
SELVAGE_IN = Fraction(2)
"""Both selvages together: 42 in cloth has 40 in to cut from.
Source: common practice of the trade, 40 usable from 42 to 45 in cloth."""

GRIDS_IN: Mapping[str, Fraction] = MappingProxyType(
    {
        "1/8 in": EIGHTH_IN,
        "1/16 in": Fraction(1, 16),
        "1 mm": 1 / MM_PER_IN,
        "5 mm": 5 / MM_PER_IN,
    }
)
"""The rulers that makers cut by: sizes are rounded up to these marks."""


class RulesError(ValueError):
    """A cutting rule that cannot be followed. Says which, and how to mend it."""

    def __init__(self, field: str, why: str, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{field}: {why}.")


@dataclass(frozen=True, slots=True)
class CuttingRules:
    """What a maker sets once and every cutting plan follows.

    Raises: RulesError if a length is out of its range, or the grid is on no ruler.
    """

    grid_in: Fraction = EIGHTH_IN
    """Cut sizes are rounded up to multiples of this."""
    selvage_in: Fraction = SELVAGE_IN
    """Taken off the width of fabric, half at each side."""
    may_turn: bool = False
    """Whether rectangles may be laid a quarter turned to save cloth, and so show their print turned."""
    bias_step_in: Fraction = Fraction(1, 4)
    """The square for bias strips is a multiple of this."""
    largest_bias_in: Fraction = Fraction(18)
    """Bias squares larger than this (the height of a fat quarter) are hard to cut; more squares are cut
    instead, unless one strip needs a larger square."""

    @classmethod
    def on_ruler(
        cls, ruler: str, *, selvage_in: Fraction = SELVAGE_IN, may_turn: bool = False
    ) -> CuttingRules:
        """The rules for one of the rulers in `GRIDS_IN`; on a metric one, bias squares are whole centimetres.

        Raises: RulesError for any other ruler.
        Example: CuttingRules.on_ruler("1 mm").bias_step_in -> Fraction(50, 127)
        """
        if ruler not in GRIDS_IN:
            raise RulesError("ruler", f'"{ruler}" is not known', f"Choose one of {', '.join(GRIDS_IN)}.")
        common = cls(grid_in=GRIDS_IN[ruler], selvage_in=selvage_in, may_turn=may_turn)
        if not is_metric(common.grid_in):
            return common
        return replace(common, bias_step_in=10 / MM_PER_IN, largest_bias_in=450 / MM_PER_IN)

    def __post_init__(self) -> None:
        on_ruler = 64 % self.grid_in.denominator == 0 or to_mm(self.grid_in).denominator == 1
        if not (0 < self.grid_in <= 1 and on_ruler):
            raise RulesError(
                "grid", f"{self.grid_in} in is on no ruler", 'Choose "1/8 in", "1/16 in", "1 mm" or "5 mm".'
            )
        if self.selvage_in < 0:
            raise RulesError("selvage", "less than nothing is trimmed", "Give a selvage of 0 or more.")
        if self.bias_step_in <= 0 or self.largest_bias_in < self.bias_step_in:
            raise RulesError(
                "bias square", "no such square can be cut", "Give a step above 0 and a larger square."
            )


def is_metric(grid_in: Fraction) -> bool:
    """Whether the ruler is marked in millimetres."""
    return to_mm(grid_in).denominator == 1


def grid_text(grid_in: Fraction) -> str:
    """The ruler's mark as people say it: "1/8 in" or "5 mm"."""
    return f"{to_mm(grid_in)} mm" if is_metric(grid_in) else f"{inches_text(grid_in)} in"


def length_text(length_in: Fraction, *, grid_in: Fraction) -> str:
    """A length with its unit, in the ruler's own units: "3 7/8 in", "86 mm" or, from 10 cm, "21.5 cm".

    Metric lengths are given to a hundredth of a millimetre or of a centimetre, and not rounded up.
    """
    if not is_metric(grid_in):
        return f"{inches_text(length_in)} in"
    mm = to_mm(length_in)
    return f"{_decimal(mm)} mm" if mm < 100 else f"{_decimal(mm / 10)} cm"


def size_text(width_in: Fraction, height_in: Fraction, *, grid_in: Fraction) -> str:
    """Width by height in the ruler's own units: "3 7/8 x 4 1/2 in" or "8.6 x 21.5 cm"."""
    if is_metric(grid_in):
        return f"{_decimal(to_mm(width_in) / 10)} x {_decimal(to_mm(height_in) / 10)} cm"
    return f"{inches_text(width_in)} x {inches_text(height_in)} in"


def _decimal(number: Fraction) -> str:
    return f"{float(number):.2f}".rstrip("0").rstrip(".")
