"""The readings of a quilt, gathered by kind of edge: two roles that meet, in a seam or as appliqué.

A quilt has thousands of edges; of each kind some are read, spread over the quilt, and it is said how many.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from blocks.values import Edge
from palettes.reading import Word, word_for
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.keeping import PaintCache
from preview.readings import EdgeReading
from ui.bench import Drafted, Worked
from ui.samples import pick_edges, read_apart

__all__ = ["Kind", "KindReading", "kinds_headline", "kinds_of", "read_kinds"]

Kind = tuple[str, str, Literal["seam", "applique"], bool]
"""First role, second role, joint, and whether it should read. Of a seam, the role used first stands first."""


@dataclass(frozen=True, slots=True, eq=False)
class KindReading:
    """All edges of one kind, and what was found at those that were read."""

    first_role: str
    second_role: str
    kind: Literal["seam", "applique"]
    wanted: bool
    edges: int
    """How many there are in the whole quilt."""
    length_in: float
    """How long they are together."""
    read: tuple[EdgeReading, ...]
    """Those that were read, the weakest first; never empty."""
    number: int
    """Its place among the kinds, as `kinds_of` lists them."""

    @property
    def share_shows(self) -> float:
        """The share of their length that shows by value alone."""
        return self._mean([found.reading.share_shows for found in self.read])

    @property
    def share_with_colour(self) -> float:
        """The same with colour helping."""
        return self._mean([found.reading.share_with_colour for found in self.read])

    @property
    def word(self) -> Word:
        """The word for the kind."""
        return word_for(self.share_shows)

    def count(self, word: Word) -> int:
        """How many of the edges that were read have this word."""
        return sum(found.word == word for found in self.read)

    def mean(self, name: Literal["first_L", "second_L", "diff_L", "dE00"]) -> float:
        """A figure of the readings, weighted by length; the sides as the roles of the kind."""
        flip = {"first_L": "second_L", "second_L": "first_L"}
        values = [
            getattr(found.reading, name if found.first_role == self.first_role else flip.get(name, name))
            for found in self.read
        ]
        return self._mean(values)

    def _mean(self, values: Sequence[float]) -> float:
        return float(np.average(values, weights=[found.length_in for found in self.read]))


def read_kinds(
    worked: Worked, *, viewing: Viewing = ACROSS_TABLE, cache: PaintCache | None = None
) -> tuple[KindReading, ...]:
    """Every kind of edge of the quilt: those that should read first, the weakest of them first of all."""
    by_kind = kinds_of(worked.drafted)
    chosen = pick_edges(worked.drafted, list(by_kind.values()))
    all_read = read_apart(worked, chosen, viewing=viewing, cache=cache)
    read = {(found.first, found.second): found for found in all_read}
    kinds = []
    for number, (key, edges) in enumerate(by_kind.items()):
        own = [read[edge.first, edge.second] for edge in edges if (edge.first, edge.second) in read]
        weakest_first = sorted(own, key=lambda found: found.reading.share_shows)
        length_in = sum(edge.length_in for edge in edges)
        kinds.append(KindReading(*key, len(edges), length_in, tuple(weakest_first), number))
    return tuple(sorted(kinds, key=lambda each: (not each.wanted, each.share_shows, each.share_with_colour)))


def kinds_of(drafted: Drafted) -> dict[Kind, list[Edge]]:
    """The edges of a quilt by their kind, the kinds in the order first met."""
    role_of = {patch.number: patch.role for patch in drafted.draft.patches}
    rank = {role: i for i, role in enumerate(dict.fromkeys(role_of.values()))}
    found: dict[Kind, list[Edge]] = {}
    for edge in drafted.edges:
        one, other = role_of[edge.first], role_of[edge.second]
        if edge.kind == "seam" and rank[other] < rank[one]:
            one, other = other, one
        found.setdefault((one, other, edge.kind, edge.wanted), []).append(edge)
    return found


def kinds_headline(kinds: Sequence[KindReading]) -> str:
    """The kinds in a sentence or two: how many that should read do not, and the weakest."""
    wanted = [each for each in kinds if each.wanted]
    if not wanted:
        return "No edge of this quilt needs to read."
    many = (
        f"{len(wanted)} kinds of edge that should read"
        if len(wanted) > 1
        else "1 kind of edge that should read"
    )
    lost = sum(each.word == "lost" for each in wanted)
    soft = sum(each.word == "soft" for each in wanted)
    if not lost and not soft:
        return (
            f"All of the {many} are clear."
            if len(wanted) > 1
            else "The only kind of edge that should read is clear."
        )
    joint = "on" if wanted[0].kind == "applique" else "beside"
    return (
        f"Of {many}, {lost} {'is' if lost == 1 else 'are'} lost and {soft} soft. "
        f"Weakest: {wanted[0].first_role} {joint} {wanted[0].second_role}."
    )
