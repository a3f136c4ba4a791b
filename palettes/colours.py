"""A colour from what a maker types, and a plain name for a colour that is seen."""

from __future__ import annotations

import re
from difflib import get_close_matches
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.css_names import HEX_OF_NAME
from palettes.difference import ciede2000
from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin

__all__ = ["ColourError", "colour_name", "parse_colour"]

_HEX = re.compile(r"#(?:[0-9a-f]{3}|[0-9a-f]{6})", re.IGNORECASE)

_NOT_SPOKEN = frozenset(
    {
        # The standard's "dark grey" is lighter than its "grey", which would mislead about value.
        *("dark gray", "dark grey"),
        # Second names and spellings of a colour that is already there.
        *(
            "aqua",
            "fuchsia",
            "gray",
            "dim gray",
            "light gray",
            "slate gray",
            "dark slate gray",
            "light slate gray",
        ),
        # Named for people, or needing explanation; the neighbours in the table serve as well.
        *("indian red", "navajo white", "rebecca purple", "blanched almond", "papaya whip", "gainsboro"),
    }
)


class ColourError(ValueError):
    """A colour that cannot be read. Names the field, shows what was typed and how to mend it."""

    def __init__(self, field: str, why: str, *, mend: str) -> None:
        self.field = field
        self.mend = mend
        super().__init__(f"{field}: {why}.")


def parse_colour(text: str, *, field: str = "colour") -> NDArray[np.uint8]:
    """The sRGB codes (3,) of a colour written as "#rgb", "#rrggbb" or a CSS colour name.

    Capitals, spaces, hyphens and underscores in a name do not matter.
    Raises: ColourError with the field, what was typed and the nearest names.
    Source: CSS Color Module Level 4, sections 5.2 and 6.1.
    Example: parse_colour("Light sea green") -> [32, 178, 170]
    """
    typed = text.strip()
    if _HEX.fullmatch(typed):
        return _codes(typed[1:].lower())
    if typed.startswith("#"):
        raise ColourError(
            field,
            f"{_shown(text)} is not a colour in hexadecimal digits",
            mend="Write # and three or six of the digits 0-9 and a-f, such as #1f4e79.",
        )
    name = re.sub(r"[\s_-]+", "", typed).lower()
    known = {spoken.replace(" ", ""): code for spoken, code in HEX_OF_NAME.items()}
    if name in known:
        return _codes(known[name])
    raise ColourError(field, f"{_shown(text)} is not a colour name", mend=_mend(name, known=tuple(known)))


def colour_name(codes_srgb8: ArrayLike) -> str:
    """The CSS colour name, in spaced words, that looks most like sRGB codes (3,).

    Nearest by CIEDE2000. A few names are never given, such as "dark grey", which in the standard is
    lighter than "grey"; where two names share a colour the commoner is given.
    Example: colour_name((31, 78, 121)) -> "dark slate blue"
    """
    names, labs = _spoken()
    lab = _lab(np.asarray(codes_srgb8, dtype=np.uint8))
    return names[int(np.argmin(ciede2000(labs, lab)))]


@cache
def _spoken() -> tuple[tuple[str, ...], NDArray[np.float64]]:
    """The names that are given, and their CIELAB colours (n, 3)."""
    names = tuple(name for name in HEX_OF_NAME if name not in _NOT_SPOKEN)
    labs = _lab(np.stack([_codes(HEX_OF_NAME[name]) for name in names]))
    labs.setflags(write=False)
    return names, labs


def _lab(codes_srgb8: NDArray[np.uint8]) -> NDArray[np.float64]:
    return np.asarray(lab_from_lin(srgb8_to_lin(codes_srgb8)), dtype=np.float64)


def _codes(digits: str) -> NDArray[np.uint8]:
    """The codes of three or six hexadecimal digits; of three each is doubled."""
    full = digits if len(digits) == 6 else "".join(2 * digit for digit in digits)
    return np.frombuffer(bytes.fromhex(full), dtype=np.uint8).copy()


def _shown(text: str) -> str:
    """What was typed, in quotes, cut where it is long; line ends and the like are escaped."""
    return repr(text if len(text) <= 40 else text[:40] + "…")


def _mend(name: str, *, known: tuple[str, ...]) -> str:
    near = get_close_matches(name, known, n=3)
    if near:
        return f"Did you mean {' or '.join(near)}? Or write it as six hexadecimal digits, such as #1f4e79."
    return "Write a CSS colour name such as navy or wheat, or six hexadecimal digits such as #1f4e79."
