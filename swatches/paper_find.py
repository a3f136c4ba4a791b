"""A sheet of white paper found in a photograph, on pale cloth too: smooth, with four straight edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.card_find import CutOffError, FoundCard, check_whole, find_card
from swatches.card_plane import CardError
from swatches.known_sizes import A4_PAPER, LETTER_PAPER, KnownSize
from swatches.paper_edges import SheetEdges, follow_edges
from swatches.rectangle_shape import shape_off

__all__ = ["find_any_paper", "find_paper", "snap_paper"]

_FINE_PX, _WORK_PX = 2000, 640
_REACH_PX = 14.0
_SLOPES_LAB = (0.35, 0.6, 1.0, 1.7, 3.0)
"""Lab per pixel of the small picture; paper is smoother than this, and its edge is not (ours)."""
_CUTS_PX = (5, 13)
_LEAST_AREA, _MOST_AREA = 0.02, 0.75
_FULL, _SOLID = 0.9, 0.85
_MOST_OFF_ROUGHLY, _MOST_OFF = 0.06, 0.025
_AS_PALE_LAB = 16.0
_LEAST_SEEN, _SEEN_IN_ALL = 0.7, 0.8
_MOST_TRIED = 8
_LAB_PER_SHARE = 40.0
"""These limits are ours, settled on half of 80 simulated photographs (benchmarks.paper)."""

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class _Look:
    """A photograph as it is looked at: edges are followed in the finer picture."""

    fine: NDArray[np.uint8]
    per_px: NDArray[np.float64]
    """How many pixels of the photograph one of those covers, across and down."""
    lab: NDArray[np.float32]
    """The small picture."""


def find_paper(photo_srgb8: NDArray[np.uint8], *, thing: KnownSize) -> FoundCard:
    """The sheet of that size that a photograph shows whole.

    Raises: CardError when none is plain enough to be trusted, or when it is not seen whole.
    """
    look = _look(photo_srgb8)
    found = _by_edges(photo_srgb8, look, thing=thing)
    if found is not None:
        return found
    found = _by_colour(photo_srgb8, thing=thing)
    other = LETTER_PAPER if thing is A4_PAPER else A4_PAPER
    if found is not None and not _rather(found, other, thing, photo_srgb8.shape):
        return found
    if found is not None or _sheet(look, thing=other) is not None:
        raise CardError(
            f"No {thing.called} was found in the picture, but a {other.called}",
            mend="Say that it is that paper, or mark the four corners of yours.",
        )
    raise CardError(
        f"No {thing.called} was found in the picture",
        mend="Mark its four corners, or lay it where the cloth's colour differs more from its own.",
    )


def find_any_paper(photo_srgb8: NDArray[np.uint8]) -> tuple[KnownSize, FoundCard] | None:
    """The sheet of either size that shows whole and by its edges alone, and which; None for none.

    Raises: CardError for one that is not seen whole.
    """
    look = _look(photo_srgb8)
    for thing in (A4_PAPER, LETTER_PAPER):
        found = _by_edges(photo_srgb8, look, thing=thing)
        if found is not None:
            return thing, found
    return None


def snap_paper(
    photo_srgb8: NDArray[np.uint8], corners_px: Sequence[tuple[float, float]], *, thing: KnownSize
) -> Points | None:
    """The sheet's corners (4, 2) near marked ones, in order round; None where no edges are plain."""
    fine, per_px = _shrunk(photo_srgb8, _FINE_PX)
    edges = follow_edges(fine, np.array(corners_px, dtype=np.float64) / per_px, reach_px=_REACH_PX)
    if edges is None or not _proven(edges, thing=thing, shape=fine.shape):
        return None
    return edges.corners_px * per_px


def _shrunk(picture: NDArray[np.uint8], most_px: int) -> tuple[NDArray[np.uint8], NDArray[np.float64]]:
    """The picture at most so large, and how many of its pixels one of those covers, across and down."""
    rows, columns = picture.shape[:2]
    share = most_px / max(rows, columns)
    if share >= 1:
        return picture, np.ones(2)
    size = (round(columns * share), round(rows * share))
    small = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    return small, np.array([columns / size[0], rows / size[1]])


def _proven(edges: SheetEdges, *, thing: KnownSize, shape: tuple[int, ...]) -> bool:
    seen = min(edges.seen) >= _LEAST_SEEN and float(np.mean(edges.seen)) >= _SEEN_IN_ALL
    return seen and shape_off(edges.corners_px, thing=thing, shape=shape) <= _MOST_OFF


def _look(photo: NDArray[np.uint8]) -> _Look:
    fine, per_px = _shrunk(photo, _FINE_PX)
    small, _ = _shrunk(fine, _WORK_PX)
    return _Look(fine, per_px, np.asarray(lab_from_lin(srgb8_to_lin(small)), dtype=np.float32))


