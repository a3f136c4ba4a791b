"""How far a cloth's colours can be trusted, by what lay beside it in the photograph."""

from __future__ import annotations

from math import hypot, inf
from typing import Literal, get_args

from palettes.thresholds import THRESHOLDS, Thresholds

__all__ = ["Trust", "doubt_between", "doubt_of", "trust_of"]

Trust = Literal["stated", "chart", "grey steps", "grey card", "white paper", "not measured"]
"""Drawn or typed; or photographed beside greys and colours, several greys, one grey, paper, or nothing."""


def trust_of(reference: str, *, note: str = "") -> Trust:
    """The trust for the colour reference that is recorded of a cloth, and for its note where that says less.

    A reference that is none of these counts as not measured.
    Example: trust_of("stated", note="Colours as the camera gave them, not measured.") -> "not measured"
    """
    if reference == "stated" and "not measured" in note.lower():
        return "not measured"
    known: tuple[Trust, ...] = get_args(Trust)
    return next((trust for trust in known if trust == reference), "not measured")


def doubt_of(trust: Trust, *, thresholds: Thresholds = THRESHOLDS) -> float:
    """One standard deviation of the error of a cloth's L*, as large as its worse side asks."""
    return {
        "stated": 0.0,
        "chart": thresholds.chart_L,
        "grey steps": thresholds.grey_steps_L,
        "grey card": thresholds.grey_card_L,
        "white paper": thresholds.white_paper_L,
        "not measured": thresholds.unmeasured_L,
    }[trust]


def doubt_between(
    first: Trust,
    second: Trust,
    *,
    one_cloth: bool = False,
    one_photo: bool = False,
    thresholds: Thresholds = THRESHOLDS,
) -> tuple[float, str]:
    """The doubt about the L* difference of two cloths, and why, as the end of a sentence.

    one_cloth: both are the same swatch, whose error is the same on both sides and falls out.
    one_photo: both are from one photograph, whose exposure and lamp are the same on both sides. What its
    camera makes of each colour is not, so that beside a chart nothing is gained, and beside one grey or white
    paper little.
    """
    if one_cloth or first == second == "stated":
        return 0.0, ""
    doubt_L = hypot(doubt_of(first, thresholds=thresholds), doubt_of(second, thresholds=thresholds))
    if one_photo and first == second:
        return min(doubt_L, _in_one_photo(first, thresholds)), _ONE_PHOTO[first == "not measured"]
    rough = [trust == "not measured" for trust in (first, second)]
    if all(rough):
        return doubt_L, "the two come from photographs whose colours were not measured, and may not match"
    if any(rough):
        return doubt_L, "the colours of one of the two were not measured"
    return doubt_L, "the colours were measured in a photograph, as closely as that goes"


_ONE_PHOTO = (
    "the two come from one photograph, in which their colours were measured as closely as that goes",
    "the two come from one photograph and so share its light, but its colours were not measured",
)


def _in_one_photo(trust: Trust, thresholds: Thresholds) -> float:
    one_photo = {
        "grey steps": thresholds.one_photo_grey_L,
        "white paper": thresholds.one_photo_paper_L,
        "grey card": thresholds.one_photo_grey_card_L,
        "not measured": thresholds.one_photo_unmeasured_L,
    }
    return one_photo.get(trust, inf)
