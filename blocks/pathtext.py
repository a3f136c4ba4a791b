"""Exact numbers and strokes written out, so that reading them back gives the very same values."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil, lcm

from blocks.curves import Arc, Bezier, ExactPoint, Stroke
from blocks.lengths import MM_PER_IN, inches_text

__all__ = ["decimal_text", "length_text", "path_text", "path_unit", "rounded_text"]

_MOST_PLACES = 24
_MOST_UNITS = 1000
_LETTERS = {2: "L", 3: "Q", 4: "C"}


def decimal_text(number: Fraction) -> str | None:
    """A number in decimals, exactly; None where that takes more than 24 places, or has no end at all.

    Example: decimal_text(Fraction(-3, 8)) -> '-0.375'
    """
    places = _places(number.denominator)
    if places is None:
        return None
    digits = str(abs(number.numerator) * 10**places // number.denominator).rjust(places + 1, "0")
    whole, part = digits[: len(digits) - places], digits[len(digits) - places :]
    return f"{'-' if number < 0 else ''}{whole}{'.' if part else ''}{part}"


def _places(bottom: int) -> int | None:
    """How many decimals a fraction in lowest terms with this denominator has; None for too many."""
    twos = fives = 0
    while bottom % 2 == 0:
        bottom, twos = bottom // 2, twos + 1
    while bottom % 5 == 0:
        bottom, fives = bottom // 5, fives + 1
    return max(twos, fives) if bottom == 1 and max(twos, fives) <= _MOST_PLACES else None


def rounded_text(number: Fraction | float, *, places: int) -> str:
    """A number in decimals, exact if so many places will do, else rounded to them; no zeros at the end.

    Example: rounded_text(Fraction(4, 3), places=6) -> '1.333333'
    """
    return decimal_text(Fraction(round(Fraction(number) * 10**places), 10**places)) or "0"


def length_text(length_in: Fraction) -> str:
    """A length as a maker writes it, and exact: "3 3/8", "1.37", "86 mm", else a fraction of an inch.

    Example: length_text(Fraction(1500, 127)) -> '300 mm'
    """
    if 64 % length_in.denominator == 0:
        return inches_text(length_in)
    for number, unit in ((length_in, ""), (length_in * MM_PER_IN, " mm")):
        places = _places(number.denominator)
        if places is not None and places <= 4:
            return f"{decimal_text(number)}{unit}"
    whole, rest = divmod(length_in, 1)
    return f"{whole} {rest}" if whole else str(rest)


def path_unit(strokes: Iterable[Stroke]) -> Fraction:
    """The length in inches in whose multiples strokes can be written exactly in decimals.

    One inch where that will do, else one millimetre, else the largest part of an inch that does and keeps
    the numbers under a thousand.
    """
    numbers = [number for stroke in strokes for number in _lengths(stroke)]
    for unit_in in (Fraction(1), 1 / MM_PER_IN):
        written = [number / unit_in for number in numbers]
        if all(abs(n) < _MOST_UNITS and _places(n.denominator) is not None for n in written):
            return unit_in
    odd = lcm(*(_odd_part(number.denominator) for number in numbers))
    furthest_in = max((abs(number) for number in numbers), default=Fraction(1))
    tens = len(str(ceil(furthest_in * odd / _MOST_UNITS))) if furthest_in * odd >= _MOST_UNITS else 0
    return Fraction(10**tens, odd)


def _odd_part(bottom: int) -> int:
    """What is left of a denominator once twos and fives are taken out."""
    for prime in (2, 5):
        while bottom % prime == 0:
            bottom //= prime
    return bottom


def _lengths(stroke: Stroke) -> Iterator[Fraction]:
    for segment in stroke.segments:
        if isinstance(segment, Arc):
            yield from (*segment.start, *segment.end, *segment.radii_in)
        else:
            yield from (number for point in segment.points for number in point)


def path_text(stroke: Stroke, *, unit_in: Fraction = Fraction(1)) -> str | None:
    """SVG path data of a stroke in multiples of a unit, exactly; None where decimals cannot say it.

    Example: path_text(parse_path("M0 0h4v4z")[0]) -> 'M 0 0 L 4 0 L 4 4 Z'
    """
    segments = stroke.segments
    last = segments[-1]
    if stroke.closed and isinstance(last, Bezier) and len(last.points) == 2:
        segments = segments[:-1]  # Z draws it
    parts: list[str | None] = ["M", *_numbers(stroke.segments[0].start, unit_in)]
    for segment in segments:
        if isinstance(segment, Arc):
            tilt = decimal_text(segment.tilt_deg)
            flags = (str(int(segment.large)), str(int(segment.clockwise)))
            parts += ["A", *_numbers(segment.radii_in, unit_in), tilt, *flags]
            parts += _numbers(segment.end, unit_in)
        else:
            parts.append(_LETTERS[len(segment.points)])
            parts += [number for point in segment.points[1:] for number in _numbers(point, unit_in)]
    if stroke.closed:
        parts.append("Z")
    told = [part for part in parts if part is not None]
    return " ".join(told) if len(told) == len(parts) else None


def _numbers(point: ExactPoint, unit_in: Fraction) -> list[str | None]:
    return [decimal_text(point[0] / unit_in), decimal_text(point[1] / unit_in)]
