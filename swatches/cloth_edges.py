"""The straight edges at which cloth ends in a straightened picture, with what speaks for and against them."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["EdgedCloth", "edged_cloth"]

_MOST_EDGES = 4
_TEETH_IN = 0.14
"""Pinking shears cut teeth up to 1/8 inch deep (common practice, no source)."""
_MOST_ALIKE, _MOST_STRAY = 0.05, 0.02
_BENDS_IN, _AT_FRAME_IN = (0.1, 0.2), 0.15
_SHORT_IN, _LONG_IN = 0.7, 1.5
"""These and the other limits here are ours, chosen on half of 160 simulated photographs."""
_BLUNT = 0.15
"""Corners are a little blunt, lost in blur or frayed: the share of the whole way round that may be (ours)."""
_CLEAN = 0.93
_MOSTLY = 0.6
"""Where a print has the table's colour, its edge is lost in places (ours)."""
_LEAST_STEP = 3.0
_NEAR_IN, _FAR_IN = 0.18, 0.48
_SQUARE_COS = 0.35
"""Edges that meet within about 20 degrees of square."""
_THROUGH_LAB = 1.5

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
Lab = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class EdgedCloth:
    """The part that may be cloth, convex with one to four straight edges inside the picture."""

    inside: Mask
    """(H, W), out to the line of each edge."""
    beyond: Mask
    """(H, W), what is seen past the edges."""
    edges_px: tuple[tuple[Floats, Floats], ...]
    square: bool
    """Whether two of the edges meet at a right angle, as those of cut cloth do and stripes do not."""
    through: float
    """Likeness, up to 1, of what is seen along both sides of the edges: bars of a plaid run through."""
    whole: bool
    """Whether the two are told apart along every edge, not along most alone."""


