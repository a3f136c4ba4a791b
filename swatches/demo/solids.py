"""Solids: one dyed colour and the weave."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.canvas import pixels
from swatches.demo.colours import ink_lin
from swatches.demo.recipe import Draw, Recipe, recipe

__all__ = ["solids"]

_BOLTS = {
    "chalk": "The whitest white on the shelf, a little warm.",
    "cream": "The usual ground.",
    "pale sage": "A light green-grey.",
    "sky": "A light, cool blue.",
    "blush": "A light, warm pink.",
    "straw": "A light yellow.",
    "honey": "A strong yellow of light to middle value.",
    "coral": "A warm pink of middle value.",
    "foxglove": "A strong pink of middle value.",
    "rosehip": "A clear red, darker than it looks.",
    "berry": "A dark red.",
    "lavender": "A soft purple of middle value.",
    "plum": "A dark purple.",
    "cornflower": "A blue of middle value.",
    "dusk": "The darkest blue.",
    "kingfisher": "A blue-green of middle value.",
    "sprout": "A yellow-green, for the newest leaves.",
    "clover": "A leaf green of middle value, for stems.",
    "fern": "A dark leaf green.",
    "pine": "The darkest green.",
    "bark": "A dark brown.",
    "slate": "A blue-grey of middle value.",
    "soot": "Very nearly black.",
}


def solids() -> tuple[Recipe, ...]:
    """The solids, light first in every family."""
    return tuple(
        recipe(name, "solid", line, _plain(name), repeat_in=(2, 2), motif_in=0)
        for name, line in _BOLTS.items()
    )


def _plain(ink: str) -> Draw:
    def draw(size_in: tuple[Fraction, Fraction]) -> NDArray[np.float32]:
        shape = (pixels(size_in[1]), pixels(size_in[0]), 3)
        return np.full(shape, ink_lin(ink), np.float32)

    return draw
