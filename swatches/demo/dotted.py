"""Dots of three sizes, and small geometrics."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.blooms import dot
from swatches.demo.canvas import blank
from swatches.demo.colours import mix
from swatches.demo.layouts import brick, half_drop, toss
from swatches.demo.outlines import blob, ribbon
from swatches.demo.recipe import Draw, Recipe, recipe

__all__ = ["dotted"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]


def dotted() -> tuple[Recipe, ...]:
    """The dots and geometrics."""
    return (
        recipe(
            "morning dew",
            "dots",
            "Pin dots of chalk white, an eighth of an inch across, on kingfisher blue.",
            _dots("kingfisher", ("chalk",), radius_in=Fraction(1, 16), across=8, down=8),
            repeat_in=(4, 4),
            motif_in=Fraction(1, 8),
        ),
        recipe(
            "red currant",
            "dots",
            "Red dots, three eighths of an inch across, on chalk white.",
            _dots("chalk", ("rosehip",), radius_in=Fraction(3, 16), across=4, down=4),
            repeat_in=(4, 4),
            motif_in=Fraction(3, 8),
        ),
        recipe(
            "windfall",
            "dots",
            "Dots an inch and a quarter across, in the colours of fallen apples, on apricot.",
            _dots(
                "apricot", ("cream", "coral", "cream", "rosehip"), radius_in=Fraction(5, 8), across=4, down=4
            ),
            repeat_in=(8, 8),
            motif_in=Fraction(5, 4),
        ),
        recipe(
            "river pebble",
            "tone-on-tone",
            "Wet stones, close together, slate on slate.",
            river_pebble,
            repeat_in=(4, 4),
            motif_in=Fraction(3, 4),
        ),
        recipe(
            "honeycomb",
            "geometric",
            "Six-sided cells of honey and straw with walls of wax.",
            honeycomb,
            repeat_in=(2, 4),
            motif_in=Fraction(1, 2),
        ),
        recipe(
            "river ripple",
            "geometric",
            "Lines of ripples in three blues.",
            river_ripple,
            repeat_in=(4, 2),
            motif_in=Fraction(1, 5),
        ),
        recipe(
            "plough land",
            "geometric",
            "Furrows in three browns, nearly straight.",
            plough_land,
            repeat_in=(4, 2),
            motif_in=Fraction(1, 5),
        ),
    )


def _dots(ground: str, inks: tuple[str, ...], *, radius_in: Fraction, across: int, down: int) -> Draw:
    """A half-drop of round dots; the inks follow each other down a column."""

    def draw(size_in: Size) -> Light:
        canvas = blank(size_in, ground)
        places = half_drop((float(size_in[0]), float(size_in[1])), across=across, down=down)
        for number, at in enumerate(places):
            column, row = number % across, number // across
            dot(canvas, complex(at), float(radius_in), inks[(column + 2 * row) % len(inks)])
        return canvas.light()

    return draw


def river_pebble(size_in: Size) -> Light:
    """One repeat of the stones."""
    canvas = blank(size_in, mix("slate", 60, "soot"))
    radii = [0.36] * 10 + [0.27] * 16 + [0.19] * 24 + [0.12] * 40 + [0.07] * 60
    inks = ("slate", mix("slate", 75, "mist"), mix("slate", 85, "soot"), mix("slate", 88, "mist"))
    for number, at in enumerate(toss((4, 4), radii, seed=91, tries=160)):
        stone = radii[number] * 1.06 * blob(number, roughness=0.13)
        flat = (stone.real + 0.78j * stone.imag) * np.exp(0.35j * np.sin(number))
        canvas.fill(complex(at) + flat, inks[number % 4])
        canvas.fill(
            complex(at) + 0.55 * flat - radii[number] * (0.12 + 0.14j), mix(inks[number % 4], 92, "mist")
        )
    return canvas.light()


def honeycomb(size_in: Size) -> Light:
    """One repeat of the cells: nearly regular hexagons, fitted to a whole number in the repeat."""
    canvas = blank(size_in, "cream")
    width, height = float(size_in[0]), float(size_in[1])
    across, down = 4, 10
    cell = width / across
    cap = 1j * height / down * 2 / 3
    hexagon = np.array(
        [cap, 0.5 * cap - cell / 2, -0.5 * cap - cell / 2, -cap, cell / 2 - 0.5 * cap, cell / 2 + 0.5 * cap]
    )
    inks = ("honey", mix("honey", 70, "straw"), "straw", "mustard", mix("honey", 60, "mustard"))
    order = np.random.default_rng(7).permutation(across * down)
    for number, at in enumerate(brick((width, height), across=across, down=down)):
        ink = inks[int(order[number]) % len(inks)]
        canvas.fill(complex(at) + 0.86 * hexagon, mix(ink, 75, "acorn"))
        canvas.fill(complex(at) + (0.01 + 0.012j) + 0.78 * hexagon, ink)
    return canvas.light()


def river_ripple(size_in: Size) -> Light:
    """One repeat of the ripples."""
    canvas = blank(size_in, "river")
    width, height = float(size_in[0]), float(size_in[1])
    x = np.linspace(-0.1, width + 0.1, 240)
    turn = 2 * np.pi * x / width
    rows = 10
    for row in range(rows):
        phase = 2.4 * row
        wave = 0.055 * np.sin(3 * turn + phase) + 0.02 * np.sin(7 * turn - phase)
        swell = 0.035 + 0.028 * np.sin(2 * turn + 1.7 * phase)
        ink = ("sky", "cornflower", mix("river", 45, "dusk"), mix("sky", 50, "river"))[row * 7 % 4]
        canvas.fill(ribbon(x + 1j * ((row + 0.5) * height / rows + wave), swell), ink)
    return canvas.light()


def plough_land(size_in: Size) -> Light:
    """One repeat of the furrows."""
    canvas = blank(size_in, "bark")
    width, height = float(size_in[0]), float(size_in[1])
    x = np.linspace(-0.1, width + 0.1, 160)
    turn = 2 * np.pi * x / width
    rows = 20
    for row in range(rows):
        phase = 1.9 * row
        wave = 0.016 * np.sin(turn + phase) + 0.009 * np.sin(3 * turn - phase)
        width_in = 0.026 + 0.014 * np.sin(2 * turn + 2.3 * phase)
        ink = (mix("bark", 60, "peat"), mix("bark", 72, "acorn"))[row % 2]
        canvas.fill(ribbon(x + 1j * ((row + 0.5) * height / rows + wave), width_in), ink)
    return canvas.light()