def _by_edges(photo: NDArray[np.uint8], look: _Look, *, thing: KnownSize) -> FoundCard | None:
    best = _sheet(look, thing=thing)
    if best is None:
        return None
    corners_px = tuple((float(x), float(y)) for x, y in best.corners_px * look.per_px)
    check_whole(corners_px, photo, thing=thing)
    return FoundCard(corners_px, _LAB_PER_SHARE * min(best.steps), float(np.mean(best.seen)))


def _sheet(look: _Look, *, thing: KnownSize) -> SheetEdges | None:
    """The sheet with the plainest edges, looked for in a small picture and followed in a finer one."""
    fine, lab = look.fine, look.lab
    up = fine.shape[1] / lab.shape[1]
    proven: list[SheetEdges] = []
    for quad in _quads(lab, thing=thing)[:_MOST_TRIED]:
        edges = follow_edges(fine, quad * up, reach_px=6 * up)
        if edges is not None and _proven(edges, thing=thing, shape=fine.shape):
            proven.append(edges)
    best = max(proven, key=lambda edges: sum(edges.seen), default=None)
    # Plain cloth on a table has four edges as well: the paper is what lies inside.
    for edges in proven:
        if best is not None and _inside(edges.corners_px, best.corners_px):
            best = edges
    return best


def _by_colour(photo: NDArray[np.uint8], *, thing: KnownSize) -> FoundCard | None:
    try:
        return find_card(photo, thing=thing)
    except CutOffError:
        raise
    except CardError:
        return None


def _rather(found: FoundCard, other: KnownSize, thing: KnownSize, shape: tuple[int, ...]) -> bool:
    """Whether its corners are rather those of the other paper."""
    own_off, other_off = (
        shape_off(np.array(found.corners_px), thing=each, shape=shape) for each in (thing, other)
    )
    return other_off < own_off


def _quads(lab: NDArray[np.float32], *, thing: KnownSize) -> list[Points]:
    """Smooth, pale parts of about the sheet's shape, in pixels of the small picture, likeliest first."""
    soft = cv2.GaussianBlur(lab, (0, 0), 1.0)
    slope = np.sqrt(
        (cv2.Sobel(soft, cv2.CV_32F, 1, 0, scale=0.125) ** 2).sum(axis=2)
        + (cv2.Sobel(soft, cv2.CV_32F, 0, 1, scale=0.125) ** 2).sum(axis=2)
    )
    palest = float(np.quantile(lab[..., 0], 0.95))
    area = slope.size
    rated: list[tuple[float, Points]] = []
    for least in _SLOPES_LAB:
        flat = (slope < least).astype(np.uint8)
        for cut in _CUTS_PX:
            kernel = np.ones((cut, cut), np.uint8)
            mask = cv2.morphologyEx(flat, cv2.MORPH_OPEN, kernel, borderType=cv2.BORDER_CONSTANT)
            outlines, _ = cv2.findContours(mask, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
            for outline in outlines:
                hull = cv2.convexHull(outline)
                inside = cv2.contourArea(hull)
                if not _LEAST_AREA * area <= inside <= _MOST_AREA * area:
                    continue
                solid = cv2.contourArea(outline) / inside
                quad = cv2.approxPolyN(hull, 4).reshape(-1, 2).astype(np.float64) + 0.5
                full = inside / max(cv2.contourArea(quad.astype(np.float32)), 1.0)
                if len(quad) != 4 or solid < _SOLID or full < _FULL or _touches(quad, slope.shape):
                    continue
                off = shape_off(quad, thing=thing, shape=slope.shape)
                if off < _MOST_OFF_ROUGHLY and _pale(lab, quad) > palest - _AS_PALE_LAB:
                    rated.append((solid * full - off, quad))
    rated.sort(key=lambda each: -each[0])
    apart: list[Points] = []
    for _, quad in rated:
        if all(np.abs(quad - kept).max() > 4 for kept in apart):
            apart.append(quad)
    return apart


def _touches(quad: Points, shape: tuple[int, ...]) -> bool:
    return bool(quad.min() < 1 or quad[:, 0].max() > shape[1] - 1 or quad[:, 1].max() > shape[0] - 1)


def _pale(lab: NDArray[np.float32], quad: Points) -> float:
    x, y = quad.mean(axis=0).astype(int)
    return float(np.median(lab[max(0, y - 8) : y + 9, max(0, x - 8) : x + 9, 0]))


def _inside(inner: Points, outer: Points) -> bool:
    whole = outer.astype(np.float32)
    return all(cv2.pointPolygonTest(whole, (float(x), float(y)), True) > 2 for x, y in inner)
