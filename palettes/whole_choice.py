"""All the cloths of a choice on one line from light to dark: where they crowd, what is light beside what."""

# ruff: noqa: N815 - L* keeps its capital in field names too

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal

from palettes.looks import Look
from palettes.thresholds import THRESHOLDS

__all__ = ["Label", "OnTheLine", "WholeChoice", "label_beside", "labels_beside", "line_up"]

Label = Literal["light", "dark", "alike"]


@dataclass(frozen=True, slots=True)
class OnTheLine:
    """One cloth on the line."""

    name: str
    L: float
    """L* of its mean light: where it stands."""
    low_L: float
    high_L: float
    """The 10th and the 90th percentile of L* within it: how far it reaches."""

    @property
    def is_split(self) -> bool:
        """Lights and darks two steps and more apart in one cloth: it has no single value."""
        return self.high_L - self.low_L >= 2 * THRESHOLDS.clump_L


@dataclass(frozen=True, slots=True)
class WholeChoice:
    """The cloths from light to dark, and what is to be said of them together."""

    line: tuple[OnTheLine, ...]
    clumps: tuple[tuple[str, ...], ...]
    """Three cloths and more within one value step, lightest first."""
    span_L: float
    """From the lightest to the darkest mean."""
    note: str
    """One plain sentence."""


def line_up(looks: Mapping[str, Look]) -> WholeChoice:
    """The cloths of a choice, by name, from light to dark."""
    line = sorted(
        (OnTheLine(name, look.L, look.low_L, look.high_L) for name, look in looks.items()),
        key=lambda each: (-each.L, each.name),
    )
    clumps = _clumps(line)
    span_L = line[0].L - line[-1].L if line else 0.0
    return WholeChoice(tuple(line), clumps, span_L, _note(line, clumps, span_L))


def label_beside(own_L: float, neighbour_L: float) -> Label:
    """Whether a cloth is the light or the dark of two; alike within one value step.

    Example: label_beside(55, 80) -> "dark", though label_beside(55, 30) -> "light"
    """
    if abs(own_L - neighbour_L) < THRESHOLDS.half_seen_L:
        return "alike"
    return "light" if own_L > neighbour_L else "dark"


def labels_beside(
    L_of: Mapping[str, float], pairs: Iterable[tuple[str, str]]
) -> dict[str, tuple[tuple[str, Label], ...]]:
    """For each name its neighbours, with what it is beside each of them: light here, dark there."""
    found: dict[str, dict[str, Label]] = {}
    for one, other in pairs:
        if one != other:
            found.setdefault(one, {})[other] = label_beside(L_of[one], L_of[other])
            found.setdefault(other, {})[one] = label_beside(L_of[other], L_of[one])
    return {name: tuple(beside.items()) for name, beside in found.items()}


def _clumps(line: list[OnTheLine]) -> tuple[tuple[str, ...], ...]:
    """The most crowded stretch of one value step first, then the next of what is left."""
    left = list(line)
    clumps = []
    while left:
        windows = [
            [each for each in left if first.L >= each.L >= first.L - THRESHOLDS.clump_L] for first in left
        ]
        largest = max(windows, key=len)
        if len(largest) < THRESHOLDS.clump_fewest:
            break
        clumps.append(largest)
        left = [each for each in left if each not in largest]
    return tuple(
        tuple(each.name for each in clump) for clump in sorted(clumps, key=lambda clump: -clump[0].L)
    )


def _note(line: list[OnTheLine], clumps: tuple[tuple[str, ...], ...], span_L: float) -> str:
    if len(line) < 2:
        return "One cloth alone is neither light nor dark."
    largest = max(clumps, key=len, default=())
    if len(largest) == len(line):
        return f"All {len(line)} cloths lie within one value step: nothing in this choice is light or dark."
    if largest:
        names = ", ".join(largest)
        return f"{len(largest)} of {len(line)} cloths crowd within one value step: {names}."
    if span_L < 2 * THRESHOLDS.clump_L:
        return f"From lightest to darkest are only {span_L:.0f} L*, less than two value steps."
    return f"The cloths are spread over {span_L:.0f} L*, with no three of them within one value step."
