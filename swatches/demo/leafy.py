"""Leafy grounds: leaves from edge to edge, for the cloth under the flowers."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.canvas import Canvas, blank
from swatches.demo.colours import mix
from swatches.demo.foliage import leaf_blade
from swatches.demo.layouts import spins, toss
from swatches.demo.outlines import ribbon
from swatches.demo.recipe import Draw, Recipe, recipe

__all__ = ["leafy"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]

_MOSS = (
    ("leaf", "fern"),
    ("clover", "leaf"),
    (mix("clover", 70, "sprout"), "clover"),
    ("moss", mix("moss", 60, "fern")),
)
_YEW = (
    (mix("fern", 55, "pine"), "pine"),
    ("fern", mix("fern", 60, "pine")),
    (mix("fern", 70, "kingfisher"), "fern"),
    (mix("pine", 70, "dusk"), "pine"),
)


def leafy() -> tuple[Recipe, ...]:
    """The leafy grounds."""
    return (
        recipe(
            "moss bank",
            "leafy ground",
            "Close small leaves in four greens of middle value.",
            _close_leaves("fern", _MOSS, seed=151),
            repeat_in=(4, 4),
            motif_in=Fraction(5, 8),
        ),
        recipe(
            "willow walk",
            "leafy ground",
            "Long willow leaves on pale sage.",
            willow_walk,
            repeat_in=(6, 6),
            motif_in=Fraction(1),
        ),
        recipe(
            "yew hedge",
            "leafy ground",
            "Close leaves in the darkest greens: a ground that flowers stand out from.",
            _close_leaves("pine", _YEW, seed=155),
            repeat_in=(4, 4),
            motif_in=Fraction(5, 8),
        ),
    )


def _close_leaves(ground: str, inks: tuple[tuple[str, str], ...], *, seed: int) -> Draw:
    """Leaves tossed over one another, in pairs of inks."""

    def draw(size_in: Size) -> Light:
        canvas = blank(size_in, ground)
        places = toss((float(size_in[0]), float(size_in[1])), [0.2] * 110, seed=seed)
        for number, (at, spin) in enumerate(zip(places, spins(110, seed=seed + 1, size_in=0.6), strict=True)):
            pair, bend = inks[number % len(inks)], 0.12 if number % 2 else -0.12
            leaf_blade(canvas, complex(at - spin / 2), complex(spin), pair, breadth=0.46, bend=bend, veins=3)
        return canvas.light()

    return draw


def willow_walk(size_in: Size) -> Light:
    """One repeat of the willow: wandering stems in two layers, leaves on both sides."""
    canvas = blank(size_in, "pale sage")
    _willows(canvas, 1.1, mix("sage", 70, "pale sage"), mix("sage", 60, "pale sage"), seed=161)
    _willows(canvas, 0.0, "clover", "leaf", seed=162)
    return canvas.light()


def _willows(canvas: Canvas, offset: float, ink: str, deep: str, *, seed: int) -> None:
    rng = np.random.default_rng(seed)
    y = np.linspace(0, 6, 73)
    for column in range(3):
        x = (
            offset
            + 2 * column
            + 0.32 * np.sin(2 * np.pi * (y / 6 + column / 3))
            + 0.12 * np.sin(4 * np.pi * y / 6 + column)
        )
        path = x + 1j * y
        canvas.fill(ribbon(path, 0.055), deep)
        for number, step in enumerate(range(1, 73, 3)):
            along = -(path[step] - path[step - 1]) / abs(path[step] - path[step - 1])
            side = 1 if number % 2 else -1
            spin = complex(along * np.exp(1j * side * rng.uniform(0.55, 0.85)) * rng.uniform(0.85, 1.15))
            leaf_blade(canvas, complex(path[step]), spin, (ink, deep), breadth=0.24, bend=-0.16 * side)
