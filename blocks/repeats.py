"""Where the copies of a repeated shape lie: turned about a centre, and flipped into their mirror image."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from blocks.curves import ExactPoint
from blocks.motion import Motion, Point, turn

__all__ = ["ONCE", "Placement", "Repeat", "place_copies"]


@dataclass(frozen=True, slots=True)
class Repeat:
    """So many copies at equal turns about a centre, each with its mirror image beside it if `mirrored`."""

    turns: int = 1
    about: ExactPoint | None = None
    """The middle of the ground unless written."""
    mirrored: bool = False


ONCE = Repeat()
"""One copy, as drawn."""


@dataclass(frozen=True, slots=True)
class Placement:
    """Where one copy lies: flipped over first if `reversed` (x to -x in the template's frame), then moved."""

    motion: Motion
    reversed: bool

    def __call__(self, point: Point) -> Point:
        """Where a point of the template lies in the block."""
        x, y = point
        return self.motion((-x, y) if self.reversed else (x, y))


def place_copies(base: Motion, repeat: Repeat, *, middle: ExactPoint) -> tuple[Placement, ...]:
    """Every copy of a template that `base` lays in the block, each mirror image after its original.

    Images are mirrored left to right in the upright line through the centre of the repeat.
    """
    about = repeat.about or middle
    placed: list[Placement] = []
    for k in range(repeat.turns):
        motion = turn(Fraction(360 * k, repeat.turns), about=about).after(base)
        placed.append(Placement(motion, reversed=False))
        if repeat.mirrored:
            # Mirror after motion is (mirror, motion, mirror) after mirror; the bracket turns the other way.
            image = Motion(motion.cos, -motion.sin, 2 * about[0] - motion.dx_in, motion.dy_in)
            placed.append(Placement(image, reversed=True))
    return tuple(placed)
