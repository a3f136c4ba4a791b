"""How far a cloth's colours can be trusted, by what lay beside it in the photograph."""

from __future__ import annotations

from math import hypot
from typing import Literal

from palettes.thresholds import THRESHOLDS, Thresholds

__all__ = ["Trust", "doubt_between", "doubt_of", "trust_of"]

Trust = Literal["exact", "chart", "grey steps", "white paper", "none"]
"""Drawn or typed; or photographed beside greys and colours, greys, white paper, nothing."""


def trust_of(reference: str | None, *, note: str = "") -> Trust:
    """The trust for what is recorded of a cloth: its colour reference, or where there is none its note.

    A cloth of which neither says anything is taken at its word.
    Example: trust_of(None, note="Colours as the camera gave them, not measured.") -> "none"
    """
    said = (reference or "").lower().strip()
    if not said:
        return "none" if "not measured" in note.lower() else "exact"
    words: tuple[tuple[str, Trust], ...] = (
        ("chart", "chart"),
        ("patches", "chart"),
        ("grey", "grey steps"),
        ("white", "white paper"),
        ("paper", "white paper"),
        ("exact", "exact"),
        ("drawn", "exact"),
        ("typed", "exact"),
    )
    return next((trust for word, trust in words if word in said), "none")


def doubt_of(trust: Trust, *, thresholds: Thresholds = THRESHOLDS) -> float:
    """One standard deviation of the error of a cloth's L*."""
    return {
        "exact": 0.0,
        "chart": thresholds.chart_L,
        "grey steps": thresholds.grey_steps_L,
        "white paper": thresholds.white_paper_L,
        "none": thresholds.unmeasured_L,
    }[trust]


def doubt_between(
    first: Trust, second: Trust, *, one_cloth: bool = False, thresholds: Thresholds = THRESHOLDS
) -> tuple[float, str]:
    """The doubt about the L* difference of two cloths, and why, as the end of a sentence.

    one_cloth: both are the same swatch, whose error is the same on both sides and falls out.
    """
    if one_cloth or first == second == "exact":
        return 0.0, ""
    doubt_L = hypot(doubt_of(first, thresholds=thresholds), doubt_of(second, thresholds=thresholds))
    rough = [trust in ("none", "white paper") for trust in (first, second)]
    if all(rough):
        return doubt_L, "the two come from photographs whose colours were not measured, and may not match"
    if any(rough):
        return doubt_L, "the colours of one of the two were not measured"
    return doubt_L, "the colours were measured from a photograph, as closely as that goes"
