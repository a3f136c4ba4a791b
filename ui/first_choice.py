"""The cloth that a block is first seen in, before the maker has chosen any."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

__all__ = ["first_choice"]

_FOR_BLOCK: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "sawtooth star": {"background": "oat scatter", "point": "rose madder", "centre": "apple blossom"},
        "nine patch": {"light": "seed packet", "dark": "wet slate"},
    }
)
"""Built-in block, role, demo cloth."""

_FOR_ROLE: Mapping[str, str] = MappingProxyType(
    {
        "background": "frost fern",
        "ground": "frost fern",
        "sky": "frost fern",
        "light": "oat scatter",
        "dark": "wet slate",
        "medium": "river ripple",
        "petal": "poppy seed",
        "bud": "poppy seed",
        "cup": "rose madder",
        "heart": "honey",
        "centre": "honey",
        "middle": "honey",
        "leaf": "moss bank",
        "stem": "clover",
        "handle": "clover",
        "meadow": "clover field",
        "hedge": "night hedge",
        "basket": "bark",
        "sash": "oat scatter",
        "cornerstone": "rose madder",
        "border": "night hedge",
        "triangle": "dandelion clock",
        "binding": "wet slate",
    }
)
"""What a role of this name is given in any block: a light ground, and petals and leaves that show on it."""

_IN_TURN = ("rose madder", "river ripple", "honeycomb", "night hedge", "poppy seed", "moss bank", "plum dye")
"""For roles of other names: cloths that differ in value and colour."""


def first_choice(block: str, roles: Iterable[str]) -> dict[str, str]:
    """A demo cloth by name for each role: by block, else by the role's own name, else some in turn.

    Example: first_choice("my block", ["leaf", "wing"]) -> {"leaf": "moss bank", "wing": "rose madder"}
    """
    plain = " ".join(block.casefold().replace("-", " ").split())
    known = {**_FOR_ROLE, **_FOR_BLOCK.get(plain, {})}
    chosen: dict[str, str] = {}
    for role in roles:
        free = [name for name in _IN_TURN if name not in chosen.values()] or list(_IN_TURN)
        chosen[role] = known.get(role.casefold(), free[0])
    return chosen
