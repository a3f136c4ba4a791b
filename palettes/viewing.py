"""From how far a quilt is looked at, and what the eye blurs and compares at that distance."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, sqrt, tan

__all__ = ["ACROSS_ROOM", "ACROSS_TABLE", "COMPARED_RADIUS_IN", "IN_HAND", "Viewing", "compared_radius_in"]

_EYE_SPREAD_DEG = 0.05
"""Spread s of the eye's blur, exp(-r^2 / s^2). Source: the narrow luminance term of the S-CIELAB filter as
its authors' program has it (Zhang and Wandell; also Johnson and Fairchild). Their printed table has
0.0283; the wider one is the more cautious, and at quilting distances both are finer than the patch of
cloth that the eye compares."""

COMPARED_RADIUS_IN = 1 / 8
"""The eye compares the mean of about this much cloth on each side of an edge (ours)."""

_NARROW_IN = 1 / 2
_NARROW_RADIUS_IN = 1 / 16


@dataclass(frozen=True, slots=True)
class Viewing:
    """A viewing distance in inches, with the words for it ("from 6 feet")."""

    words: str
    distance_in: float

    def __post_init__(self) -> None:
        """Refuse a distance that is not one."""
        if not 0 < self.distance_in < float("inf"):
            raise ValueError(f"a viewing distance must be more than 0 inches, got {self.distance_in}")

    @property
    def spread_in(self) -> float:
        """Spread s of the eye's blur on the cloth, exp(-r^2 / s^2), in inches."""
        return self.distance_in * tan(radians(_EYE_SPREAD_DEG))

    @property
    def sigma_in(self) -> float:
        """The same blur as the standard deviation that Gaussian filters ask for, in inches."""
        return self.spread_in / sqrt(2)


IN_HAND = Viewing("in the hand", 24.0)
ACROSS_TABLE = Viewing("from 6 feet", 72.0)
ACROSS_ROOM = Viewing("from 12 feet", 144.0)


def compared_radius_in(narrowest_in: float) -> float:
    """How much cloth beside an edge the eye takes together, as a radius in inches.

    narrowest_in is the width of the narrower of the two patches: a stem under half an inch is
    compared over half as much, or its own other edge would be averaged in (ours).
    """
    return _NARROW_RADIUS_IN if narrowest_in < _NARROW_IN else COMPARED_RADIUS_IN
