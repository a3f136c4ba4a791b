"""Whether each patch reads against its neighbours, from the cloth as it really lies along every edge."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from blocks.values import Draft, Edge, Patch
from blocks.visible import visible_outlines
from palettes.reading import ACROSS_TABLE, Reading, Viewing, Word, judge_edge
from palettes.thresholds import THRESHOLDS
from palettes.viewing import compared_radius_in
from preview.audition import Audition
from preview.cloth_maps import cloth_points
from preview.frame import Frame, prepare_frame
from preview.keeping import PaintCache
from preview.means import patch_means_lin
from preview.seen_cloth import SeenCloth, look_at, see_cloth
from preview.walking import walk_edge

__all__ = ["EdgeReading", "headline", "read_edges"]

_STEP_IN = 1 / 12
_MEASURED_PPI = 40.0
"""Resolution of the frame that tells what shows where; its means are right at any."""

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

    @property
    def word(self) -> Word:
        """The word for the edge by value alone."""
        return self.reading.word


@dataclass(frozen=True, slots=True, eq=False)
class _Side:
    """A patch as a neighbour: what it is cut from, and how wide it shows."""

    patch: Patch
    number: int
    width_in: float
    mean_lin: _Floats


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
    """
    frame = prepare_frame(audition.draft, ppi=_MEASURED_PPI)
    means = patch_means_lin(frame, audition, cache=cache)
    widths = _widths_in(audition.draft)
    sides = {
        patch.number: _Side(patch, patch.number, width, mean)
        for patch, width, mean in zip(audition.draft.patches, widths, means, strict=True)
    }
    seen: dict[tuple[int, float], SeenCloth] = {}
    found = [
        _read(audition, edge, sides[edge.first], sides[edge.second], frame=frame, viewing=viewing, seen=seen)
        for edge in edges
    ]
    return tuple(sorted(found, key=_weakness))


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
    audition: Audition,
    edge: Edge,
    first: _Side,
    second: _Side,
    *,
    frame: Frame,
    viewing: Viewing,
    seen: dict[tuple[int, float], SeenCloth],
) -> EdgeReading:
    radius_in = compared_radius_in(min(first.width_in, second.width_in))
    walk = walk_edge(edge, step_in=_STEP_IN)
    rows = []
    for side, way in ((first, 1.0), (second, -1.0)):
        swatch = audition.cloth_of(side.patch)
        cloth = seen.get((id(swatch), radius_in)) or see_cloth(swatch, viewing=viewing, radius_in=radius_in)
        seen[id(swatch), radius_in] = cloth
        toward = walk.right * way
        near = _inside_points(frame, side.number, walk.points_in, toward, reach_in=radius_in)
        far = walk.points_in + toward * (radius_in + THRESHOLDS.inside_in)
        place = audition.place_of(side.patch)
        light, known = look_at(cloth, cloth_points(side.patch, place, near))
        deep, deep_known = look_at(cloth, cloth_points(side.patch, place, far))
        deep[~(deep_known & _shows(frame, side.number, far))] = np.nan
        rows.append((light, known, deep))
    (light, known, deep), (other_light, other_known, other_deep) = rows
    # Places beyond a photograph say nothing, unless there is no other place.
    told = known & other_known
    kept = told if told.any() else np.ones_like(told)
    reading = judge_edge(
        light[kept],
        other_light[kept],
        viewing=viewing,
        first_inside=deep[kept],
        second_inside=other_deep[kept],
        first_mean_lin=_finite(first.mean_lin),
        second_mean_lin=_finite(second.mean_lin),
    )
    return EdgeReading(
        first=first.number,
        second=second.number,
        first_role=first.patch.role,
        second_role=second.patch.role,
        first_cloth=audition.cloth_of(first.patch).name,
        second_cloth=audition.cloth_of(second.patch).name,
        kind=edge.kind,
        wanted=edge.wanted,
        length_in=edge.length_in,
        reading=reading,
    )


def _finite(mean_lin: _Floats) -> _Floats | None:
    return mean_lin if np.isfinite(mean_lin).all() else None


def _inside_points(
    frame: Frame, number: int, points_in: _Floats, toward: _Floats, *, reach_in: float
) -> _Floats:
    """Points beside an edge, as far inside the patch as its shape lets them be, up to `reach_in`."""
    chosen = points_in.copy()
    waiting = np.ones(len(points_in), bool)
    for part in (1.0, 0.5, 0.25):
        points = points_in + toward * (part * reach_in)
        good = waiting & _shows(frame, number, points)
        chosen[good] = points[good]
        waiting &= ~good
    return chosen


def _shows(frame: Frame, number: int, points_in: _Floats) -> NDArray[np.bool_]:
    column, row = np.floor(points_in * frame.ppi).astype(np.int64).T
    on = (column >= 0) & (row >= 0) & (column < frame.width_px) & (row < frame.height_px)
    label = frame.labels[np.where(on, row, 0), np.where(on, column, 0)]
    return np.asarray(on & (label == number))


def _widths_in(draft: Draft) -> list[float]:
    """How wide each patch shows: twice the radius of the largest circle in it; 0 for a hidden one."""
    widths = []
    for parts in visible_outlines(draft):
        shapes = [
            shapely.Polygon(*([(float(x), float(y)) for x, y in ring] for ring in part[:1])) for part in parts
        ]
        circles = [shapely.maximum_inscribed_circle(shape, tolerance=1 / 32) for shape in shapes]
        widths.append(2 * max((float(shapely.length(circle)) for circle in circles), default=0.0))
    return widths
