"""SVG path data in block inches, read into exact strokes.

Source: W3C SVG 2 (2018), chapter 9: the path data grammar with all its short forms.
"""

from __future__ import annotations

import re
from fractions import Fraction

from blocks.curves import Arc, Bezier, ExactPoint, Segment, Stroke

__all__ = ["EmptyPathError", "FarError", "PathError", "parse_path"]

_LONGEST = 20_000
_FURTHEST_IN = 1000
_LONGEST_NUMBER = 32
_EXPONENTS = range(-20, 10)
"""Drawing programs write nothing at all as 1e-16; further off, a number is a mistake."""

_BLANK = re.compile(r"[ \t\n\f\r]*")
_BETWEEN = re.compile(r"[ \t\n\f\r]*,?[ \t\n\f\r]*")
_NUMBER = re.compile(r"[+-]?(?:\d*\.\d+|\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_FLAG = re.compile(r"[01]")
_NUMBERS_AFTER = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


class PathError(ValueError):
    """Path data that cannot be read. Says what stands at the fault and after how many signs."""

    def __init__(self, text: str, at: int, why: str) -> None:
        self.at = at
        self.mend = 'Write SVG path data in block inches, such as "M 2 10 C 2 7 5 6 6 3".'
        found = f"{text[at : at + 12]!r}" if at < len(text) else "the end"
        super().__init__(f"after {at} signs, at {found}: {why}")


class FarError(PathError):
    """Path data that leads further than any cloth."""


class EmptyPathError(PathError):
    """Path data that draws nothing at all."""


def parse_path(text: str, *, unit_in: Fraction = Fraction(1)) -> tuple[Stroke, ...]:
    """The strokes that path data draws, in exact inches; pieces of no length are left out.

    `unit_in` is how many inches one unit of the data stands for.
    Raises: PathError for anything outside the grammar, points beyond 1000 in, or more than 20,000 signs.
    Example: parse_path("M0 0h4v4z")[0].closed -> True
    """
    if len(text) > _LONGEST:
        raise PathError(text, _LONGEST, f"more than {_LONGEST:,} signs")
    pen = _Pen()
    at = _skip(_BLANK, text, 0)
    if at == len(text):
        raise EmptyPathError(text, at, "the path is empty")
    while at < len(text):
        at = _read_command(text, at, pen, unit_in)
    pen.lift(closed=False)
    if not pen.strokes:
        raise EmptyPathError(text, len(text), "the path draws nothing")
    return tuple(pen.strokes)


def _read_command(text: str, at: int, pen: _Pen, unit_in: Fraction) -> int:
    """Draws one command with all its repeats; the place after it."""
    letter = text[at]
    if letter.upper() not in _NUMBERS_AFTER:
        raise PathError(text, at, "a command (M L H V C S Q T A Z) was expected")
    if letter.upper() != "M" and not pen.down:
        raise PathError(text, at, "a path begins with M, where the pen is put down")
    start, at = at, _skip(_BLANK, text, at + 1)
    count = _NUMBERS_AFTER[letter.upper()]
    repeats = 0
    while repeats == 0 or (count and _NUMBER.match(text, _skip(_BETWEEN, text, at))):
        at = at if repeats == 0 else _skip(_BETWEEN, text, at)
        numbers, at = _read_numbers(text, at, count, unit_in, arc=letter.upper() == "A")
        pen.draw({"M": "L", "m": "l"}.get(letter, letter) if repeats else letter, numbers)
        if max(map(abs, pen.here)) > _FURTHEST_IN:
            raise FarError(text, start, f"this goes more than {_FURTHEST_IN} in away")
        repeats += 1
    return _skip(_BLANK, text, at)


def _read_numbers(
    text: str, at: int, count: int, unit_in: Fraction, *, arc: bool
) -> tuple[list[Fraction], int]:
    """So many numbers, all but an arc's tilt and flags in inches, and the place after them."""
    numbers: list[Fraction] = []
    for i in range(count):
        at = _skip(_BETWEEN, text, at) if i else at
        is_flag = arc and i in (3, 4)
        match = (_FLAG if is_flag else _NUMBER).match(text, at)
        if match is None:
            raise PathError(text, at, "a flag (0 or 1) was expected" if is_flag else "a number was expected")
        numbers.append(_number(text, at, match[0], Fraction(1) if arc and i in (2, 3, 4) else unit_in))
        at = match.end()
    return numbers, at


def _number(text: str, at: int, typed: str, unit_in: Fraction) -> Fraction:
    exponent = re.split("[eE]", typed)[-1] if "e" in typed.lower() else "0"
    if len(typed) > _LONGEST_NUMBER or int(exponent) not in _EXPONENTS:
        raise PathError(text, at, "this number is too long")
    number = Fraction(typed) * unit_in
    if abs(number) > 2 * _FURTHEST_IN:
        raise FarError(text, at, f"this goes more than {_FURTHEST_IN} in away")
    return number


def _skip(pattern: re.Pattern[str], text: str, at: int) -> int:
    match = pattern.match(text, at)
    return match.end() if match else at


class _Pen:
    """Where the pen is and what it has drawn so far."""

    def __init__(self) -> None:
        self.strokes: list[Stroke] = []
        self.down = False
        self.here: ExactPoint = (Fraction(0), Fraction(0))
        self._began = self.here
        self._segments: list[Segment] = []
        self._handle: tuple[str, ExactPoint] = ("", self.here)

    def draw(self, letter: str, numbers: list[Fraction]) -> None:
        """One command: capitals measure from the corner of the block, small letters from the pen."""
        kind = letter.upper()
        x, y = self.here if letter.islower() else (Fraction(0), Fraction(0))
        drawn: tuple[str, ExactPoint] | None = None
        if kind == "Z":
            self.lift(closed=True)
        elif kind == "H":
            self._curve([(numbers[0] + x, self.here[1])])
        elif kind == "V":
            self._curve([(self.here[0], numbers[0] + y)])
        elif kind == "A":
            self._arc(numbers, (numbers[5] + x, numbers[6] + y))
        else:
            points = [(numbers[i] + x, numbers[i + 1] + y) for i in range(0, len(numbers), 2)]
            if kind in "ST":
                before, handle = self._handle
                mirrored = before == ("C" if kind == "S" else "Q")
                first = (
                    (2 * self.here[0] - handle[0], 2 * self.here[1] - handle[1]) if mirrored else self.here
                )
                points.insert(0, first)
            drawn = (
                {"C": "C", "S": "C", "Q": "Q", "T": "Q"}.get(kind, ""),
                points[-2] if len(points) > 1 else self.here,
            )
            if kind == "M":
                self._move(points[0])
            else:
                self._curve(points)
        self._handle = drawn or ("", self.here)

    def lift(self, *, closed: bool) -> None:
        """Ends the stroke being drawn; a closed one goes back to where it began."""
        if closed and self.here != self._began:
            self._curve([self._began])
        if self._segments:
            self.strokes.append(Stroke(tuple(self._segments), closed))
        self._segments = []

    def _move(self, point: ExactPoint) -> None:
        self.lift(closed=False)
        self.down = True
        self.here = self._began = point

    def _curve(self, points: list[ExactPoint]) -> None:
        if any(point != self.here for point in points):
            self._segments.append(Bezier((self.here, *points)))
        self.here = points[-1]

    def _arc(self, numbers: list[Fraction], end: ExactPoint) -> None:
        rx, ry = abs(numbers[0]), abs(numbers[1])
        if not rx or not ry:
            self._curve([end])
        elif end != self.here:
            self._segments.append(
                Arc(self.here, end, (rx, ry), numbers[2], bool(numbers[3]), bool(numbers[4]))
            )
        self.here = end
