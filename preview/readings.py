"""Whether each patch reads against its neighbours, from the cloth as it really lies along every edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from blocks.values import Edge
from palettes.reading import Reading, Word
from palettes.thresholds import THRESHOLDS
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import Audition
from preview.keeping import PaintCache
from preview.known_readings import known_readings
from preview.survey import Survey, survey_edges
from preview.walking import Walk, stretches_of

__all__ = ["EdgeReading", "headline", "read_distances", "read_edges"]


@dataclass(frozen=True, slots=True)
class EdgeReading:
    """One edge of the block with what was found there. Patches are numbered as in the picture."""

    first: int
    second: int
    first_role: str
    second_role: str
    first_cloth: str
    second_cloth: str
    kind: Literal["seam", "applique"]
    wanted: bool
    """Whether this edge should read."""
    length_in: float
    reading: Reading
    """Mean L* of both patches, their differences, the shares of the edge, and the words."""
    walk: Walk = field(compare=False, repr=False)
    """The places that the reading was made at, one for each of reading.chances."""

    @property
    def word(self) -> Word:
        """The word for the edge by value alone."""
        return self.reading.word

    @property
    def lost_stretches(self) -> tuple[tuple[tuple[float, float], ...], ...]:
        """Where along the edge it is lost: lines of points in block inches, for drawing."""
        return stretches_of(self.walk, np.array(self.reading.chances) < THRESHOLDS.lost_place)


def read_edges(
    audition: Audition,
    edges: Sequence[Edge],
    *,
    viewing: Viewing = ACROSS_TABLE,
    cache: PaintCache | None = None,
) -> tuple[EdgeReading, ...]:
    """A reading of every edge: those that should read first, the weakest of them first of all.

    Each edge is walked every twelfth of an inch. On either side the cloth that lies there, as cut, turned
    and bent, is averaged in linear light over what the eye compares from the viewing distance, and
    palettes.reading judges the two rows of light. Means are those of the visible patch.
    A cache keeps the geometry and the cloths, so that a second reading is quick.
    """
    return read_distances(audition, edges, viewings=(viewing,), cache=cache)[0]


def read_distances(
    audition: Audition,
    edges: Sequence[Edge],
    *,
    viewings: Sequence[Viewing],
    cache: PaintCache | None = None,
) -> tuple[tuple[EdgeReading, ...], ...]:
    """read_edges for several ways of looking, which share all but the looking."""
    kept = cache if cache is not None else PaintCache()
    if not edges:
        return tuple(() for _ in viewings)
    survey = survey_edges(audition.draft, edges, cache=kept)
    with kept.lock:
        made = known_readings(survey, cache=kept)
        return tuple(
            _sorted(survey, audition, made.read(audition, viewing=viewing, cache=kept))
            for viewing in viewings
        )


def headline(readings: Sequence[EdgeReading]) -> str:
    """The readings in a sentence or two: how many edges that should read do not, and the weakest."""
    wanted = [reading for reading in readings if reading.wanted]
    if not wanted:
        return "No edge of this block needs to read."
    lost = sum(reading.word == "lost" for reading in wanted)
    soft = sum(reading.word == "soft" for reading in wanted)
    count = f"{len(wanted)} edge{'s' if len(wanted) > 1 else ''} that should read"
    if not lost and not soft:
        return f"All of the {count} are clear." if len(wanted) > 1 else f"The {count} is clear."
    weak = min(wanted, key=_weakness)
    return (
        f"Of {count}, {lost} {'is' if lost == 1 else 'are'} lost and {soft} soft. "
        f"Weakest: patch {weak.first} ({weak.first_role}, {weak.first_cloth}) against "
        f"patch {weak.second} ({weak.second_role}, {weak.second_cloth})."
    )


def _weakness(found: EdgeReading) -> tuple[bool, float, float, float, int, int]:
    reading = found.reading
    shares = reading.share_shows, reading.share_with_colour, reading.diff_L
    return (not found.wanted, *shares, found.first, found.second)


def _sorted(survey: Survey, audition: Audition, found: Sequence[Reading]) -> tuple[EdgeReading, ...]:
    patches = audition.draft.patches
    names = [audition.cloth_of(patch).name for patch in patches]
    read = (
        EdgeReading(
            first=edge.first,
            second=edge.second,
            first_role=patches[one].role,
            second_role=patches[other].role,
            first_cloth=names[one],
            second_cloth=names[other],
            kind=edge.kind,
            wanted=edge.wanted,
            length_in=edge.length_in,
            reading=reading,
            walk=walk,
        )
        for edge, walk, reading, one, other in zip(
            survey.edges, survey.walks, found, *survey.owners, strict=True
        )
    )
    return tuple(sorted(read, key=_weakness))
