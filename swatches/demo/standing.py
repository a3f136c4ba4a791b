"""Prints whose motifs stand upright or on a strict lattice: one-way, half-drop and brick."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.blooms import Petals, blossom, bud, daisy, dot, poppy
from swatches.demo.canvas import Canvas, blank
from swatches.demo.colours import mix
from swatches.demo.creatures import bee, hen, pear, skep
from swatches.demo.foliage import grass_ear, leaf_blade, spray, stalk
from swatches.demo.layouts import brick, half_drop, toss
from swatches.demo.outlines import petal, ribbon, spline
from swatches.demo.recipe import Recipe, recipe

__all__ = ["standing"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]


def standing() -> tuple[Recipe, ...]:
    """The one-way, half-drop and brick prints."""
    return (
        recipe(
            "hay meadow",
            "one-way",
            "Poppies, cornflowers and ox-eye daisies standing in tall grass under a pale sky.",
            hay_meadow,
            repeat_in=(6, 6),
            motif_in=Fraction(5, 4),
            one_way=True,
        ),
        recipe(
            "hen yard",
            "one-way",
            "Speckled and brown hens on straw yellow, all on their feet.",
            hen_yard,
            repeat_in=(4, 4),
            motif_in=Fraction(5, 4),
            one_way=True,
        ),
        recipe(
            "thyme sprig",
            "one-way",
            "Small upright sprigs with three buds on lilac.",
            thyme_sprig,
            repeat_in=(2, 2),
            motif_in=Fraction(1, 2),
            one_way=True,
        ),
        recipe(
            "lavender row",
            "floral stripe",
            "Rows of lavender in flower between bands of plum and lilac.",
            lavender_row,
            repeat_in=(4, 2),
            motif_in=Fraction(3, 4),
            one_way=True,
        ),
        recipe(
            "pear drop",
            "half-drop",
            "Ripe pears in a half-drop on soft green.",
            pear_drop,
            repeat_in=(4, 4),
            motif_in=Fraction(1),
            one_way=True,
        ),
        recipe(
            "skep row",
            "brick",
            "Straw skeps laid like bricks on pale sky, with a bee over each.",
            skep_row,
            repeat_in=(4, 4),
            motif_in=Fraction(1),
            one_way=True,
        ),
        recipe(
            "tile path",
            "brick",
            "Garden tiles, each with a starry flower, set like bricks.",
            tile_path,
            repeat_in=(4, 4),
            motif_in=Fraction(1),
        ),
    )


def hay_meadow(size_in: Size) -> Light:
    """One repeat of the meadow: three rows of plants, the far ones first, so that nearer ones overlap."""
    canvas = blank(size_in, mix("sky", 70, "chalk"))
    rng = np.random.default_rng(101)
    rows = 4
    for row in range(rows):
        foot = 1j * (row + 1) * 6 / rows
        xs = (np.arange(24) + rng.uniform(-0.3, 0.3, 24)) * 6 / 24
        for number, x in enumerate(rng.permutation(xs)):
            root = complex(x) + foot + 1j * rng.uniform(-0.15, 0.15)
            tall = rng.uniform(1.1, 1.75)
            _blade(canvas, root, tall, rng, pale=number % 3 == 0)
        for number, x in enumerate((np.arange(6) + 0.5 * (row % 2) + rng.uniform(-0.18, 0.18, 6)).tolist()):
            root = complex(x) + foot
            _meadow_flower(canvas, root, rng.uniform(1.05, 1.6), (number + 2 * row) % 6, rng)
    return canvas.light()


def _blade(canvas: Canvas, root: complex, tall: float, rng: np.random.Generator, *, pale: bool) -> None:
    sway = float(rng.uniform(-0.22, 0.22))
    if pale:
        grass_ear(canvas, root, -1j * tall, ("moss", "straw"), sway=sway)
    else:
        ink = str(rng.choice(["clover", "leaf", "sage", "sprout", "moss"]))
        leaf_blade(canvas, root, -1j * tall * 0.75, (ink, ink), breadth=0.09, bend=sway * 1.6)


def _meadow_flower(canvas: Canvas, root: complex, tall: float, sort: int, rng: np.random.Generator) -> None:
    lean = float(rng.uniform(-0.22, 0.22))
    head = root - 1j * tall + lean
    stalk(canvas, spline(np.array([root, root - 0.5j * tall + 0.15 * lean, head])), 0.05, "leaf")
    turn = np.exp(1j * rng.uniform(0, 6.28))
    if sort in (0, 3):
        poppy(
            canvas,
            head,
            0.45 * turn,
            Petals("coral", "rosehip", "berry", "soot"),
            seed=int(rng.integers(1 << 20)),
        )
    elif sort in (1, 5):
        daisy(canvas, head, 0.44 * turn, Petals("chalk", "chalk", "straw", "honey"), petals=12)
    elif sort == 2:
        daisy(
            canvas,
            head,
            0.36 * turn,
            Petals("cornflower", "iris", "mill blue", "dusk"),
            petals=9,
            double=True,
        )
    else:
        blossom(canvas, head, 0.32 * turn, Petals("honey", "straw", "marigold", "acorn"))


def hen_yard(size_in: Size) -> Light:
    """One repeat of the hens: a half-drop, with seed scattered between."""
    canvas = blank(size_in, "straw")
    flock = (("chalk", "pebble"), ("brick", "bark"), ("chalk", "pebble"), ("soot", "slate"))
    places = half_drop((4, 4), across=2, down=2)
    grain = toss((4, 4), [0.07] * 44, seed=111, standing=[(complex(at) - 0.05j, 0.66) for at in places])
    for number, at in enumerate(grain):
        spin = 0.09 * np.exp(1.9j * number)
        leaf_blade(canvas, complex(at), spin, ("mustard", "acorn"), breadth=0.5)
    for number, at in enumerate(places):
        feet = complex(at) + 0.5j
        for x in (-0.4, -0.22, 0.42, 0.55):
            leaf_blade(canvas, feet + x + 0.02j, -0.2j * np.exp(0.5j * x), ("clover", "leaf"), breadth=0.25)
        hen(canvas, feet, 1.02, flock[(number % 2) + 2 * (number // 2)])
    return canvas.light()


def thyme_sprig(size_in: Size) -> Light:
    """One repeat of the sprigs: a half-drop of two."""
    canvas = blank(size_in, "lilac")
    for at in half_drop((2, 2), across=4, down=2):
        root = complex(at) + 0.3j
        spray(canvas, root, -0.5j, ("clover", "fern"), pairs=3, leaf_share=0.34, curve=0.05)
        for lean in (-0.6, 0.6, 0.0):
            grow = -0.24j * np.exp(1j * lean)
            start = root - 0.34j + 0.3 * grow
            stalk(canvas, np.linspace(root - 0.3j, start, 4), 0.02, "fern")
            bud(canvas, start, grow, Petals("lavender", "iris", "plum", "honey"), cup="fern")
    return canvas.light()


def lavender_row(size_in: Size) -> Light:
    """One repeat of the lavender: two rows of stems that grow along the cloth, with bands between."""
    canvas = blank(size_in, "iris")
    for x, width, ink in ((0.0, 0.3, "plum"), (2.0, 0.3, "plum"), (0.0, 0.1, "lilac"), (2.0, 0.1, "lilac")):
        canvas.fill(ribbon(np.array([x - 1j, x + 3j]), width), ink)
    for number, root in enumerate(half_drop((4, 2), across=2, down=1)):
        for lean, tall in ((-0.4, 1.15), (0.4, 1.15), (0.0, 1.5)):
            _lavender(canvas, complex(root) + 0.75j, -1j * tall * np.exp(1j * lean), number)
    return canvas.light()


def _lavender(canvas: Canvas, root: complex, spin: complex, number: int) -> None:
    stalk(canvas, np.linspace(root, root + spin * 0.95, 8), 0.025, "sage")
    for side in (-0.35, 0.35):
        leaf_blade(canvas, root, spin * np.exp(1j * side) * 0.42, ("sage", "clover"), breadth=0.16)
    for tier in range(7):
        at = root + spin * (0.46 + 0.085 * tier)
        size = 0.17 * abs(spin) * (1.05 - 0.08 * tier)
        for side in (-0.9, 0.9, 0.0):
            ink = "lilac" if (tier + number + (side == 0)) % 3 == 0 else "lavender"
            canvas.fill(
                at + spin / abs(spin) * np.exp(1j * side) * size * petal(0.5, fullness=0.4, points=16), ink
            )


def pear_drop(size_in: Size) -> Light:
    """One repeat of the pears; every column is the one before it, dropped by half."""
    canvas = blank(size_in, "pale sage")
    for at in half_drop((4, 4), across=4, down=2):
        foot = complex(at) + 0.5j
        for lean in (-2.3, -0.85):
            spray(
                canvas,
                foot + 0.5 - 0.62j,
                0.42 * np.exp(1j * lean),
                ("sage", mix("sage", 60, "clover")),
                pairs=2,
            )
        pear(canvas, foot - 0.05j, 0.98, ("sprout", "honey", "straw"), greens=("leaf", "fern"))
    return canvas.light()


def skep_row(size_in: Size) -> Light:
    """One repeat of the skeps; every row is the one above it, moved along by half."""
    canvas = blank(size_in, "sky")
    for at in brick((4, 4), across=2, down=2):
        foot = complex(at) + 0.8j
        for x, tall in ((0.86, 0.5), (0.96, 0.7), (1.05, 0.38), (1.13, 0.58)):
            head = foot + 1 + 1.05 * (x - 1) - 1j * tall
            stalk(canvas, spline(np.array([foot + x, foot + x + 0.02 - 0.5j * tall, head])), 0.035, "leaf")
            for side in (-1, 1):
                leaf_blade(canvas, foot + x, -0.3j * np.exp(0.6j * side), ("clover", "leaf"), breadth=0.28)
            daisy(canvas, head, 0.13, Petals("chalk", "chalk", "straw", "honey"), petals=9)
        skep(canvas, foot, 1.36, ("honey", "acorn"))
        bee(canvas, foot + 0.98 - 1.22j, 0.4 * np.exp(-0.5j))
        bee(canvas, foot + 0.1 - 1.62j, 0.3 * np.exp(0.25j))
    return canvas.light()


def tile_path(size_in: Size) -> Light:
    """One repeat of the tiles."""
    canvas = blank(size_in, "cream")
    square = np.array([-0.5 - 0.5j, 0.5 - 0.5j, 0.5 + 0.5j, -0.5 + 0.5j])
    for at in brick((4, 4), across=4, down=4):
        canvas.fill(complex(at) + 0.94 * square, "brick")
        canvas.fill(complex(at) + 0.84 * square, "apricot")
        for corner in square:
            dot(canvas, complex(at + 0.66 * corner), 0.07, "brick")
        daisy(canvas, complex(at), 0.36 * np.exp(0.39j), Petals("cream", "cream", "brick", "brick"), petals=8)
    return canvas.light()