def edged_cloth(unlike: Mask, *, soft_lab: Lab, free: Mask, px_per_in: float) -> EdgedCloth | None:
    """The rest of a picture beside a part that is unlike it; None unless the two meet along straight edges.

    Along its whole length an edge has one on its one side and the other on its other, in plain steps of
    colour, and most edges must; neither may turn up again on the wrong side.
    """
    rest = cv2.morphologyEx((free & ~unlike).astype(np.uint8), cv2.MORPH_OPEN, np.ones((5, 5), np.uint8))
    count, numbers, stats, _ = cv2.connectedComponentsWithStats(rest)
    if count < 2:
        return None
    largest = (numbers == 1 + int(np.argmax(stats[1:, cv2.CC_STAT_AREA]))).astype(np.uint8)
    outlines, _ = cv2.findContours(largest, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    hull = np.asarray(cv2.convexHull(np.concatenate(list(outlines))), dtype=np.int32)
    filled = np.zeros(unlike.shape, np.uint8)
    cv2.fillConvexPoly(filled, hull, 1)
    teeth = max(3, 2 * round(_TEETH_IN * px_per_in) + 1)
    # Beyond the picture the cloth goes on, so the hull shrinks at its edges alone.
    kernel = np.ones((teeth, teeth), np.uint8)
    deep = cv2.erode(filled, kernel, borderType=cv2.BORDER_CONSTANT, borderValue=1) > 0
    inside = filled > 0
    if _share(unlike, deep & free) > _MOST_ALIKE or _share(rest > 0, ~inside & free) > _MOST_STRAY:
        return None
    edges, lengths = _few_edges(hull, shape=unlike.shape, px_per_in=px_per_in)
    if not edges:
        return None
    middle = hull.reshape(-1, 2).mean(axis=0)
    strips = [_Strip(start, end, middle, px_per_in, free) for start, end in edges]
    divided = [
        length < _SHORT_IN or strip.divides(unlike, soft_lab)
        for strip, length in zip(strips, lengths, strict=True)
    ]
    if np.dot(divided, lengths) < _MOSTLY * sum(lengths):
        return None
    long = [i for i, length in enumerate(lengths) if length >= 1]
    weights = np.array([lengths[i] for i in long])
    through = np.array([strips[i].through(soft_lab) for i in long])
    return EdgedCloth(
        inside,
        ~inside & unlike,
        tuple(edges),
        _square(edges, lengths),
        float((through * weights).sum() / weights.sum()),
        all(divided),
    )


def _share(what: Mask, where: Mask) -> float:
    return float((what & where).sum() / max(1, int(where.sum())))


def _few_edges(
    hull: NDArray[np.int32], *, shape: tuple[int, ...], px_per_in: float
) -> tuple[list[tuple[Floats, Floats]], list[float]]:
    """The hull's sides inside the picture and their lengths in inches; none if it is no cut cloth."""
    for bend_in in _BENDS_IN:
        edges = _edges_inside(hull, shape=shape, px_per_in=px_per_in, bend_in=bend_in)
        lengths = [hypot(*(end - start)) / px_per_in for start, end in edges]
        short = sum(length for length in lengths if length < _SHORT_IN)
        count = sum(length >= _SHORT_IN for length in lengths)
        if 1 <= count <= _MOST_EDGES and max(lengths) >= _LONG_IN and short <= _BLUNT * sum(lengths):
            return edges, lengths
    return [], []


def _edges_inside(
    hull: NDArray[np.int32], *, shape: tuple[int, ...], px_per_in: float, bend_in: float
) -> list[tuple[Floats, Floats]]:
    """The hull's straight sides that do not lie along the picture's own."""
    corners = np.asarray(cv2.approxPolyDP(hull, bend_in * px_per_in, True).reshape(-1, 2), dtype=np.float64)
    near = _AT_FRAME_IN * px_per_in
    walls = ((0, 0), (0, shape[1] - 1), (1, 0), (1, shape[0] - 1))
    edges = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        along = any(abs(start[k] - at) < near and abs(end[k] - at) < near for k, at in walls)
        if not along:
            edges.append((start, end))
    return edges


def _square(edges: list[tuple[Floats, Floats]], lengths: list[float]) -> bool:
    ways = [(end - start) / hypot(*(end - start)) for start, end in edges]
    long = [i for i, length in enumerate(lengths) if length >= 1]
    return any(abs(float(ways[i] @ ways[j])) < _SQUARE_COS for i in long for j in long if i < j)


class _Strip:
    """Places on both sides of an edge, along all of it, that are in the picture and free."""

    def __init__(self, start: Floats, end: Floats, middle: Floats, px_per_in: float, free: Mask) -> None:
        along = end - start
        length = hypot(*along)
        outward = np.array([along[1], -along[0]]) / length
        if outward @ (middle - start) > 0:
            outward = -outward
        share = np.linspace(0.03, 0.97, max(12, int(length / 2)))
        offsets = np.linspace(_NEAR_IN, _FAR_IN, 5) * px_per_in
        line = start + share[:, None, None] * along
        self.halves = max(2, int(2 * length / px_per_in))
        self.sides = [_places(line + way * offsets[:, None] * outward, free) for way in (-1, 1)]

    def divides(self, unlike: Mask, soft_lab: Lab) -> bool:
        """Whether the near places outside are unlike those inside, and every half inch shows a step."""
        (at, seen), (out_at, out_seen) = self.sides
        clean = (~unlike[at[:, 0, 1], at[:, 0, 0]] | ~seen[:, 0]).mean()
        out_clean = (unlike[out_at[:, 0, 1], out_at[:, 0, 0]] | ~out_seen[:, 0]).mean()
        if min(clean, out_clean) < _CLEAN:
            return False
        inner, outer = soft_lab[at[..., 1], at[..., 0]], soft_lab[out_at[..., 1], out_at[..., 0]]
        for part in np.array_split(np.arange(len(at)), self.halves):
            one, other = inner[part][seen[part]], outer[part][out_seen[part]]
            if min(len(one), len(other)) < 4:
                continue
            step = np.linalg.norm(one.mean(axis=0) - other.mean(axis=0))
            rough = np.linalg.norm(one.std(axis=0)) - np.linalg.norm(other.std(axis=0))
            if hypot(float(step), float(rough)) < _LEAST_STEP:
                return False
        return True

    def through(self, soft_lab: Lab) -> float:
        """Correlation of the colours along the edge, one side with the other, allowing a little shift."""
        (at, seen), (out_at, out_seen) = self.sides
        both = (seen.sum(axis=1) > 1) & (out_seen.sum(axis=1) > 1)
        if both.sum() < 12:
            return 0.0
        inner = _level(_means(soft_lab, at, seen)[both])
        outer = _level(_means(soft_lab, out_at, out_seen)[both])
        if min(_size(inner), _size(outer)) < _THROUGH_LAB:
            return 0.0
        count, best = len(inner), 0.0
        for shift in range(-2, 3):
            one = inner[max(0, shift) : count + min(0, shift)]
            other = outer[max(0, -shift) : count + min(0, -shift)]
            best = max(best, float((one * other).sum() / np.sqrt((one**2).sum() * (other**2).sum())))
        return best


def _places(points: Floats, free: Mask) -> tuple[NDArray[np.int64], Mask]:
    rows, columns = free.shape
    at = np.clip(np.floor(points).astype(np.int64), 0, (columns - 1, rows - 1))
    inside = (points >= 0).all(axis=-1) & (points < (columns, rows)).all(axis=-1)
    return at, inside & free[at[..., 1], at[..., 0]]


def _means(soft_lab: Lab, at: NDArray[np.int64], seen: Mask) -> Floats:
    colours = soft_lab[at[..., 1], at[..., 0]].astype(np.float64) * seen[..., None]
    return np.asarray(colours.sum(axis=1) / np.maximum(seen.sum(axis=1), 1)[:, None], dtype=np.float64)


def _level(colours: Floats) -> Floats:
    """With the slow change of the light along the edge taken off."""
    x = np.arange(len(colours), dtype=np.float64)
    fit = np.polynomial.polynomial.polyfit(x, colours, 1)
    return np.asarray(colours - fit[0] - x[:, None] * fit[1], dtype=np.float64)


def _size(colours: Floats) -> float:
    return float(np.sqrt((colours**2).sum(axis=1).mean()))
