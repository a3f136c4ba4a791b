"""The cloth that a block is first seen in, before the maker has chosen any."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

__all__ = ["first_choice"]

_FOR_BLOCK: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "orchard lantern": {
            "background": "frost fern",
            "petal": "poppy seed",
            "cup": "rose madder",
            "bud": "poppy seed",
            "heart": "honey",
            "leaf": "moss bank",
            "stem": "clover",
            "meadow": "clover field",
        },
        "sawtooth star": {"background": "oat scatter", "point": "river ripple", "centre": "apple blossom"},
        "nine patch": {"light": "seed packet", "dark": "night hedge"},
    }
)
"""Built-in block, role, demo cloth."""

_IN_TURN = (
    "cream",
    "rose madder",
    "moss bank",
    "river ripple",
    "honeycomb",
    "plum dye",
    "night hedge",
    "poppy seed",
)
"""For roles of any other block: a light ground first, then cloths that differ in value and colour."""


def first_choice(block: str, roles: Iterable[str]) -> dict[str, str]:
    """A demo cloth by name for each role: our own choice for a built-in block, else some in turn.

    Example: first_choice("my block", ["ground", "leaf"]) -> {"ground": "cream", "leaf": "rose madder"}
    """
    plain = " ".join(block.casefold().replace("-", " ").split())
    known = _FOR_BLOCK.get(plain, {})
    return {role: known.get(role, _IN_TURN[at % len(_IN_TURN)]) for at, role in enumerate(roles)}
