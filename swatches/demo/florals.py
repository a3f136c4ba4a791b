"""Large and medium florals: hand-placed blooms, with leaves behind them and small flowers between."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.blooms import Petals, blossom, bud, daisy, dot, peony, poppy
from swatches.demo.canvas import Canvas, blank
from swatches.demo.creatures import bee
from swatches.demo.foliage import berry_twig, fern_frond, leaf_blade, spray, stalk
from swatches.demo.layouts import spins, toss
from swatches.demo.outlines import ribbon, spline, turns
from swatches.demo.recipe import Recipe, recipe

__all__ = ["florals"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]

_GREENS = ("leaf", "fern")
_SOFT_GREENS = ("sage", "clover")


def florals() -> tuple[Recipe, ...]:
    """The large and medium florals."""
    return (
        recipe(
            "orchard lane",
            "large floral",
            "Coral and pink peonies as big as saucers, with buds and berries, on cream.",
            orchard_lane,
            repeat_in=(10, 10),
            motif_in=Fraction(17, 4),
        ),
        recipe(
            "late garden",
            "large floral",
            "Dahlias in lavender, foxglove and honey against the dark of the hedge.",
            late_garden,
            repeat_in=(8, 10),
            motif_in=Fraction(15, 4),
        ),
        recipe(
            "bee garden",
            "medium floral",
            "Daisies, small roses and borage on butter yellow, and the bees that came for them.",
            bee_garden,
            repeat_in=(6, 6),
            motif_in=Fraction(3, 2),
        ),
        recipe(
            "apple blossom",
            "medium floral",
            "Branches in flower against a river-blue sky.",
            apple_blossom,
            repeat_in=(6, 8),
            motif_in=Fraction(3, 2),
        ),
    )


def orchard_lane(size_in: Size) -> Light:
    """One repeat of the peony print."""
    canvas = blank(size_in, "cream")
    blooms = ((2.6 + 2.7j, 2.12), (7.5 + 7.6j, 1.8), (7.6 + 2.4j, 1.5), (2.4 + 7.7j, 1.5))
    for number, (at, radius) in enumerate(blooms):
        _ruff(canvas, at, radius, _GREENS, _SOFT_GREENS, seed=number, leaves=7 if number < 2 else 5)
    twigs = (
        (4.5 + 5.0j, 1.2 - 0.5j),
        (9.8 + 9.3j, 0.4 + 1.4j),
        (0.6 + 5.4j, -1.1 - 0.4j),
        (5.0 + 0.2j, 0.5 + 1.3j),
    )
    for at, spin in twigs:
        berry_twig(canvas, at, spin, ("moss", "rosehip", "blush"))
    pink = Petals("blush", "petal pink", "coral", "honey")
    coral = Petals("petal pink", "coral", "rosehip", "honey")
    peony(canvas, blooms[0][0], 2.12, coral, seed=11)
    peony(canvas, blooms[1][0], 1.8, pink, seed=12)
    poppy(canvas, blooms[2][0], 1.45j, Petals("apricot", "marigold", "brick", "peat"), seed=4)
    blossom(canvas, blooms[3][0], 1.45, Petals("petal pink", "chalk", "foxglove", "honey"))
    buds = Petals("petal pink", "coral", "rosehip", "honey")
    for at, root, spin in ((5.0 + 7.6j, 5.3 + 9.0j, -0.25 - 0.9j), (0.1 + 0.3j, 0.9 + 1.3j, -0.6 - 0.75j)):
        stalk(canvas, spline(np.array([root, (at + root) / 2 + 0.12, at])), 0.09, "fern")
        bud(canvas, at, spin, buds, cup="leaf")
    standing = [(at, radius * 1.1) for at, radius in blooms]
    standing += [(at + 0.7 * spin, 0.5) for at, spin in twigs] + [(5.0 + 7.4j, 0.6), (0.1 + 0.1j, 0.6)]
    small = toss((10, 10), [0.45] * 11, seed=5, standing=standing, tries=200)
    for at, spin in zip(small, spins(11, seed=6, size_in=0.45), strict=True):
        daisy(canvas, complex(at), complex(spin), Petals("chalk", "chalk", "honey", "acorn"), petals=9)
    return canvas.light()


def late_garden(size_in: Size) -> Light:
    """One repeat of the dahlia print."""
    canvas = blank(size_in, "pine")
    blooms = ((2.1 + 2.5j, 1.87), (6.1 + 7.4j, 1.75), (6.3 + 2.4j, 1.3), (1.9 + 7.5j, 1.4))
    for number, (at, radius) in enumerate(blooms):
        _ruff(canvas, at, radius, ("clover", "leaf"), ("leaf", "fern"), seed=20 + number, leaves=6)
    ferns = (
        (3.6 + 6.6j, 1.0 - 2.3j),
        (3.9 + 10.6j, 0.5 - 2.2j),
        (8.2 + 5.9j, -0.5 - 1.9j),
        (0.2 + 9.9j, 0.1 - 1.9j),
    )
    for number, (at, spin) in enumerate(ferns):
        fern_frond(canvas, at, spin, ("sage", "mint")[number % 2], pairs=13, curve=0.2 - 0.4 * (number % 2))
    lavender = Petals("lavender", "iris", "plum", "honey")
    foxglove = Petals("petal pink", "foxglove", "berry", "honey")
    peony(canvas, blooms[0][0], 1.87, lavender, seed=31, rings=5)
    peony(canvas, blooms[1][0], 1.75, foxglove, seed=32, rings=5)
    daisy(canvas, blooms[2][0], 1.3, Petals("straw", "honey", "marigold", "bark"), petals=13, double=True)
    daisy(canvas, blooms[3][0], 1.4j, Petals("lilac", "lavender", "iris", "honey"), petals=13, double=True)
    standing = [(at, radius * 1.15) for at, radius in blooms]
    small = toss((8, 10), [0.45] * 9 + [0.2] * 30, seed=9, standing=standing, tries=300)
    for at, spin in zip(small[:9], spins(9, seed=8, size_in=0.4), strict=True):
        blossom(canvas, complex(at), complex(spin), Petals("sky", "duck egg", "cornflower", "honey"))
    for at in small[9:]:
        dot(canvas, complex(at), 0.06, "honey")
    return canvas.light()


def bee_garden(size_in: Size) -> Light:
    """One repeat of the garden print with bees."""
    canvas = blank(size_in, "butter")
    places = toss((6, 6), [0.78] * 5 + [0.55] * 8 + [0.42] * 7 + [0.3] * 16, seed=41, tries=200)
    for at, spin in zip(places[:13], spins(13, seed=42, size_in=0.62), strict=True):
        for turn in turns(3, start_deg=25):
            spray(canvas, complex(at), complex(spin * turn) * 1.45, ("clover", "fern"), pairs=3)
    kinds = (
        Petals("chalk", "chalk", "honey", "marigold"),
        Petals("cornflower", "sky", "mill blue", "honey"),
        Petals("chalk", "mist", "straw", "honey"),
    )
    for number, (at, spin) in enumerate(
        zip(places[:5], spins(5, seed=43, size_in=0.74, vary=0.05), strict=True)
    ):
        daisy(canvas, complex(at), complex(spin), kinds[number % 3], petals=13, double=number % 3 == 1)
    pink = Petals("petal pink", "coral", "rosehip", "honey")
    for number, (at, spin) in enumerate(zip(places[5:13], spins(8, seed=44, size_in=0.5), strict=True)):
        if number % 2:
            peony(canvas, complex(at), complex(spin), pink, seed=number, rings=3)
        else:
            blossom(canvas, complex(at), complex(spin), Petals("lavender", "lilac", "iris", "honey"))
    for at, spin in zip(places[13:20], spins(7, seed=45, size_in=0.42, vary=0.1), strict=True):
        bee(canvas, complex(at), complex(spin))
    for at, spin in zip(places[20:], spins(16, seed=46, size_in=0.26), strict=True):
        leaf_blade(canvas, complex(at - spin / 2), complex(spin), ("sprout", "clover"))
    return canvas.light()


def apple_blossom(size_in: Size) -> Light:
    """One repeat of the branches in flower."""
    canvas = blank(size_in, "river")
    pale = Petals("petal pink", "blush", "foxglove", "honey")
    small = Petals("blush", "petal pink", "foxglove", "honey")
    for shift in (0j, 3 + 4j):
        # Ends where the other begins, so that the branch goes on across the whole cloth.
        knots = np.array([0, 1.1 - 0.5j, 1.4 - 1.7j, 2.1 - 2.5j, 2.5 - 3.5j]) + 0.4 + 5.2j + shift
        ends = (knots[-1:] - 3 + 4j, knots, knots[:2] + 3 - 4j)
        branch = spline(np.concatenate(ends), steps=12)[12:-12]
        canvas.fill(ribbon(branch, 0.2), "peat")
        canvas.fill(ribbon(branch - 0.02 - 0.02j, 0.12), "acorn")
        for share, lean, length in (
            (0.14, -1, 1.5),
            (0.3, 1, 1.7),
            (0.5, -1, 1.6),
            (0.68, 1, 1.6),
            (0.86, -1, 1.4),
        ):
            root = complex(branch[int(share * (len(branch) - 1))])
            grow = length * np.exp(1j * (-np.pi / 3 + 0.85 * lean))
            twig = spline(np.array([root, root + 0.5 * grow - 0.08j, root + grow]))
            stalk(canvas, twig, 0.09, "acorn")
            for at, turn in ((0.3, -1.0), (0.55, 1.1), (0.62, -1.0), (0.98, 0.75), (1.0, -0.7)):
                spin = grow / length * np.exp(1j * turn)
                leaf_blade(
                    canvas, root + at * grow, spin, ("mint", "sage"), breadth=0.36, bend=0.1 * lean, veins=4
                )
            blossom(canvas, root + grow, 0.62 * np.exp(1j * lean * share), pale)
            blossom(
                canvas,
                root + 0.28 * grow,
                0.42 * np.exp(2j * share),
                Petals("blush", "chalk", "foxglove", "honey"),
            )
            tip = root + 0.55 * grow + 0.7 * grow / length * np.exp(-1j * lean)
            stalk(canvas, np.linspace(root + 0.5 * grow, tip, 6), 0.05, "acorn")
            bud(canvas, tip, 0.4 * grow / length * np.exp(-1j * lean), small, cup="sage")
    return canvas.light()


def _ruff(
    canvas: Canvas,
    at: complex,
    radius: float,
    inks: tuple[str, str],
    soft: tuple[str, str],
    *,
    seed: int,
    leaves: int,
) -> None:
    """Leaves that stand out from behind a bloom all round, and softer sprays between them."""
    rng = np.random.default_rng(seed)
    start = float(rng.uniform(0, 360))
    for number, turn in enumerate(turns(leaves, start_deg=start + 180 / leaves)):
        spin = turn * (0.75 + 0.3 * radius) * rng.uniform(0.8, 1.0)
        spray(
            canvas, at + turn * radius * 0.85, complex(spin), soft, pairs=4, curve=0.14 - 0.28 * (number % 2)
        )
    for turn in turns(leaves, start_deg=start):
        spin = turn * np.exp(1j * rng.uniform(-0.2, 0.2)) * radius * rng.uniform(0.75, 0.95)
        bend = float(rng.choice([-0.14, 0.14]))
        leaf_blade(canvas, at + turn * radius * 0.72, complex(spin), inks, breadth=0.5, bend=bend, veins=6)
