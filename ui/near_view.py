"""Which part of the picture is seen near, and how fine: read from an address, and checked."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ui.mistakes import Mistake
from ui.settings import Setting

__all__ = ["NEAR_PPI", "NearPart", "near_part"]

NEAR_PPI = Setting(
    name="pixels per inch",
    default=Fraction(100),
    lowest=Fraction(1),
    highest=Fraction(800),
    kind="whole",
    unit="ppi",
    help="how fine the part is: a fine screen asks for two pixels where it shows one",
)

_MOST_PX = 8_000_000
"""Of one part: a fine screen four times over (ours)."""

_WHOLE = re.compile(r"\d{1,6}")


@dataclass(frozen=True, slots=True)
class NearPart:
    """A part of the whole picture at this resolution, in its pixels."""

    ppi: float
    window_px: tuple[int, int, int, int]
    """Left, top, width, height."""


def near_part(words: Mapping[str, str]) -> NearPart:
    """The part that an address asks for. Whether it lies inside the picture is found by drawing it.

    Raises: Mistake for what no page of ours asks for.
    """
    sides = [words.get(name, "") for name in ("left", "top", "wide", "high")]
    if not all(_WHOLE.fullmatch(side) for side in sides):
        raise Mistake("The part of the picture is not told in pixels.", mend="Load the page again.")
    left, top, wide, high = (int(side) for side in sides)
    if not 0 < wide * high <= _MOST_PX:
        raise Mistake(
            f"A part of {wide} x {high} pixels is not drawn.",
            mend=f"Ask for 1 to {_MOST_PX // 1_000_000} million pixels.",
        )
    return NearPart(float(NEAR_PPI.read(words.get("ppi", "")[:9])), (left, top, wide, high))
