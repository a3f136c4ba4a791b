"""The inks and yarns of the demo cloth, by the names of the valley it comes from."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin

__all__ = ["ink_lin", "ink_names", "mix"]

_INKS = {
    # pale grounds
    "chalk": "#f7f4ec",
    "cream": "#f4e9d2",
    "oat": "#e9dcc3",
    "butter": "#f8e8ad",
    "blush": "#f6d9d0",
    "mist": "#dfe6e6",
    "duck egg": "#cfe3dc",
    "sky": "#c3dcea",
    "pale sage": "#d6dfc4",
    "lilac": "#dcd3e6",
    # yellows and browns
    "straw": "#ecd07a",
    "honey": "#e6ac36",
    "marigold": "#ee8f2b",
    "mustard": "#c9952b",
    "acorn": "#a9713d",
    "bark": "#6b4a34",
    "peat": "#3f2c24",
    # pinks and reds
    "apricot": "#f5b285",
    "petal pink": "#f0a9ae",
    "coral": "#ea7360",
    "foxglove": "#d9568a",
    "rosehip": "#c8383c",
    "berry": "#8f1f3f",
    "brick": "#a8502f",
    # purples and blues
    "lavender": "#a893cc",
    "iris": "#6d5aa8",
    "plum": "#5b2a55",
    "cornflower": "#4f7cc4",
    "river": "#2f6f9c",
    "kingfisher": "#16828c",
    "slate": "#5f7382",
    "mill blue": "#284a7a",
    "dusk": "#1f2c4d",
    # greens
    "sage": "#a7b88d",
    "mint": "#8fc6a8",
    "sprout": "#93b548",
    "clover": "#5f9440",
    "leaf": "#3f7f4c",
    "moss": "#6d7a35",
    "fern": "#2d6344",
    "pine": "#1d4237",
    # greys
    "pebble": "#cdc8bd",
    "stone": "#a39d92",
    "soot": "#2e2d30",
}


def ink_names() -> tuple[str, ...]:
    """The names of every ink, light grounds first, then round the circle."""
    return tuple(_INKS)


def mix(ink: str, per_cent: int, other: str) -> str:
    """The name of a mixture in linear light: so many parts of a hundred of one ink, the rest another.

    `ink` may be a mixture itself. Example: mix("clover", 30, "cream") -> "clover/30/cream"
    """
    return f"{ink}/{per_cent}/{other}"


@lru_cache(maxsize=256)
def ink_lin(ink: str) -> tuple[float, float, float]:
    """The linear light, each part 0 to 1, of an ink or of a mixture, by name."""
    name, *rest = ink.split("/")
    light = _plain_lin(name)
    for per_cent, other in zip(rest[::2], rest[1::2], strict=True):
        share = int(per_cent) / 100
        light = share * light + (1 - share) * _plain_lin(other)
    red, green, blue = light.tolist()
    return red, green, blue


def _plain_lin(name: str) -> NDArray[np.float32]:
    code = _INKS[name]
    return srgb8_to_lin(np.array([int(code[i : i + 2], 16) for i in (1, 3, 5)], np.uint8))
