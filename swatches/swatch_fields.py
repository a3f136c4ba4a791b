"""What a cloth may be called and how finely it may be photographed; the fault of a cloth that may not be."""

from __future__ import annotations

from math import isfinite

__all__ = ["LEAST_PPI", "MOST_PPI", "SwatchError", "check_name", "check_ppi"]

LEAST_PPI = 10.0
MOST_PPI = 2400.0
"""Pixels per inch of cloth outside these are a mistake of unit or typing (ours): at 10 a thread's width
of ten threads shares a pixel, and 2400 is finer than any flatbed scanner resolves cloth."""

_LONGEST_NAME = 120


class SwatchError(ValueError):
    """A swatch that cannot be made. Carries the field, what was wrong and how to mend it."""

    def __init__(self, field: str, why: str, *, mend: str) -> None:
        self.field = field
        self.mend = mend
        super().__init__(f"{field}: {why}.")


def check_ppi(ppi: float) -> float:
    """The same pixels per inch of cloth, if cloth can have been photographed at it.

    Raises: SwatchError below LEAST_PPI or above MOST_PPI.
    """
    if not isfinite(ppi) or not LEAST_PPI <= ppi <= MOST_PPI:
        raise SwatchError(
            "ppi",
            f"{ppi:g} pixels per inch of cloth is outside {LEAST_PPI:g} to {MOST_PPI:g}",
            mend="Measure how many pixels of the photograph one inch of the cloth covers; give that number.",
        )
    return float(ppi)


def check_name(name: str) -> str:
    """The name without blanks around it, if a cloth can be called that.

    Raises: SwatchError for an empty one, one over several lines, or one too long to print.
    """
    if not name.strip():
        raise SwatchError("name", "is empty", mend="Give the cloth a name you will know it by.")
    if len(name) > _LONGEST_NAME or not name.isprintable():
        raise SwatchError(
            "name",
            f"must be one printable line of at most {_LONGEST_NAME} characters",
            mend="Shorten the name to one plain line.",
        )
    return name.strip()
