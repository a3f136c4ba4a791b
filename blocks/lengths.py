"""Lengths of cloth as exact fractions of an inch: the only door in, and the way out."""

from __future__ import annotations

import re
from fractions import Fraction
from math import floor

__all__ = [
    "MM_PER_IN",
    "LengthError",
    "inches_text",
    "metric_text",
    "parse_inches",
    "parse_size",
    "round_up",
    "to_mm",
]

MM_PER_IN = Fraction(127, 5)
"""Millimetres in one inch, exactly 25.4. Source: international yard and pound agreement, 1959."""

_LONGEST_IN = Fraction(100_000)

_NUMBER = (
    r"(?:(?P<whole>\d+)(?:\s+|\s*-\s*))?(?P<top>\d+)\s*/\s*(?P<bottom>\d+)|(?P<decimal>\d+(?:\.\d*)?|\.\d+)"
)
_UNIT = r"(?P<unit>in(?:ch(?:es)?)?|\"|″|''|mm|cm|m|yd|yards?|ft|feet)?"
_LENGTH = re.compile(rf"\s*(?:{_NUMBER})\s*{_UNIT}\.?\s*", re.IGNORECASE)
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3", "⅙": "1/6", "⅚": "5/6", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
}  # fmt: skip
_IN_PER_UNIT = {
    "mm": 1 / MM_PER_IN,
    "cm": 10 / MM_PER_IN,
    "m": 1000 / MM_PER_IN,
    "yd": Fraction(36),
    "yard": Fraction(36),
    "yards": Fraction(36),
    "ft": Fraction(12),
    "feet": Fraction(12),
}


class LengthError(ValueError):
    """A length that cannot be read. Carries what was typed and how to mend it."""

    def __init__(self, typed: object, why: str) -> None:
        self.typed = typed
        self.mend = 'Write a length such as "3 3/8", "3.375", "86 mm" or "8.6 cm".'
        super().__init__(f"{typed!r} {why}.")


def parse_inches(typed: str | int | Fraction) -> Fraction:
    """The length that was typed, in exact inches.

    A bare number is inches. Floats are refused: 0.1 is not a tenth.
    Raises: LengthError if it is no length, is negative, or is absurdly long.
    Example: parse_inches('3-3/8"') -> Fraction(27, 8)
    """
    if isinstance(typed, bool) or not isinstance(typed, str | int | Fraction):
        raise LengthError(typed, "is not a length (put decimals in quotes)")
    found = _inches_from_text(typed) if isinstance(typed, str) else Fraction(typed)
    if found < 0:
        raise LengthError(typed, "is less than nothing")
    if found > _LONGEST_IN:
        raise LengthError(typed, "is longer than any bolt of cloth")
    return found


def _inches_from_text(typed: str) -> Fraction:
    text = typed.replace("⁄", "/").replace("–", "-").replace(",", ".").replace("”", '"')
    for sign, plain in _VULGAR.items():
        text = text.replace(sign, f" {plain}")
    match = _LENGTH.fullmatch(text)
    if match is None or len(text) > 64:
        raise LengthError(typed, "is not a length")
    if match["decimal"] is not None:
        number = Fraction(match["decimal"])
    elif int(match["bottom"]) == 0:
        raise LengthError(typed, "divides by nothing")
    else:
        number = Fraction(int(match["top"]), int(match["bottom"])) + int(match["whole"] or 0)
    return number * _IN_PER_UNIT.get((match["unit"] or "in").lower(), Fraction(1))


def parse_size(typed: str | int | Fraction) -> tuple[Fraction, Fraction]:
    """Width and height from "4 x 2", or both alike from a single length.

    Raises: LengthError as parse_inches does, also for a size of nothing.
    """
    sides = re.split(r"\s*[x×]\s*", typed.strip(), flags=re.IGNORECASE) if isinstance(typed, str) else [typed]
    if len(sides) > 2:
        raise LengthError(typed, "has more than two sides")
    width_in, height_in = parse_inches(sides[0]), parse_inches(sides[-1])
    if not width_in or not height_in:
        raise LengthError(typed, "has a side of nothing")
    return width_in, height_in


def round_up(length_in: Fraction | float, *, step_in: Fraction) -> Fraction:
    """The next multiple of a step that is not shorter: cutting sizes only ever round up.

    A float within a millionth of an inch of a step counts as on it.
    Example: round_up(2.8536, step_in=Fraction(1, 8)) -> Fraction(23, 8)
    """
    slack = Fraction(1, 1_000_000) if isinstance(length_in, float) else Fraction(0)
    steps = (Fraction(length_in) - slack) / step_in
    return (floor(steps) + (steps != floor(steps))) * step_in


def inches_text(length_in: Fraction) -> str:
    """A length as a maker writes it: "3 3/8", or decimals when it is off the ruler (sixty-fourths).

    Example: inches_text(Fraction(27, 8)) -> '3 3/8'
    """
    if 64 % length_in.denominator != 0:
        return f"{float(length_in):.3f}".rstrip("0").rstrip(".")
    whole, rest = divmod(length_in.numerator, length_in.denominator)
    part = f"{rest}/{length_in.denominator}" if rest else ""
    return f"{whole} {part}".strip() if whole or not part else part


def to_mm(length_in: Fraction) -> Fraction:
    """The same length in exact millimetres."""
    return length_in * MM_PER_IN


def metric_text(length_in: Fraction) -> str:
    """A length in whole or half millimetres under 10 cm, else in centimetres: "86 mm", "21.5 cm"."""
    mm = to_mm(length_in)
    if mm < 100:
        return f"{float(round(mm * 2) / 2):g} mm"
    return f"{float(round(mm) / 10):g} cm"
