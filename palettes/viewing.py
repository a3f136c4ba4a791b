"""How a quilt is looked at: from how far, in which light, on what, and through whose eyes."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, sqrt, tan
from typing import Literal

from palettes.machado import Eyes
from palettes.thresholds import THRESHOLDS

__all__ = [
    "ACROSS_ROOM",
    "ACROSS_TABLE",
    "COMPARED_RADIUS_IN",
    "IN_HAND",
    "Lamp",
    "Viewing",
    "compared_radius_in",
    "feet_away",
]

Lamp = Literal["daylight", "warm lamp"]
Shown = Literal["cloth", "screen", "projector"]

COMPARED_RADIUS_IN = THRESHOLDS.compared_radius_in
"""The eye compares the mean of about this much cloth on each side of an edge."""

YOUNG_YEARS = 25.0
"""The eye that others are compared with (ours)."""

OLDEST_YEARS = 100.0
"""The lenses measured were of people up to about this age."""


@dataclass(frozen=True, slots=True)
class Viewing:
    """One way of looking. Only the distance has to be said; the rest is common vision in daylight."""

    words: str
    """The distance in words that can end a sentence: "from 6 feet"."""
    distance_in: float
    shown: Shown = "cloth"
    """The cloth itself, or its picture on a screen or a projector's wall, with the room's light on it."""
    light: Lamp = "daylight"
    eyes: Eyes | None = None
    """Whose red, green or blue cones differ, and how much; None for common vision."""
    severity: float = 1.0
    years: float = YOUNG_YEARS
    """Age of the lens: it yellows."""

    def __post_init__(self) -> None:
        """Refuse settings that are none."""
        if not 0 < self.distance_in < float("inf"):
            raise ValueError(f"a viewing distance must be more than 0 inches, got {self.distance_in}")
        if self.shown not in ("cloth", "screen", "projector"):
            raise ValueError(f"shown must be cloth, screen or projector, got {self.shown!r}")
        if self.light not in ("daylight", "warm lamp"):
            raise ValueError(f"light must be daylight or warm lamp, got {self.light!r}")
        if self.eyes not in (None, "protan", "deutan", "tritan"):
            raise ValueError(f"eyes must be protan, deutan or tritan, or none of them, got {self.eyes!r}")
        if not 0 <= self.severity <= 1:
            raise ValueError(f"severity must be from 0 to 1, got {self.severity}")
        if not YOUNG_YEARS <= self.years <= OLDEST_YEARS:
            raise ValueError(f"years must be from {YOUNG_YEARS:g} to {OLDEST_YEARS:g}, got {self.years}")

    @property
    def spread_in(self) -> float:
        """Spread s of the eye's blur on the cloth, exp(-r^2 / s^2), in inches."""
        return self.distance_in * tan(radians(THRESHOLDS.eye_spread_deg))

    @property
    def sigma_in(self) -> float:
        """The same blur as the standard deviation that Gaussian filters ask for, in inches."""
        return self.spread_in / sqrt(2)

    @property
    def is_usual(self) -> bool:
        """Whether light comes to the eye as the cloth gives it in daylight, and common eyes see it."""
        return (self.shown, self.light, self.years) == ("cloth", "daylight", YOUNG_YEARS) and not self.eyes

    @property
    def full_words(self) -> str:
        """The distance and whatever else is not usual: "from 6 feet under a warm lamp, to deutan eyes"."""
        more = [self.words]
        if self.shown != "cloth":
            more.append("on a screen" if self.shown == "screen" else "on a projector's wall")
        if self.light != "daylight":
            more.append("under a warm lamp")
        if self.eyes:
            more.append(f"to {self.eyes} eyes" + ("" if self.severity == 1 else f" at {self.severity:g}"))
        if self.years != YOUNG_YEARS:
            more.append(f"through a lens of {self.years:g} years")
        return " ".join(more)


IN_HAND = Viewing("in the hand", 24.0)
ACROSS_TABLE = Viewing("from 6 feet", 72.0)
ACROSS_ROOM = Viewing("from 12 feet", 144.0)


def feet_away(feet: float) -> Viewing:
    """Looking from so many feet, the rest as usual.

    Example: feet_away(10).words -> "from 10 feet"
    """
    return Viewing(f"from {feet:g} f{'oo' if feet == 1 else 'ee'}t", feet * 12)


def compared_radius_in(narrowest_in: float) -> float:
    """How much cloth beside an edge the eye takes together, as a radius in inches.

    narrowest_in is the width of the narrower of the two patches: a stem under half an inch is
    compared over half as much, or its own other edge would be averaged in.
    """
    narrow = narrowest_in < THRESHOLDS.narrow_in
    return THRESHOLDS.narrow_radius_in if narrow else THRESHOLDS.compared_radius_in
