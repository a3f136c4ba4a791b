"""Whether each patch reads against its neighbours, from the cloth as it really lies along every edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from blocks.values import Edge
from palettes.looks import shared_colour
from palettes.meeting import Meeting
from palettes.reading import Reading, Word, judge_edges
from palettes.thresholds import THRESHOLDS
from palettes.trust import doubt_between, trust_of
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import Audition
from preview.beside import means_lin, places_beside
from preview.keeping import PaintCache
from preview.seen_cloth import cloth_look
from preview.survey import Survey, survey_edges
from preview.walking import Walk, stretches_of
from swatches.swatch import Swatch

__all__ = ["EdgeReading", "headline", "read_distances", "read_edges"]

_Floats = NDArray[np.float64]


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
    means = means_lin(survey, audition, cache=kept)
    meetings = [_meeting(audition, one, other, cache=kept) for one, other in zip(*survey.owners, strict=True)]
    return tuple(
        _read(survey, audition, means=means, meetings=meetings, viewing=viewing, cache=kept)
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


def _read(
    survey: Survey,
    audition: Audition,
    *,
    means: _Floats,
    meetings: Sequence[Meeting],
    viewing: Viewing,
    cache: PaintCache,
) -> tuple[EdgeReading, ...]:
    places = places_beside(survey, audition, viewing=viewing, cache=cache)
    pairs = np.stack([means[owners] for owners in survey.owners], axis=1)
    # Of a patch too small to have a pixel of its own, the light along its edge stands for it.
    hidden = np.isnan(pairs)
    if hidden.any():
        along = [_means_along(light, places.starts) for light in (places.first_lin, places.second_lin)]
        pairs = np.where(hidden, np.stack(along, axis=1), pairs)
    found = judge_edges(places, means_lin=pairs, viewing=viewing, meetings=meetings)
    patches = audition.draft.patches
    return tuple(
        sorted(
            (
                EdgeReading(
                    first=edge.first,
                    second=edge.second,
                    first_role=patches[one].role,
                    second_role=patches[other].role,
                    first_cloth=audition.cloth_of(patches[one]).name,
                    second_cloth=audition.cloth_of(patches[other]).name,
                    kind=edge.kind,
                    wanted=edge.wanted,
                    length_in=edge.length_in,
                    reading=reading,
                    walk=walk,
                )
                for edge, walk, reading, one, other in zip(
                    survey.edges, survey.walks, found, *survey.owners, strict=True
                )
            ),
            key=_weakness,
        )
    )


def _means_along(light: _Floats, starts: NDArray[np.intp]) -> _Floats:
    counts = np.diff(np.append(starts, len(light)))
    return np.asarray(np.add.reduceat(light, starts, axis=0) / counts[:, None])


def _meeting(audition: Audition, one: int, other: int, *, cache: PaintCache) -> Meeting:
    """What the two cloths have to do with each other, kept for each pair of roles and cloths."""
    patches = audition.draft.patches
    roles = patches[one].role, patches[other].role
    cloths = audition.cloth_of(patches[one]), audition.cloth_of(patches[other])
    key = ("meeting", *roles, *((cloth.key, cloth.ppi, cloth.tile_srgb8.shape) for cloth in cloths))
    return cache.get(key, lambda: _meet(roles, cloths, cache=cache), weigh=lambda _: 512)


def _meet(roles: tuple[str, str], cloths: tuple[Swatch, Swatch], *, cache: PaintCache) -> Meeting:
    first, second = (cloth_look(cloth, cache=cache) for cloth in cloths)
    one_cloth = cloths[0].key == cloths[1].key
    merges, colour = shared_colour(first, second)
    trusts = [trust_of(getattr(cloth, "colour_reference", None), note=cloth.colour_note) for cloth in cloths]
    doubt_L, doubt = doubt_between(trusts[0], trusts[1], one_cloth=one_cloth)
    scales = sorted((first.scale_in, second.scale_in))
    return Meeting(
        first_name=f"the {roles[0]}",
        second_name=f"the {roles[1]}",
        merges=merges,
        shared_colour=colour,
        like_motifs=first.is_print and second.is_print and scales[1] <= THRESHOLDS.like_scale * scales[0],
        doubt_L=doubt_L,
        doubt=doubt,
    )
