"""What is known of two cloths before they are laid together: names, like colours, like motifs, doubts."""

# ruff: noqa: N815 - L* keeps its capital in field names too

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["STRANGERS", "Meeting"]


@dataclass(frozen=True, slots=True)
class Meeting:
    """Two cloths as a pair, wherever they meet. The names are what the reason calls them: roles, mostly."""

    first_name: str = "one cloth"
    second_name: str = "the other"
    merges: float = 0.0
    """How often a spot of one and a spot of the other have the same colour, 0 to 1."""
    shared_colour: str = ""
    """The name of the colour that they share most."""
    like_motifs: bool = False
    """Both are prints, and their motifs are of like scale."""
    doubt_L: float = 0.0
    """How far the L* difference of the two may be off: one standard deviation."""
    doubt: str = ""
    """Where that doubt comes from, as the end of a sentence; "" where there is none."""


STRANGERS = Meeting()
"""Nothing is known."""
