"""Cloth whose pattern is in its yarns: ginghams, checks, plaids and stripes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.demo.canvas import PPI, pixels
from swatches.demo.colours import ink_lin
from swatches.demo.recipe import Draw, Recipe, recipe
from swatches.demo.weave import over

__all__ = ["bands", "woven", "yarn_dyed"]

Size = tuple[Fraction, Fraction]
Light = NDArray[np.float32]
Band = tuple[Fraction, str]

_CROSSING = 0.42
"""How far one yarn hides the other where it lies on top: light comes through cotton from below."""


def yarn_dyed() -> tuple[Recipe, ...]:
    """The ginghams, checks, plaids and stripes."""
    quarter, half = Fraction(1, 4), Fraction(1, 2)
    return (
        recipe(
            "picnic cloth",
            "gingham",
            "Red and white gingham with quarter-inch cells.",
            _check([(quarter, "chalk"), (quarter, "rosehip")]),
            repeat_in=(2, 2),
            motif_in=quarter,
        ),
        recipe(
            "bee veil",
            "gingham",
            "Blue and white gingham with one-inch cells.",
            _check([(Fraction(1), "chalk"), (Fraction(1), "mill blue")]),
            repeat_in=(2, 2),
            motif_in=1,
        ),
        recipe(
            "apron check",
            "tiny check",
            "Black and cream, an eighth of an inch to a cell.",
            _check([(Fraction(1, 8), "cream"), (Fraction(1, 8), "soot")]),
            repeat_in=(1, 1),
            motif_in=Fraction(1, 8),
        ),
        recipe(
            "gate plaid",
            "plaid",
            "Moss and sage crossed with honey and brick on oat, for the top of a gate.",
            _check(_GATE),
            repeat_in=(4, 4),
            motif_in=2,
        ),
        recipe(
            "winter rug",
            "plaid",
            "A dark plaid of berry, dusk and pine with a line of straw.",
            _check(_RUG),
            repeat_in=(6, 6),
            motif_in=3,
        ),
        recipe(
            "mill stripe",
            "ticking stripe",
            "Ticking: one broad and two narrow navy lines on cream, every inch.",
            _stripe(_TICKING, warp_shows=0.95, weft="cream"),
            repeat_in=(1, 2),
            motif_in=Fraction(5, 16),
        ),
        recipe(
            "market awning",
            "awning stripe",
            "Green and cream, each an inch wide.",
            _stripe([(Fraction(1), "leaf"), (Fraction(1), "cream")], warp_shows=1.0, weft="cream"),
            repeat_in=(2, 2),
            motif_in=1,
        ),
        recipe(
            "deck chair",
            "awning stripe",
            "Broad and narrow stripes of coral, straw, chalk and kingfisher.",
            _stripe(_DECK, warp_shows=1.0, weft="cream"),
            repeat_in=(4, 2),
            motif_in=half,
        ),
    )


def _sixteenths(*yarns: tuple[int, str]) -> list[Band]:
    return [(Fraction(count, 16), ink) for count, ink in yarns]


_TICKING = _sixteenths(
    (4, "cream"),
    (1, "mill blue"),
    (1, "cream"),
    (5, "mill blue"),
    (1, "cream"),
    (1, "mill blue"),
    (3, "cream"),
)
_DECK = _sixteenths(
    *((8, "coral"), (2, "chalk"), (4, "straw"), (2, "chalk"), (8, "coral"), (4, "chalk"), (3, "kingfisher")),
    *(
        (3, "chalk"),
        (3, "kingfisher"),
        (3, "chalk"),
        (12, "straw"),
        (3, "chalk"),
        (3, "kingfisher"),
        (6, "chalk"),
    ),
)
_GATE = _sixteenths(
    *(
        (10, "oat"),
        (3, "moss"),
        (2, "oat"),
        (14, "moss"),
        (2, "honey"),
        (14, "sage"),
        (2, "oat"),
        (3, "moss"),
    ),
    *((10, "oat"), (2, "brick"), (2, "brick")),
)
_RUG = _sixteenths(
    *(
        (16, "dusk"),
        (2, "berry"),
        (4, "dusk"),
        (22, "berry"),
        (1, "straw"),
        (22, "berry"),
        (4, "dusk"),
        (2, "berry"),
    ),
    *((16, "dusk"), (3, "pine"), (1, "straw"), (3, "pine")),
)


def bands(length_in: Fraction, yarns: Sequence[Band]) -> NDArray[np.float32]:
    """Linear light along a row of pixels, (n, 3): bands of the given widths over and over, each pixel
    with the exact share of every band it covers."""
    count = pixels(length_in)
    edges = np.cumsum([0.0] + [float(width * PPI) for width, _ in yarns])
    inks = np.array([ink_lin(ink) for _, ink in yarns])
    # The light summed up to any place is a straight line within each band, so differences are exact.
    summed = np.concatenate([np.zeros((1, 3)), np.cumsum(inks * np.diff(edges)[:, None], axis=0)])
    places = np.arange(count + 1, dtype=np.float64)
    whole, part = np.divmod(places, edges[-1])
    upto = [whole * summed[-1, c] + np.interp(part, edges, summed[:, c]) for c in range(3)]
    return np.diff(np.stack(upto, axis=1), axis=0).astype(np.float32)


def woven(warp_lin: NDArray[np.float32], weft_lin: NDArray[np.float32], *, warp_shows: float = 0.5) -> Light:
    """Plain weave of yarns dyed beforehand: warp along x (w, 3), weft along y (h, 3) -> (h, w, 3)."""
    height, width = len(weft_lin), len(warp_lin)
    swing = 2 * min(warp_shows, 1 - warp_shows) * _CROSSING
    share = (warp_shows + swing * over(height, width))[..., None].astype(np.float32)
    return weft_lin[:, None] + share * (warp_lin[None] - weft_lin[:, None])


def _check(yarns: Sequence[Band]) -> Draw:
    """The same bands in warp and weft."""

    def draw(size_in: Size) -> Light:
        return woven(bands(size_in[0], yarns), bands(size_in[1], yarns))

    return draw


def _stripe(yarns: Sequence[Band], *, warp_shows: float, weft: str) -> Draw:
    """Bands along the length of the cloth, in a weave that shows the warp most."""

    def draw(size_in: Size) -> Light:
        plain = bands(size_in[1], [(size_in[1], weft)])
        return woven(bands(size_in[0], yarns), plain, warp_shows=warp_shows)

    return draw
