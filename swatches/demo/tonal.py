"""Quiet cloth: tone-on-tone and low-volume prints."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.blooms import Petals, blossom, dot
from swatches.demo.canvas import blank
from swatches.demo.colours import mix
from swatches.demo.foliage import fern_frond, leaf_blade, stalk
from swatches.demo.layouts import half_drop, spins, toss
from swatches.demo.outlines import leaf, petal, ribbon, spline, turns
from swatches.demo.recipe import Recipe, recipe

__all__ = ["tonal"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]


def tonal() -> tuple[Recipe, ...]:
    """The quiet prints."""
    return (
        recipe(
            "frost fern",
            "tone-on-tone",
            "White ferns on cream: a light that is not a blank.",
            frost_fern,
            repeat_in=(4, 4),
            motif_in=Fraction(5, 4),
        ),
        recipe(
            "wet slate",
            "tone-on-tone",
            "Tendrils on the darkest blue: reads as a solid from across a table.",
            wet_slate,
            repeat_in=(4, 4),
            motif_in=Fraction(1),
        ),
        recipe(
            "rose madder",
            "tone-on-tone",
            "Small roses, red on berry red.",
            rose_madder,
            repeat_in=(2, 2),
            motif_in=Fraction(1, 2),
        ),
        recipe(
            "poppy seed",
            "tone-on-tone",
            "Seeds spilt on coral, some a little lighter, some a little darker.",
            poppy_seed,
            repeat_in=(2, 2),
            motif_in=Fraction(1, 8),
        ),
        recipe(
            "dandelion clock",
            "low-volume",
            "Grey seeds on the wind, on chalk white.",
            dandelion_clock,
            repeat_in=(4, 4),
            motif_in=Fraction(1, 2),
        ),
        recipe(
            "oat scatter",
            "low-volume",
            "Short straws of tan and grey on cream.",
            oat_scatter,
            repeat_in=(2, 2),
            motif_in=Fraction(1, 4),
        ),
        recipe(
            "cold frame",
            "low-volume",
            "A leaning lattice of fine blue-grey lines on mist.",
            cold_frame,
            repeat_in=(2, 2),
            motif_in=Fraction(1, 2),
        ),
    )


def frost_fern(size_in: Size) -> Light:
    """One repeat of the ferns."""
    canvas = blank(size_in, mix("cream", 70, "chalk"))
    places = toss((4, 4), [0.5] * 18 + [0.1] * 40, seed=121, tries=160)
    for number, (at, spin) in enumerate(zip(places[:18], spins(18, seed=122, size_in=1.15), strict=True)):
        curve = 0.25 if number % 2 else -0.25
        fern_frond(canvas, complex(at - spin / 2), complex(spin), "chalk", pairs=10, curve=curve)
    for at in places[18:]:
        dot(canvas, complex(at), 0.03, mix("oat", 55, "cream"))
    return canvas.light()


def wet_slate(size_in: Size) -> Light:
    """One repeat of the tendrils."""
    canvas = blank(size_in, "dusk")
    ink, deep = mix("dusk", 82, "cornflower"), mix("dusk", 70, "soot")
    places = toss((4, 4), [0.42] * 20 + [0.12] * 40, seed=131, tries=160)
    for number, (at, spin) in enumerate(zip(places[:20], spins(20, seed=132, size_in=0.46), strict=True)):
        t = np.linspace(0, 1, 40)
        whorl = (1 - 0.86 * t) * np.exp(1j * (1 if number % 2 else -1) * 8.5 * t)
        canvas.fill(complex(at) + complex(spin) * ribbon(whorl, 0.1 * (1.1 - t)), ink)
        for turn in (0.55, -0.55):
            tip = complex(at + spin)
            leaf_blade(canvas, tip, complex(spin * np.exp(1j * turn)) * 0.75, (ink, deep))
    for at in places[20:]:
        dot(canvas, complex(at), 0.03, ink)
    return canvas.light()


def rose_madder(size_in: Size) -> Light:
    """One repeat of the red roses."""
    canvas = blank(size_in, "berry")
    places = toss((2, 2), [0.25] * 13 + [0.12] * 18 + [0.05] * 24, seed=141, tries=160)
    ink, deep = mix("rosehip", 55, "berry"), mix("berry", 65, "peat")
    for at, spin in zip(places[:13], spins(13, seed=142, size_in=0.25), strict=True):
        blossom(canvas, complex(at), complex(spin), Petals(deep, ink, deep, mix("coral", 50, "rosehip")))
    for at, spin in zip(places[13:31], spins(18, seed=143, size_in=0.24), strict=True):
        leaf_blade(canvas, complex(at - spin / 2), complex(spin), (deep, ink), breadth=0.5)
    for at in places[31:]:
        dot(canvas, complex(at), 0.02, ink)
    return canvas.light()


def poppy_seed(size_in: Size) -> Light:
    """One repeat of the seeds."""
    canvas = blank(size_in, "coral")
    inks = (mix("coral", 65, "blush"), mix("coral", 72, "rosehip"), mix("coral", 80, "butter"))
    places = toss((2, 2), [0.06] * 130, seed=191, tries=60)
    for number, (at, spin) in enumerate(zip(places, spins(130, seed=192, size_in=0.11), strict=True)):
        seed = petal(0.55, fullness=0.25, points=20) - 0.5
        canvas.fill(complex(at) + complex(spin) * seed, inks[number % 3])
    return canvas.light()


def dandelion_clock(size_in: Size) -> Light:
    """One repeat of the drifting seeds."""
    canvas = blank(size_in, "chalk")
    places = toss((4, 4), [0.22] * 44 + [0.05] * 60, seed=171, tries=120)
    for number, at in enumerate(places[:44]):
        spin = complex(0.42 * np.exp(1j * (-1.1 + 0.45 * np.sin(2.4 * number))))
        ink = ("pebble", mix("stone", 60, "pebble"))[number % 2]
        foot, crown = complex(at) - spin / 2, complex(at) + 0.2 * spin
        canvas.fill(foot - 0.12 * spin + 0.3 * spin * leaf(0.3), "stone")
        stalk(canvas, np.linspace(foot, crown, 5), 0.012, ink)
        for lean in np.linspace(-1.1, 1.1, 7):
            hair = spline(
                np.array(
                    [crown, crown + 0.22 * spin * np.exp(0.8j * lean), crown + 0.4 * spin * np.exp(1j * lean)]
                )
            )
            canvas.fill(ribbon(hair, 0.011), ink)
            dot(canvas, complex(hair[-1]), 0.012, ink)
    for at in places[44:]:
        dot(canvas, complex(at), 0.012, "pebble")
    return canvas.light()


def oat_scatter(size_in: Size) -> Light:
    """One repeat of the straws."""
    canvas = blank(size_in, mix("cream", 50, "chalk"))
    places = toss((2, 2), [0.1] * 60, seed=181, tries=100)
    inks = (mix("acorn", 45, "oat"), "pebble", mix("straw", 60, "cream"), "oat")
    for number, (at, spin) in enumerate(zip(places, spins(60, seed=182, size_in=0.2), strict=True)):
        straw = np.linspace(complex(at - spin / 2), complex(at + spin / 2), 4)
        canvas.fill(ribbon(straw, 0.028), inks[number % 4])
        if number % 3 == 0:
            canvas.fill(ribbon(complex(at) + 1j * (straw - complex(at)), 0.028), inks[number % 4])
    return canvas.light()


def cold_frame(size_in: Size) -> Light:
    """One repeat of the lattice."""
    canvas = blank(size_in, mix("mist", 60, "chalk"))
    ink = mix("slate", 35, "mist")
    for shift in np.arange(4) / 2:
        for slope in (1, -1):
            canvas.fill(ribbon(np.array([0, 2 + 2j * slope]) + 1j * shift, 0.02), ink)
    knots = half_drop((2, 2), across=8, down=4) - 0.125 - 0.25j
    for at in knots:
        for turn in turns(4):
            canvas.fill(complex(at) + 0.1 * turn * leaf(0.5), mix("slate", 25, "sky"))
        dot(canvas, complex(at), 0.02, mix("straw", 60, "chalk"))
    return canvas.light()
