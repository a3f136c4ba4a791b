"""What is known of one demo cloth, and how it is drawn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

__all__ = ["DemoCloth", "Draw", "Recipe", "recipe"]

Draw: TypeAlias = Callable[[tuple[Fraction, Fraction]], NDArray[np.float32]]
"""Draws one repeat of the given width and height in inches, in linear light, without its weave."""


@dataclass(frozen=True, slots=True)
class DemoCloth:
    """What a bolt's label would say of one demo cloth."""

    name: str
    kind: str
    """In the trade's words: "ditsy", "large floral", "gingham", "solid"."""
    repeat_in: tuple[Fraction, Fraction]
    """Width and height of one repeat."""
    one_way: bool
    """True if its motifs stand upright, so that turning the cloth shows."""
    motif_in: Fraction
    """About how wide the largest motif is: a bloom, a dot, a stripe, the cell of a check. 0 for a solid."""
    line: str


@dataclass(frozen=True, slots=True)
class Recipe:
    """A cloth and its drawing."""

    about: DemoCloth
    draw: Draw


def recipe(
    name: str,
    kind: str,
    line: str,
    draw: Draw,
    *,
    repeat_in: tuple[Fraction | int, Fraction | int],
    motif_in: Fraction | int,
    one_way: bool = False,
) -> Recipe:
    """A recipe from the words of its label."""
    width, height = repeat_in
    about = DemoCloth(
        name=name,
        kind=kind,
        repeat_in=(Fraction(width), Fraction(height)),
        one_way=one_way,
        motif_in=Fraction(motif_in),
        line=line,
    )
    return Recipe(about, draw)
