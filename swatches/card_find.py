"""A card or a sheet of paper found in a photograph by itself: four straight edges of a known shape."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.card_plane import CardError
from swatches.known_sizes import CARD, KnownSize
from swatches.line_snap import Snapped, snap_corners
from swatches.rectangle_shape import shape_off

__all__ = ["CutOffError", "FoundCard", "check_whole", "find_card"]

_WORK_PX = 640
_EVEN_PX = 13
_LEAST_AREA, _MOST_AREA = 0.008, 0.6
_FULL = 0.88
"""Share of its surrounding rectangle that a card's outline fills, corners rounded and seen at a slant."""
_LEAST_SOLID = 0.75
_MOST_TRIED = 9
_SURE = 0.85
_PROOFS = ((6.0, 0.55, 0.5), (4.5, 0.4, 0.75))
"""Least step at every edge, share of an edge that shows it, and share of the rim inside an edge that has the
card's one colour. On a print of the card's own colour the step is seen at fewer places: then the rim must
be plainer (measured)."""
_RIM_SHARES = tuple(0.012 * step for step in range(1, 16))
_ONE_COLOUR_LAB = 12.0
_SHAPE_SLACK = 1.22
"""How far a tilted camera changes the ratio of sides: about 35 degrees."""
_MOST_OFF = 0.06
"""How far corners may miss the shape that a phone would show of it. Cards come to 0.033, in close crops of
their photographs to 0.054; A4 taken for a card to 0.07 and more (measured on 70, 60 and 40)."""

Points = NDArray[np.float64]


class CutOffError(CardError):
    """A card or sheet that the picture does not show whole."""


@dataclass(frozen=True, slots=True, eq=False)
class FoundCard:
    """Corners in pixels, in order round the card, and how plain its edges are."""

    corners_px: tuple[tuple[float, float], ...]
    step_lab: float
    sure: float
    """0 to 1; show the corners for dragging in any case."""


