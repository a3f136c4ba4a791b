"""The geometry of reading a block: every place along its edges, and what lies on both sides of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from blocks.values import Draft, Edge
from palettes.thresholds import THRESHOLDS
from palettes.viewing import compared_radius_in
from preview.cloth_maps import piece_points
from preview.frame import Frame, prepare_frame
from preview.keeping import PaintCache
from preview.walking import Walk, walk_edge

__all__ = ["Survey", "survey_edges"]

_STEP_IN = 1 / 12
_MEASURED_PPI = 40.0
"""Resolution of the frame that tells what shows where."""

_MOST_POINTS = 1536
"""Points of a patch that its mean is taken from, at most."""

_Floats = NDArray[np.float64]
_Ints = NDArray[np.intp]


@dataclass(frozen=True, slots=True, eq=False)
class Survey:
    """A block measured for reading; no cloth in it. Sides count twice the edges: first 2 e, then 2 e + 1.

    Rows are places beside an edge, four for each: near and far, of the first and of the second patch.
    """

    draft: Draft
    edges: tuple[Edge, ...]
    walks: tuple[Walk, ...]
    radii_in: _Floats
    """For each edge, how much cloth the eye takes together."""
    widths_in: tuple[_Floats, _Floats]
    """For each edge, how wide its first and its second patch show."""
    starts: _Ints
    """The first place of each edge; edge e has places starts[e] to starts[e + 1] of the count."""
    near: tuple[_Floats, _Floats]
    """Cut-piece points (n, 2) beside the edge, in the first and in the second patch."""
    far: tuple[_Floats, _Floats]
    """The same a quarter of an inch further inside."""
    shows: tuple[NDArray[np.bool_], NDArray[np.bool_]]
    """Whether that patch shows there at all."""
    owners: tuple[_Ints, _Ints]
    """Index in draft.patches of the first and the second patch of each edge."""
    insides: tuple[_Floats, ...]
    """Cut-piece points all over what shows of each patch."""

    @property
    def count(self) -> int:
        """How many places there are along all edges."""
        return len(self.near[0])


def survey_edges(draft: Draft, edges: Sequence[Edge], *, cache: PaintCache | None = None) -> Survey:
    """The block measured for reading these edges (at least one); kept as long as draft and edges stay."""
    kept = cache if cache is not None else PaintCache()
    edges = tuple(edges)
    # The survey holds draft and edges, so while it is kept their ids cannot pass to others.
    key = ("survey", id(draft), tuple(map(id, edges)))
    return kept.get(key, lambda: _survey(draft, edges), weigh=_weigh)


def _weigh(survey: Survey) -> int:
    arrays = (*survey.near, *survey.far, *survey.insides)
    return 2 * sum(array.nbytes for array in arrays)


def _survey(draft: Draft, edges: tuple[Edge, ...]) -> Survey:
    frame = prepare_frame(draft, ppi=_MEASURED_PPI)
    index_of = {patch.number: index for index, patch in enumerate(draft.patches)}
    owners = (
        np.array([index_of[edge.first] for edge in edges], np.intp),
        np.array([index_of[edge.second] for edge in edges], np.intp),
    )
    walks = tuple(walk_edge(edge, step_in=_STEP_IN) for edge in edges)
    counts = np.array([len(walk.points_in) for walk in walks], np.intp)
    starts = np.cumsum(counts) - counts
    by_patch = _by_patch(frame)
    widths = np.array(_widths_in(draft, frame, by_patch))
    radii_in = np.array(
        [compared_radius_in(min(widths[one], widths[other])) for one, other in zip(*owners, strict=True)]
    )
    points = np.concatenate([walk.points_in for walk in walks])
    right = np.concatenate([walk.right for walk in walks])
    reach_in = np.repeat(radii_in, counts)
    near, far, shows = [], [], []
    for owner, way in zip(owners, (1.0, -1.0), strict=True):
        owner_of = np.repeat(owner, counts)
        number = np.array([patch.number for patch in draft.patches])[owner_of]
        toward = right * way
        beside = _inside_points(frame, number, points, toward, reach_in=reach_in)
        deep = points + toward * (reach_in + THRESHOLDS.inside_in)[:, None]
        shows.append(_shows(frame, number, deep))
        pieces = _piece_points(draft, np.concatenate([owner_of, owner_of]), np.concatenate([beside, deep]))
        near.append(pieces[: len(points)])
        far.append(pieces[len(points) :])
    return Survey(
        draft=draft,
        edges=edges,
        walks=walks,
        radii_in=radii_in,
        widths_in=(widths[owners[0]], widths[owners[1]]),
        starts=starts,
        near=(near[0], near[1]),
        far=(far[0], far[1]),
        shows=(shows[0], shows[1]),
        owners=owners,
        insides=_insides(draft, frame, by_patch),
    )


def _piece_points(draft: Draft, owner_of: _Ints, points_in: _Floats) -> _Floats:
    found = np.empty_like(points_in)
    order = np.argsort(owner_of, kind="stable")
    owners, firsts = np.unique(owner_of[order], return_index=True)
    for owner, rows in zip(owners, np.split(order, firsts[1:]), strict=True):
        found[rows] = piece_points(draft.patches[int(owner)], points_in[rows])
    return found


def _insides(draft: Draft, frame: Frame, by_patch: _ByPatch) -> tuple[_Floats, ...]:
    insides = []
    for patch in draft.patches:
        places = by_patch.places(patch.number)
        # Evenly thinned: the steps share nothing with the rows of the picture.
        thin = np.linspace(0, len(places) - 1, min(len(places), _MOST_POINTS)).astype(np.intp)
        rows, columns = np.divmod(places[thin], frame.width_px)
        points = (np.column_stack([columns, rows]) + 0.5) / frame.ppi
        insides.append(piece_points(patch, points) if len(points) else points)
    return tuple(insides)


def _widths_in(draft: Draft, frame: Frame, by_patch: _ByPatch) -> list[float]:
    """How wide each patch shows: about twice the radius of the largest circle in it; 0 for a hidden one."""
    labels = frame.labels
    apart = np.zeros((labels.shape[0] + 2, labels.shape[1] + 2), np.uint8)
    inside = apart[1:-1, 1:-1]
    inside[...] = 1
    inside[:, :-1] &= labels[:, :-1] == labels[:, 1:]
    inside[:-1] &= labels[:-1] == labels[1:]
    depth = np.asarray(cv2.distanceTransform(apart, cv2.DIST_L2, 5))[1:-1, 1:-1].ravel()
    places = [by_patch.places(patch.number) for patch in draft.patches]
    # The border is drawn on one side of each boundary only, hence a pixel in all.
    return [(2 * float(depth[each].max()) + 1) / frame.ppi if len(each) else 0.0 for each in places]


@dataclass(frozen=True, slots=True, eq=False)
class _ByPatch:
    """The pixels of a frame sorted by the patch that owns them."""

    order: _Ints
    labels: NDArray[np.int_]

    def places(self, number: int) -> _Ints:
        low, high = np.searchsorted(self.labels, (number, number + 1))
        return self.order[low:high]


def _by_patch(frame: Frame) -> _ByPatch:
    labels = frame.labels.ravel()
    # Stable sorting of 16-bit numbers is done digit by digit, in a tenth of the time.
    small = labels.astype(np.uint16) if labels.max(initial=0) < 1 << 16 else labels
    order = np.argsort(small, kind="stable")
    return _ByPatch(order, labels[order].astype(np.int64))


def _inside_points(
    frame: Frame, number: NDArray[np.int_], points_in: _Floats, toward: _Floats, *, reach_in: _Floats
) -> _Floats:
    """Points beside an edge, as far inside the patch as its shape lets them be, up to `reach_in`."""
    chosen = points_in.copy()
    waiting = np.ones(len(points_in), bool)
    for part in (1.0, 0.5, 0.25):
        points = points_in + toward * (part * reach_in)[:, None]
        good = waiting & _shows(frame, number, points)
        chosen[good] = points[good]
        waiting &= ~good
    return chosen


def _shows(frame: Frame, number: NDArray[np.int_], points_in: _Floats) -> NDArray[np.bool_]:
    column, row = np.floor(points_in * frame.ppi).astype(np.int64).T
    on = (column >= 0) & (row >= 0) & (column < frame.width_px) & (row < frame.height_px)
    label = frame.labels[np.where(on, row, 0), np.where(on, column, 0)]
    return np.asarray(on & (label == number))
