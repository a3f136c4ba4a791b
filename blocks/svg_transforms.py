"""Transforms of SVG drawings: written lists of them as one exact map, and strokes moved by it.

Source: W3C CSS Transforms Level 1 (2019), sections 7 and 8 (the grammar), section 12 (the matrices).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from math import atan2, cos, degrees, hypot, radians, sin, tan

from blocks.curves import Arc, Bezier, ExactPoint, Segment, Stroke

__all__ = ["SAME", "Affine", "TransformError", "move_stroke", "moving", "parse_transform", "scaling"]

_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,2})?"
_CALL = re.compile(r"\s*,?\s*(\w+)\s*\(([^()]*)\)")
_ARGUMENT = re.compile(rf"({_NUMBER})(deg|px)?", re.ASCII)
_COUNTS = {
    "matrix": (6,),
    "translate": (1, 2),
    "scale": (1, 2),
    "rotate": (1, 3),
    "skewx": (1,),
    "skewy": (1,),
}
_QUARTERS = ((1, 0), (0, 1), (-1, 0), (0, -1))
_LONGEST = 2_000
_MOST_CALLS = 32
_LONGEST_NUMBER = 32
_LARGEST = 10**9
_SHARPEST = 10**40
_GRID = 10**9
"""Moved points lie on a grid of a thousand millionth of an inch."""


class TransformError(ValueError):
    """A transform that cannot be read, or that makes numbers beyond all measure."""

    mend = "Apply the transforms in the drawing program, then save it again."


@dataclass(frozen=True, slots=True)
class Affine:
    """Maps (x, y) to (a x + c y + e, b x + d y + f)."""

    a: Fraction
    b: Fraction
    c: Fraction
    d: Fraction
    e: Fraction
    f: Fraction

    def __call__(self, point: ExactPoint) -> ExactPoint:
        """The point moved."""
        x, y = point
        return self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f

    def after(self, first: Affine) -> Affine:
        """The one map that does `first` and then this.

        Raises: TransformError where its numbers grow beyond all measure.
        """
        p, q, r, s = first.a, first.b, first.c, first.d
        e, f = self((first.e, first.f))
        return _checked(
            self.a * p + self.c * q,
            self.b * p + self.d * q,
            self.a * r + self.c * s,
            self.b * r + self.d * s,
            e,
            f,
        )

    def det(self) -> Fraction:
        """By how much areas grow; negative where shapes are mirrored."""
        return self.a * self.d - self.b * self.c


_ONE, _NOUGHT = Fraction(1), Fraction(0)


def moving(x: Fraction, y: Fraction) -> Affine:
    """A shift."""
    return Affine(_ONE, _NOUGHT, _NOUGHT, _ONE, x, y)


def scaling(x: Fraction, y: Fraction) -> Affine:
    """A stretch across and down."""
    return Affine(x, _NOUGHT, _NOUGHT, y, _NOUGHT, _NOUGHT)


SAME = moving(_NOUGHT, _NOUGHT)
"""Leaves every point where it is."""


def _checked(*numbers: Fraction) -> Affine:
    if any(abs(number) > _LARGEST for number in numbers):
        raise TransformError("The transforms enlarge the drawing beyond all measure.")
    # Angles leave long fractions; cut to sixty binary places they stay quick and far finer than any thread.
    return Affine(*(n if n.denominator < _SHARPEST else Fraction(round(n * 2**60), 2**60) for n in numbers))


def parse_transform(text: str) -> Affine:
    """The map that a list of transforms describes; the one written last is done first.

    Raises: TransformError for anything outside the grammar.
    Example: parse_transform("translate(3) scale(2)")((Fraction(1), Fraction(1))) -> (5, 2)
    """
    text = text.strip()
    if text in ("", "none"):
        return SAME
    if len(text) > _LONGEST:
        raise TransformError(f"A transform of {len(text):,} signs is not read.")
    whole, at, calls = SAME, 0, 0
    while at < len(text):
        match = _CALL.match(text, at)
        calls += 1
        if match is None or calls > _MOST_CALLS:
            raise TransformError(f"{text[at : at + 30]!r} is not read as a transform.")
        whole = whole.after(_one(match[1].lower(), match[2]))
        at = match.end()
    return whole


def _one(name: str, written: str) -> Affine:
    numbers = [_argument(part) for part in re.split(r"[\s,]+", written.strip()) if part]
    if len(numbers) not in _COUNTS.get(name, ()):
        raise TransformError(f"{name}({written[:30]}) is not a transform.")
    first, second = numbers[0], numbers[1] if len(numbers) > 1 else None
    if name == "matrix":
        return _checked(*numbers)
    if name == "translate":
        return moving(first, second or _NOUGHT)
    if name == "scale":
        return scaling(first, first if second is None else second)
    if name == "rotate":
        x, y = numbers[1:] if len(numbers) == 3 else (_NOUGHT, _NOUGHT)
        return moving(x, y).after(_rotation(first)).after(moving(-x, -y))
    slant = Fraction(tan(radians(first)))
    across, down = (slant, _NOUGHT) if name == "skewx" else (_NOUGHT, slant)
    return _checked(_ONE, down, across, _ONE, _NOUGHT, _NOUGHT)


def _argument(part: str) -> Fraction:
    match = _ARGUMENT.fullmatch(part)
    if match is None or len(part) > _LONGEST_NUMBER:
        raise TransformError(f"{part[:40]!r} is not a number for a transform.")
    return Fraction(match[1])


def _rotation(deg: Fraction) -> Affine:
    """A turn about the origin, exact for quarter turns."""
    quarters, rest = divmod(deg, 90)
    if rest:
        c, s = Fraction(cos(radians(deg))), Fraction(sin(radians(deg)))
    else:
        c, s = map(Fraction, _QUARTERS[quarters % 4])
    return Affine(c, s, -s, c, _NOUGHT, _NOUGHT)


def move_stroke(stroke: Stroke, affine: Affine) -> Stroke:
    """A stroke moved; an arc of an ellipse stays one."""
    return Stroke(tuple(_move(segment, affine) for segment in stroke.segments), stroke.closed)


def _move(segment: Segment, affine: Affine) -> Segment:
    if isinstance(segment, Bezier):
        return Bezier(tuple(_moved(point, affine) for point in segment.points))
    start, end = _moved(segment.start, affine), _moved(segment.end, affine)
    rx, ry, tilt_deg = _ellipse(segment, affine)
    if not rx or not ry or start == end:
        return Bezier((start, end))
    return Arc(start, end, (rx, ry), tilt_deg, segment.large, segment.clockwise is (affine.det() > 0))


def _moved(point: ExactPoint, affine: Affine) -> ExactPoint:
    x, y = affine(point)
    return Fraction(round(x * _GRID), _GRID), Fraction(round(y * _GRID), _GRID)


def _ellipse(arc: Arc, affine: Affine) -> tuple[Fraction, Fraction, Fraction]:
    """Radii and tilt of an ellipse once it is moved.

    The map of the unit circle to the ellipse, then moved, is a turn, a stretch along the axes and a turn.
    Source: the singular value decomposition of a 2 by 2 matrix in closed form.
    """
    c, s = cos(radians(arc.tilt_deg)), sin(radians(arc.tilt_deg))
    rx, ry = float(arc.radii_in[0]), float(arc.radii_in[1])
    a, b, g, d = (float(number) for number in (affine.a, affine.b, affine.c, affine.d))
    p, q = (a * c + g * s) * rx, (g * c - a * s) * ry
    r, t = (b * c + d * s) * rx, (d * c - b * s) * ry
    even, odd = hypot(p + t, r - q) / 2, hypot(p - t, r + q) / 2
    tilt = (atan2(r + q, p - t) + atan2(r - q, p + t)) / 2
    long, short = _on_grid(even + odd), _on_grid(abs(even - odd))
    return long, short, Fraction(0) if long == short else _on_grid(degrees(tilt))


def _on_grid(number: float) -> Fraction:
    return Fraction(round(Fraction(number) * _GRID), _GRID)
