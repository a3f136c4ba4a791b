"""Ditsies: tiny flowers, tossed close."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.blooms import Petals, blossom, bud, clover_head, daisy, dot
from swatches.demo.canvas import Canvas, blank
from swatches.demo.foliage import leaf_blade, spray, trefoil
from swatches.demo.layouts import spins, toss
from swatches.demo.outlines import petal, turns
from swatches.demo.recipe import Recipe, recipe

__all__ = ["ditsies"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]


def ditsies() -> tuple[Recipe, ...]:
    """The small all-over flower prints."""
    return (
        recipe(
            "clover field",
            "ditsy",
            "Pink and white clover among its own leaves, on fern green.",
            clover_field,
            repeat_in=(4, 4),
            motif_in=Fraction(1, 2),
        ),
        recipe(
            "seed packet",
            "ditsy",
            "Five sorts of seed sown broadcast: tiny flowers of every colour on cream.",
            seed_packet,
            repeat_in=(4, 4),
            motif_in=Fraction(3, 8),
        ),
        recipe(
            "night hedge",
            "ditsy",
            "Small pink dog roses in a dark blue hedge.",
            night_hedge,
            repeat_in=(4, 4),
            motif_in=Fraction(3, 8),
        ),
        recipe(
            "bilberry bank",
            "ditsy",
            "Bilberries with their leaves, and small white stars, on duck-egg green.",
            bilberry_bank,
            repeat_in=(2, 2),
            motif_in=Fraction(1, 4),
        ),
    )


def clover_field(size_in: Size) -> Light:
    """One repeat of the clover."""
    canvas = blank(size_in, "fern")
    places = toss((4, 4), [0.27] * 22 + [0.2] * 30 + [0.07] * 40, seed=51, tries=120)
    pink = Petals("foxglove", "petal pink", "berry", "leaf")
    white = Petals("chalk", "blush", "sage", "leaf")
    for at, spin in zip(places[22:52], spins(30, seed=52, size_in=0.2), strict=True):
        trefoil(canvas, complex(at), complex(spin), ("clover", "sage"))
    for number, (at, spin) in enumerate(zip(places[:22], spins(22, seed=53, size_in=0.34), strict=True)):
        at, spin = complex(at), complex(spin)
        for side in (-2.5, 2.5):
            leaf_blade(canvas, at - 0.3 * spin, spin * np.exp(1j * side) * 0.8, ("sprout", "clover"))
        clover_head(canvas, at - 0.3 * spin, spin, white if number % 3 == 0 else pink)
    for at in places[52:]:
        dot(canvas, complex(at), 0.022, "straw")
    return canvas.light()


def seed_packet(size_in: Size) -> Light:
    """One repeat of the many-coloured ditsy."""
    canvas = blank(size_in, "cream")
    places = toss((4, 4), [0.22] * 50 + [0.1] * 60, seed=61, tries=120)
    sorts = (
        Petals("coral", "rosehip", "berry", "straw"),
        Petals("cornflower", "sky", "mill blue", "straw"),
        Petals("honey", "straw", "marigold", "bark"),
        Petals("foxglove", "petal pink", "berry", "straw"),
        Petals("iris", "lavender", "plum", "straw"),
    )
    for number, (at, spin) in enumerate(zip(places[:50], spins(50, seed=62, size_in=0.19), strict=True)):
        _leafy_flower(
            canvas,
            complex(at),
            complex(spin),
            sorts[number % 5],
            ("clover", "leaf"),
            open_eye=number % 2 == 0,
        )
    for number, at in enumerate(places[50:]):
        if number % 3:
            dot(canvas, complex(at), 0.028, ("coral", "kingfisher", "honey")[number % 2])
        else:
            leaf_blade(canvas, complex(at) - 0.08j, 0.16j, ("sprout", "clover"))
    return canvas.light()


def night_hedge(size_in: Size) -> Light:
    """One repeat of the dark ditsy."""
    canvas = blank(size_in, "dusk")
    places = toss((4, 4), [0.24] * 36 + [0.13] * 40, seed=71, tries=120)
    for at, spin in zip(places[:36], spins(36, seed=72, size_in=0.34), strict=True):
        for turn in (1, -1):
            spray(canvas, complex(at), complex(turn * spin), ("kingfisher", "slate"), pairs=2, leaf_share=0.5)
    rose = Petals("petal pink", "blush", "foxglove", "honey")
    for at, spin in zip(places[:36], spins(36, seed=73, size_in=0.15), strict=True):
        blossom(canvas, complex(at), complex(spin), rose)
    for number, at in enumerate(places[36:]):
        dot(canvas, complex(at), 0.035, ("coral", "slate", "honey")[number % 3])
    return canvas.light()


def bilberry_bank(size_in: Size) -> Light:
    """One repeat of the bilberries."""
    canvas = blank(size_in, "duck egg")
    places = toss((2, 2), [0.17] * 24 + [0.08] * 24, seed=81, tries=160)
    for number, (at, spin) in enumerate(zip(places[:24], spins(24, seed=82, size_in=0.24), strict=True)):
        at, spin = complex(at), complex(spin)
        skin = (
            Petals("cornflower", "mill blue", "river", "honey"),
            Petals("sky", "cornflower", "river", "honey"),
        )
        bud(canvas, at - spin / 2, spin, skin[number % 2], cup="leaf")
        for side in (-2.3, 2.3):
            leaf_blade(canvas, at - spin / 2, spin * np.exp(1j * side) * 0.7, ("clover", "leaf"))
    for at in places[24:]:
        for turn in turns(4):
            canvas.fill(complex(at) + 0.05 * turn * petal(0.6), "chalk")
        dot(canvas, complex(at), 0.014, "honey")
    return canvas.light()


def _leafy_flower(
    canvas: Canvas, at: complex, spin: complex, inks: Petals, greens: tuple[str, str], *, open_eye: bool
) -> None:
    """A tiny flower with two leaves behind it; a flat blossom if `open_eye`, else a small daisy."""
    for side in (0.5, 2.0):
        leaf_blade(canvas, at + 0.5 * spin * np.exp(1j * side), spin * np.exp(1j * side) * 0.95, greens)
    if open_eye:
        blossom(canvas, at, spin, inks)
    else:
        daisy(canvas, at, spin, inks, petals=8)
