"""Rigid motions of cloth: turns and shifts, never a mirror, because hands cannot mirror a print."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import cos, radians, sin

__all__ = ["STAY", "Motion", "Number", "Point", "shift", "turn"]

Number = Fraction | float
"""Exact where quarter turns and rulers give it; float where a diagonal or a curve forces it."""

Point = tuple[Number, Number]
"""x to the right, y down, inches."""

_QUARTERS = ((1, 0), (0, 1), (-1, 0), (0, -1))


@dataclass(frozen=True, slots=True)
class Motion:
    """A turn about the origin, clockwise as seen (y runs down), then a shift; determinant +1.

    Maps (x, y) to (cos x - sin y + dx_in, sin x + cos y + dy_in).
    """

    cos: Number
    sin: Number
    dx_in: Number
    dy_in: Number

    def __call__(self, point: Point) -> Point:
        """The point moved."""
        x, y = point
        return (self.cos * x - self.sin * y + self.dx_in, self.sin * x + self.cos * y + self.dy_in)

    def all(self, points: tuple[Point, ...]) -> tuple[Point, ...]:
        """Every point moved, in the same order; points of floats stay floats."""
        c, s, dx, dy = self.cos, self.sin, self.dx_in, self.dy_in
        if points and isinstance(points[0][0], float):
            c, s, dx, dy = float(c), float(s), float(dx), float(dy)
        elif c == 1 and s == 0:
            return tuple((x + dx, y + dy) for x, y in points)
        return tuple((c * x - s * y + dx, s * x + c * y + dy) for x, y in points)

    def after(self, first: Motion) -> Motion:
        """The one motion that does `first` and then this."""
        dx_in, dy_in = self((first.dx_in, first.dy_in))
        return Motion(
            self.cos * first.cos - self.sin * first.sin,
            self.sin * first.cos + self.cos * first.sin,
            dx_in,
            dy_in,
        )

    def inverse(self) -> Motion:
        """The motion that undoes this one."""
        return Motion(
            self.cos,
            -self.sin,
            -(self.cos * self.dx_in + self.sin * self.dy_in),
            self.sin * self.dx_in - self.cos * self.dy_in,
        )

    def is_square(self) -> bool:
        """Whether the turn is a whole number of quarter turns, so that exact points stay exact."""
        return self.cos in (-1, 0, 1)


def shift(dx_in: Number, dy_in: Number) -> Motion:
    """A shift without a turn."""
    return Motion(Fraction(1), Fraction(0), dx_in, dy_in)


STAY = shift(Fraction(0), Fraction(0))


def turn(deg: Number, *, about: Point = (Fraction(0), Fraction(0))) -> Motion:
    """A clockwise turn about a point; exact for multiples of 90 degrees.

    Example: turn(90)((1, 0)) -> (0, 1), which is down
    """
    quarters, rest = divmod(deg, 90)
    if rest == 0:
        c, s = _QUARTERS[int(quarters) % 4]
        spin = Motion(Fraction(c), Fraction(s), Fraction(0), Fraction(0))
    else:
        spin = Motion(cos(radians(deg)), sin(radians(deg)), 0.0, 0.0)
    x, y = about
    return shift(x, y).after(spin).after(shift(-x, -y))
