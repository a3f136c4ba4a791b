"""A swatch: one cloth as the tool knows it, upright, at a stated scale, in sRGB."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, get_args

import numpy as np
from numpy.typing import NDArray

from swatches.by_eye import AS_IT_IS, ByEye
from swatches.print_about import PrintAbout
from swatches.swatch_fields import LEAST_PPI, MOST_PPI, SwatchError, check_name, check_ppi

__all__ = [
    "LEAST_PPI",
    "MOST_PPI",
    "WIDTH_OF_FABRIC_IN",
    "ColourFrom",
    "Swatch",
    "SwatchError",
    "check_ppi",
    "make_swatch",
]

WIDTH_OF_FABRIC_IN = Fraction(42)
"""Quilting cotton is sold about 44 inches wide; 42 is what stays usable between the selvages."""

_LEAST_WIDTH_IN = Fraction(1)
_MOST_WIDTH_IN = Fraction(200)

Kind = Literal["print", "solid"]

ColourFrom = Literal["stated", "chart", "grey steps", "grey card", "white paper", "not measured"]
"""What the colours rest on: stated outright (drawn or typed), a known thing in the photograph, or nothing."""


@dataclass(frozen=True, slots=True, eq=False)
class Swatch:
    """One cloth. Build it with make_swatch, which checks the fields and locks the tile."""

    key: str
    """Stable id: a slug for demo cloth, the start of a content hash for photographs and solids."""
    name: str
    tile_srgb8: NDArray[np.uint8]
    """(H, W, 3), read-only: x across the width of fabric, y along the length (the grain)."""
    ppi: float
    """Pixels per inch of cloth, both ways."""
    repeats: bool
    """True: the tile wraps without a seam, the cloth goes on for ever. False: only this area is known."""
    width_of_fabric_in: Fraction
    scale_note: str
    """Where the scale came from and how sure it is, in plain words."""
    colour_note: str
    one_way: bool
    kind: Kind
    scale_off: float | None = None
    """Share by which the scale may be off in 19 of 20 cases; None where it is stated or unknown."""
    colour_from: ColourFrom = "stated"
    by_eye: ByEye = AS_IT_IS
    """A correction against the cloth in hand. The tile is without it: see swatches.trust.seen_swatch."""
    about: PrintAbout | None = None
    repeat_in: tuple[tuple[float, float], ...] = ()
    """The print's steps (x, y) in inches: two of a lattice, one of stripes or of one way only, or none."""
    photo: str = ""
    """Stands for the photograph it is from, whose errors its cloths share; "" where it is from none."""

    @property
    def width_in(self) -> float:
        """Width of the tile in inches of cloth."""
        return float(self.tile_srgb8.shape[1]) / self.ppi

    @property
    def height_in(self) -> float:
        """Height of the tile in inches of cloth."""
        return float(self.tile_srgb8.shape[0]) / self.ppi


def make_swatch(
    tile_srgb8: NDArray[np.uint8],
    *,
    key: str,
    name: str,
    ppi: float,
    repeats: bool,
    scale_note: str,
    colour_note: str,
    width_of_fabric_in: Fraction = WIDTH_OF_FABRIC_IN,
    one_way: bool = False,
    kind: Kind = "print",
    scale_off: float | None = None,
    colour_from: ColourFrom = "stated",
    by_eye: ByEye = AS_IT_IS,
    about: PrintAbout | None = None,
    repeat_in: tuple[tuple[float, float], ...] = (),
    photo: str = "",
) -> Swatch:
    """A swatch whose fields have been checked and whose tile nobody can change any more.

    The tile is copied, unless it is already read-only and owns its memory.
    Raises: SwatchError naming the field that is wrong.
    """
    _check_words(key=key, kind=kind)
    if not _LEAST_WIDTH_IN <= width_of_fabric_in <= _MOST_WIDTH_IN:
        raise SwatchError(
            "width of fabric",
            f"{float(width_of_fabric_in):g} inches is not a width cloth is sold in",
            mend=f"Give the usable width, {_LEAST_WIDTH_IN} to {_MOST_WIDTH_IN} inches (42 is usual).",
        )
    return Swatch(
        key=key,
        name=check_name(name),
        tile_srgb8=_locked(tile_srgb8),
        ppi=check_ppi(ppi),
        repeats=repeats,
        width_of_fabric_in=Fraction(width_of_fabric_in),
        scale_note=scale_note,
        colour_note=colour_note,
        one_way=one_way,
        kind=kind,
        scale_off=_checked_share(scale_off),
        colour_from=_checked_source(colour_from),
        by_eye=by_eye,
        about=about,
        repeat_in=tuple((float(x), float(y)) for x, y in repeat_in),
        photo=photo,
    )


def _checked_share(scale_off: float | None) -> float | None:
    if scale_off is not None and not 0 <= scale_off < 1:
        raise SwatchError(
            "scale uncertainty",
            f"{scale_off:g} is no share",
            mend="Give it as a share of the scale, such as 0.003 for 0.3 %.",
        )
    return None if scale_off is None else float(scale_off)


def _checked_source(colour_from: ColourFrom) -> ColourFrom:
    if colour_from not in get_args(ColourFrom):
        raise SwatchError(
            "colour source",
            f"{colour_from!r} is not one of {', '.join(get_args(ColourFrom))}",
            mend='Say what the colours rest on, or "not measured".',
        )
    return colour_from


def _check_words(*, key: str, kind: str) -> None:
    if not key.strip():
        raise SwatchError("key", "is empty", mend="Give the cloth a key of letters, digits and dashes.")
    if kind not in ("print", "solid"):
        raise SwatchError("kind", f"{kind!r} is neither print nor solid", mend='Say "print" or "solid".')


def _locked(tile_srgb8: NDArray[np.uint8]) -> NDArray[np.uint8]:
    shape_ok = tile_srgb8.ndim == 3 and tile_srgb8.shape[2] == 3 and tile_srgb8.size > 0
    if tile_srgb8.dtype != np.uint8 or not shape_ok:
        raise SwatchError(
            "tile",
            f"{tile_srgb8.dtype} of shape {tile_srgb8.shape} is not a picture of sRGB bytes",
            mend="Give rows x columns x 3 bytes of sRGB.",
        )
    flags = tile_srgb8.flags
    if not flags.writeable and flags.owndata and flags.c_contiguous:
        return tile_srgb8
    locked = np.array(tile_srgb8, order="C", copy=True)
    locked.flags.writeable = False
    return locked
