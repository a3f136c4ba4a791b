"""Printing inks in JPEG files, which some writers store upside down."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["inks_right_way_up"]

_MOST_INK = 360 * 255 // 100
"""No press lays more than about 3.4 of its four inks on one spot, so more than 3.6 means a negative."""
_ODD_SPOTS = 0.002


def inks_right_way_up(inks8: NDArray[np.uint8], *, ink_marked: bool) -> tuple[NDArray[np.uint8], str]:
    """Inks (rows, columns, 4), 255 being most, of a JPEG as it was decoded; and a note, or nothing.

    `ink_marked` says that the file carries the marker of writers who store ink upside down; the decoder
    always assumes so. The marker is no proof, so the amount of ink has the last word.
    """
    turned = 255 - inks8
    wanted, other = (inks8, turned) if ink_marked else (turned, inks8)
    if _too_much_ink(wanted) <= _ODD_SPOTS or _too_much_ink(other) > _ODD_SPOTS:
        return wanted, ""
    return other, "The file stores its inks the other way round than it says; the negative was undone."


def _too_much_ink(inks8: NDArray[np.uint8]) -> float:
    """Share of the picture that bears more ink than a press can lay."""
    return float((inks8.sum(axis=2, dtype=np.uint16) > _MOST_INK).mean())
