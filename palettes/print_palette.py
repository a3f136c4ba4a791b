"""The colours of a print as a maker can take them to the shop: named, measured, with what matches them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.colours import colour_name
from palettes.difference import ciede2000
from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from palettes.hues import Family, hue_family
from palettes.lightness import lab_from_lin
from palettes.main_colours import main_colours

__all__ = ["Match", "PaletteColour", "match_colours", "palette_of"]

_PLACES = 20_000
"""Points of the picture that the colours are counted from, at most."""


@dataclass(frozen=True, slots=True)
class PaletteColour:
    """One colour of a print."""

    name: str
    """The nearest CSS colour name in spaced words; a shade is numbered where two colours share one."""
    hex: str
    """#rrggbb."""
    share: float
    """How much of the print it covers, 0 to 1."""
    lab: tuple[float, float, float]
    """CIELAB, D65."""
    family: Family


@dataclass(frozen=True, slots=True)
class Match:
    """Something in a list that is near a colour."""

    index: int
    """Its place in the list."""
    dE00: float  # noqa: N815
    lighter_L: float  # noqa: N815
    """How much lighter it is than the colour, in L*; below 0 darker."""


def palette_of(
    tile_srgb8: NDArray[np.uint8], *, most: int = 8, least_share: float = 0.01
) -> tuple[PaletteColour, ...]:
    """The main colours of a picture of cloth (h, w, 3), the commonest first; their shares sum to 1."""
    flat = np.asarray(tile_srgb8).reshape(-1, 3)
    # Every so many points, in a step that shares no factor with a picture's width.
    thin = flat[:: max(1, -(-len(flat) // _PLACES)) | 1]
    light, shares = main_colours(srgb8_to_lin(thin), most=most, least_share=least_share)
    labs = np.asarray(lab_from_lin(light), dtype=np.float64)
    codes = lin_to_srgb8(light)
    names = _told_apart([colour_name(code) for code in codes])
    return tuple(
        PaletteColour(
            name,
            "#" + bytes(code.tolist()).hex(),
            float(share),
            (float(lab[0]), float(lab[1]), float(lab[2])),
            hue_family(lab),
        )
        for name, code, share, lab in zip(names, codes, shares, labs, strict=True)
    )


def match_colours(
    wanted_lab: ArrayLike, list_lab: ArrayLike, *, count: int = 3, darker_L: float = 0.0
) -> tuple[tuple[Match, ...], ...]:
    """For each wanted colour (n, 3) the `count` nearest of a list (m, 3) in CIEDE2000, nearest first.

    darker_L: look for what is this much darker in L*, as for a thread that is to vanish into its cloth:
    a thread casts no shadow of its own and looks a little lighter sewn than wound.
    """
    wanted = np.atleast_2d(np.asarray(wanted_lab, dtype=np.float64))
    listed = np.atleast_2d(np.asarray(list_lab, dtype=np.float64))
    aim = wanted - (darker_L, 0, 0)
    gaps = ciede2000(aim[:, None], listed[None])
    found = []
    for row, colour in zip(gaps, wanted, strict=True):
        nearest = np.argsort(row, kind="stable")[:count]
        found.append(
            tuple(
                Match(int(i), float(ciede2000(colour, listed[i])), float(listed[i, 0] - colour[0]))
                for i in nearest
            )
        )
    return tuple(found)


def _told_apart(names: Sequence[str]) -> list[str]:
    told: list[str] = []
    for index, name in enumerate(names):
        times = names[: index + 1].count(name)
        told.append(name if times == 1 else f"{name} {times}")
    return told