def find_card(photo_srgb8: NDArray[np.uint8], *, thing: KnownSize = CARD) -> FoundCard:
    """The card or sheet that a photograph shows, or any plain rectangle of that shape.

    Raises: CardError when none is plain enough to be trusted, or when it is not seen whole.
    """
    long_to_short = float(thing.long_in / thing.short_in)
    factor = min(1.0, _WORK_PX / max(photo_srgb8.shape[:2]))
    size = (round(photo_srgb8.shape[1] * factor), round(photo_srgb8.shape[0] * factor))
    small = np.asarray(cv2.resize(photo_srgb8, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    lab = np.asarray(lab_from_lin(srgb8_to_lin(small)), dtype=np.float32)
    found: list[tuple[float, Snapped]] = []
    for quad in _quads(lab, long_to_short=long_to_short)[:_MOST_TRIED]:
        try:
            best = _snapped(photo_srgb8, quad / factor, reach_px=max(10.0, 4.0 / factor))
        except cv2.error:
            continue
        plain = _plain_rim(lab, np.array(best.corners_px) * factor, step_lab=best.step_lab)
        sure = _sureness(best, plain=plain, long_to_short=long_to_short)
        # By its sides alone, paper may be a card towards which the camera leans.
        off = shape_off(np.array(best.corners_px), thing=thing, shape=photo_srgb8.shape)
        if sure > 0 and off <= _MOST_OFF:
            found.append((sure, best))
            if sure > _SURE:
                break
    if not found:
        raise CardError(
            f"No {thing.called} was found in the picture",
            mend="Mark its four corners, or lay down one whose colour differs more from the cloth.",
        )
    sure, best = max(found, key=lambda each: each[0])
    check_whole(best.corners_px, photo_srgb8, thing=thing)
    return FoundCard(best.corners_px, best.step_lab, sure)


def check_whole(
    corners_px: Sequence[tuple[float, float]], photo_srgb8: NDArray[np.uint8], *, thing: KnownSize
) -> None:
    """Nothing, if all found corners lie in the picture; edges that cross outside it are seen only in part.

    Raises: CutOffError if one lies outside.
    """
    rows, columns = photo_srgb8.shape[:2]
    if not all(0 <= x <= columns and 0 <= y <= rows for x, y in corners_px):
        raise CutOffError(
            f"A {thing.called} was found, but a corner of it lies outside the picture",
            mend="Photograph all of it, with cloth beside it.",
        )


def _snapped(photo: NDArray[np.uint8], quad: Points, *, reach_px: float) -> Snapped:
    first = snap_corners(photo, [(x, y) for x, y in quad], reach_px=reach_px)
    return snap_corners(photo, first.corners_px, reach_px=max(4.0, reach_px / 4))


def _plain_rim(lab: NDArray[np.float32], quad: Points, *, step_lab: float) -> float:
    """Share of the least plain line along an edge, inside it, that has the colour of the whole rim.

    Edges of a regular print may surround a card neatly; then there is print between them and the card.
    """
    along = np.linspace(0.12, 0.88, 32)
    middle = quad.mean(axis=0)
    inner = [quad + (middle - quad) * 2 * share for share in _RIM_SHARES]
    places = np.stack(
        [ring[i] + along[:, None] * (ring[(i + 1) % 4] - ring[i]) for i in range(4) for ring in inner]
    ).astype(np.float32)
    seen = cv2.remap(
        lab, places[..., 0] - 0.5, places[..., 1] - 0.5, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    apart = np.sqrt(((seen - np.median(seen, axis=(0, 1))) ** 2).sum(axis=2))
    # What lies beyond a faint edge must count as another colour, if some of it was taken in.
    one = apart < min(_ONE_COLOUR_LAB, step_lab)
    return float(one.mean(axis=1).min())


def _sureness(snapped: Snapped, *, plain: float, long_to_short: float) -> float:
    corners = np.array(snapped.corners_px)
    sides = np.hypot(*(np.roll(corners, -1, axis=0) - corners).T)
    if not cv2.isContourConvex(corners.astype(np.float32)) or sides.min() < 20:
        return 0.0
    opposite = max(max(sides[i], sides[i + 2]) / min(sides[i], sides[i + 2]) for i in (0, 1))
    pair = np.sort([sides[0] + sides[2], sides[1] + sides[3]])
    off = max(pair[1] / pair[0] / long_to_short, long_to_short * pair[0] / pair[1])
    if opposite > 1.35 or off > _SHAPE_SLACK:
        return 0.0
    seen = (snapped.step_lab, snapped.even, plain)
    if not any(all(has >= least for has, least in zip(seen, proof, strict=True)) for proof in _PROOFS):
        return 0.0
    return float(min(1.0, snapped.step_lab / 25) * snapped.even * (2 - off) * (1.5 - opposite / 2))


def _quads(lab: NDArray[np.float32], *, long_to_short: float) -> list[Points]:
    """Outlines that may be the card, likeliest first, in pixels of the small picture, in order round it."""
    area = lab.shape[0] * lab.shape[1]
    rated: list[tuple[float, Points]] = []
    for mask in _masks(lab):
        outlines, _ = cv2.findContours(mask, cv2.RETR_LIST, cv2.CHAIN_APPROX_NONE)
        for outline in outlines:
            hull = np.asarray(cv2.convexHull(outline), dtype=np.int32)
            inside = cv2.contourArea(hull)
            if not _LEAST_AREA * area <= inside <= _MOST_AREA * area:
                continue
            solid = cv2.contourArea(outline) / inside
            if solid < _LEAST_SOLID:
                continue
            quad = _four_corners(hull)
            full = inside / max(cv2.contourArea(quad.astype(np.float32)), 1.0)
            sides = np.hypot(*(np.roll(quad, -1, axis=0) - quad).T)
            pair = np.sort([sides[0] + sides[2], sides[1] + sides[3]])
            if pair[0] < 8:
                continue
            off = max(pair[1] / pair[0] / long_to_short, long_to_short * pair[0] / pair[1])
            if full < _FULL or off > _SHAPE_SLACK:
                continue
            rated.append((solid * full / off, quad))
    rated.sort(key=lambda each: -each[0])
    apart: list[Points] = []
    for _, quad in rated:
        if all(_differs(quad, kept) for kept in apart):
            apart.append(quad)
    return apart


def _differs(first: Points, second: Points) -> bool:
    moved = np.abs(first.mean(axis=0) - second.mean(axis=0)).max()
    return bool(moved > 6 or np.abs(np.ptp(first, axis=0) - np.ptp(second, axis=0)).max() > 8)


def _four_corners(hull: NDArray[np.int32]) -> Points:
    """The four-sided figure whose sides run along a hull's own, rounded corners left aside."""
    quad = np.asarray(cv2.boxPoints(cv2.minAreaRect(hull)), dtype=np.float64)
    rim = _rim(hull.reshape(-1, 2).astype(np.float64))
    for _ in range(3):
        lines = []
        for i in range(4):
            start, along = quad[i], quad[(i + 1) % 4] - quad[i]
            length = max(float(np.hypot(*along)), 1.0)
            share = (rim - start) @ along / length**2
            off = np.abs((rim - start) @ (-along[1], along[0])) / length
            near = (share > 0.12) & (share < 0.88) & (off < 0.16 * length)
            if near.sum() < 4:
                return quad
            x, y, x0, y0 = cv2.fitLine(rim[near].astype(np.float32), cv2.DIST_HUBER, 0, 0.01, 0.01).ravel()
            lines.append((np.array([x0, y0], dtype=np.float64), np.array([x, y], dtype=np.float64)))
        crossed = [_crossed(lines[i - 1], lines[i]) for i in range(4)]
        if any(point is None for point in crossed):
            return quad
        quad = np.array(crossed, dtype=np.float64)
    return quad


def _rim(hull: Points) -> Points:
    """Points every pixel or so along a hull."""
    ends = np.roll(hull, -1, axis=0)
    parts = []
    for start, end in zip(hull, ends, strict=True):
        share = np.linspace(0, 1, max(2, int(np.hypot(*(end - start)))), endpoint=False)
        parts.append(start + (end - start) * share[:, None])
    return np.concatenate(parts)


def _crossed(first: tuple[Points, Points], second: tuple[Points, Points]) -> Points | None:
    (a, u), (b, v) = first, second
    across = float(u[0] * v[1] - u[1] * v[0])
    if abs(across) < 0.2:
        return None
    return np.asarray(a + u * (float((b - a)[0] * v[1] - (b - a)[1] * v[0]) / across), dtype=np.float64)


def _masks(lab: NDArray[np.float32]) -> list[NDArray[np.uint8]]:
    """Pictures in black and white in which a card may stand out whole: places like its own plain colours."""
    soft = cv2.GaussianBlur(lab, (0, 0), 1.2)
    # A card is plainer than cloth: its colours are looked for among the places that are locally even.
    mean = cv2.blur(soft, (_EVEN_PX, _EVEN_PX))
    rough = np.sqrt(np.maximum(cv2.blur(soft * soft, (_EVEN_PX, _EVEN_PX)) - mean * mean, 0).sum(axis=2))
    even = rough < max(2.0, float(np.quantile(rough, 0.12)))
    made: list[NDArray[np.uint8]] = []
    for centre in _centres(mean[even]):
        apart = np.sqrt(((soft - centre) ** 2 * (0.7, 1.0, 1.0)).sum(axis=2))
        for most in (6.0, 11.0, 18.0):
            made += _cleaned(np.asarray(apart < most, dtype=np.uint8) * 255)
    return made


def _centres(colours: NDArray[np.float32]) -> NDArray[np.float32]:
    if len(colours) < 64:
        return colours[:1]
    samples = np.ascontiguousarray(colours[:: max(1, len(colours) // 20_000)], dtype=np.float32)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 20, 0.5)
    cv2.setRNGSeed(7)
    count = min(9, len(samples))
    _, _, centres = cv2.kmeans(samples, count, np.empty((0, 1), np.int32), stop, 2, cv2.KMEANS_PP_CENTERS)
    return np.asarray(centres, dtype=np.float32)


def _cleaned(mask: NDArray[np.uint8]) -> list[NDArray[np.uint8]]:
    """With what is printed on the card filled, and with bridges to print of the same colour cut."""
    made = []
    for close, cut in ((5, 13), (13, 13), (13, 31)):
        closed = cv2.morphologyEx(mask, cv2.MORPH_CLOSE, _square(close))
        made.append(np.asarray(cv2.morphologyEx(closed, cv2.MORPH_OPEN, _square(cut)), dtype=np.uint8))
    return made


def _square(side: int) -> NDArray[np.uint8]:
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_RECT, (side, side)), dtype=np.uint8)
