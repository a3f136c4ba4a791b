"""The smallest lattice that a print's likeness to itself backs as a whole."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.lattice import Pair, Step, coarser_lattices, reduced
from swatches.self_likeness import LikenessMap

__all__ = ["find_lattice", "find_peaks"]

_SHORTEST_IN = 0.14
"""Finer lattices are weave and mean little: those of denim and canvas score 0.5 to 0.7."""
_SHORTEST_CLEAR_IN, _CLEAR_SCORE = 0.05, 0.85
"""But a check of eighths or sixteenths of an inch is plain to see (ours)."""
_MOST_PEAKS = 60
_STEPS_BACKED = 3
_CLEARER = 0.08
_LEAST_SINE = 0.25

Points = NDArray[np.float64]


def find_lattice(
    peaks: Points,
    scores: NDArray[np.float64],
    seen: LikenessMap,
    *,
    near: float,
    least: float,
    stands: Callable[[Step], bool],
) -> Pair | None:
    """The smallest lattice from peaks that score `near` the best, as a share, and at least `least`.

    None where none is backed.

    `stands`: whether the cloth itself proves a step, which is asked of both.
    """
    best = float(scores.max())
    chosen = np.nonzero(scores >= max(near * best, least))[0]
    chosen = chosen[np.argsort(np.hypot(*peaks[chosen].T), kind="stable")][:_MOST_PEAKS]
    found = _smallest_backed(peaks[chosen], scores[chosen], seen, stands)
    if found is None:
        return None
    pair, level = found
    return _refined(_coarsened(_refined(pair, seen, level), seen), seen, level)


def find_peaks(seen: LikenessMap) -> tuple[Points, NDArray[np.float64]]:
    """Shifts (n, 2) in inches at which the map has a peak outside its middle, strongest first."""
    likeness = np.nan_to_num(seen.likeness, nan=-1.0)
    # The half that is not kept, so that peaks on its border count once.
    mirrored = np.concatenate([likeness[3:0:-1, ::-1], likeness], axis=0)
    top = cv2.dilate(mirrored, np.ones((5, 5), np.uint8))
    # What still rises where the map ends has its peak beyond it: its place would be that of the border.
    whole = cv2.erode((mirrored > -1).astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=0)
    at = np.argwhere((mirrored >= top - 1e-7) & (mirrored > 0.3) & (whole > 0))
    y, x = at[:, 0] - 3, at[:, 1] - (seen.columns - 1)
    clear = mirrored[at[:, 0], at[:, 1]] >= _CLEAR_SCORE
    shortest = np.where(clear, _SHORTEST_CLEAR_IN, _SHORTEST_IN) * seen.ppi
    far = (np.hypot(x, y) >= shortest) & ((y > 0) | ((y == 0) & (x > 0)))
    far &= _outside_middle(seen, x, y)
    at, x, y = at[far], x[far], y[far]
    scores = mirrored[at[:, 0], at[:, 1]].astype(np.float64)
    order = np.argsort(-scores, kind="stable")[: 40 * _MOST_PEAKS]
    sub = np.array([_between(mirrored, row, column) for row, column in at[order]]).reshape(-1, 2)
    shifts = np.stack([x[order], y[order]], axis=1) + sub
    return shifts / seen.ppi, scores[order]


def _outside_middle(seen: LikenessMap, x: NDArray[np.intp], y: NDArray[np.intp]) -> NDArray[np.bool_]:
    """Whether on the way from no shift to each shift the likeness falls well below what it is there."""
    share = np.linspace(0.1, 0.9, 17)
    ways = np.stack([np.outer(x, share), np.outer(y, share)], axis=-1).reshape(-1, 2) / seen.ppi
    lowest = np.nanmin(np.nan_to_num(seen.at(ways), nan=1.0).reshape(len(x), -1), axis=1, initial=1.0)
    here = seen.at(np.stack([x, y], axis=1) / seen.ppi)
    return np.asarray(lowest < 0.9 * here)


def _between(picture: NDArray[np.float32], row: int, column: int) -> tuple[float, float]:
    """Where between pixels a peak lies, x and y: the top of a parabola each way."""
    rows, columns = picture.shape
    if not (0 < row < rows - 1 and 0 < column < columns - 1):
        return 0.0, 0.0
    found = []
    for before, after in (
        (picture[row, column - 1], picture[row, column + 1]),
        (picture[row - 1, column], picture[row + 1, column]),
    ):
        bend = float(before - 2 * picture[row, column] + after)
        ok = bend < -1e-9 and before > -1 and after > -1
        found.append(float(np.clip((before - after) / (2 * bend), -0.5, 0.5)) if ok else 0.0)
    return found[0], found[1]


def _smallest_backed(
    peaks: Points, scores: NDArray[np.float64], seen: LikenessMap, stands: Callable[[Step], bool]
) -> tuple[Pair, float] | None:
    """The pair of peaks with the smallest cell of which every lattice point that can be seen is a peak.

    And the lesser of their scores: one way cloth is often more like itself than the other.
    """
    pairs = []
    for i in range(len(peaks)):
        for j in range(i + 1, len(peaks)):
            a, b = peaks[i], peaks[j]
            area = abs(float(a[0] * b[1] - a[1] * b[0]))
            if area >= _LEAST_SINE * hypot(*a) * hypot(*b):
                pairs.append((area, hypot(*a) + hypot(*b), i, j))
    for _, _, i, j in sorted(pairs):
        pair = reduced(tuple(peaks[i]), tuple(peaks[j]))
        level = float(min(scores[i], scores[j]))
        if _backed(pair, seen, level) and stands(pair[0]) and stands(pair[1]):
            return pair, level
    return None


def _lattice_points(pair: Pair, reach: int) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
    span = np.arange(-reach, reach + 1)
    whole = np.stack(np.meshgrid(span, span), axis=-1).reshape(-1, 2)
    half = (whole[:, 1] > 0) | ((whole[:, 1] == 0) & (whole[:, 0] > 0))
    return whole[half], whole[half] @ np.array(pair)


def _backed(pair: Pair, seen: LikenessMap, best: float) -> bool:
    _, points = _lattice_points(pair, _STEPS_BACKED)
    likeness = seen.at(points)
    known = likeness[np.isfinite(likeness)]
    if len(known) < 2:
        return False
    # Cloth that was pulled is less like itself further off, so the bar is lower for the whole than for one.
    return bool(known.min() >= 0.70 * best and known.mean() >= 0.82 * best)


def _coarsened(pair: Pair, seen: LikenessMap) -> Pair:
    """The same lattice, or one inside it that the cloth backs clearly better: motifs alike but for colour."""
    for _ in range(3):
        whole, points = _lattice_points(pair, 6)
        likeness = seen.at(points)
        known = np.isfinite(likeness)
        chosen: tuple[float, NDArray[np.int64]] | None = None
        for coarse in coarser_lattices(6):
            inverse = np.linalg.inv(coarse.astype(np.float64))
            shares = whole[known] @ inverse
            member = np.asarray(
                (np.abs(shares - np.rint(shares)) < 1e-6).all(axis=1), dtype=np.bool_
            ).reshape(-1)
            if member.sum() < 2 or (~member).sum() < 2:
                continue
            if np.linalg.matrix_rank(whole[known][member]) < 2:
                continue
            gain = _member_gain(likeness[known], points[known], whole[known] == 0, member=member)
            if gain is not None and (chosen is None or gain > chosen[0] + 0.005):
                chosen = (gain, coarse)
        if chosen is None:
            return pair
        rows = chosen[1] @ np.array(pair)
        pair = reduced((rows[0, 0], rows[0, 1]), (rows[1, 0], rows[1, 1]))
    return pair


def _member_gain(
    likeness: NDArray[np.float64],
    points: NDArray[np.float64],
    straight: NDArray[np.bool_],
    *,
    member: NDArray[np.bool_],
) -> float | None:
    """How much more alike the cloth is at members of a lattice, if that is plain; None if not.

    Likeness falls with the length of a shift in pulled or unevenly lit cloth, and is greater straight along
    threads and lines, whatever the print: both are fitted beside.
    """
    terms = np.column_stack([np.ones(len(points)), np.abs(points), straight, member])
    if len(points) < terms.shape[1] + 2 or np.linalg.matrix_rank(terms) < terms.shape[1]:
        return None
    to_fit = np.linalg.pinv(terms)
    fitted = to_fit @ likeness
    left = likeness - terms @ fitted
    noise = float(np.sqrt((left @ left) / (len(points) - terms.shape[1]) * (to_fit[-1] @ to_fit[-1])))
    inside, outside = likeness[member], likeness[~member]
    # With few points the fit may make more of them than there is between any two.
    gain = min(float(fitted[-1]), float(inside.max() - outside.min()))
    plain = gain > max(_CLEARER * float(inside.mean()), 4 * noise) and inside.min() > np.median(outside)
    return gain if plain else None


def _refined(pair: Pair, seen: LikenessMap, best: float) -> Pair:
    """The pair that fits the sub-pixel peaks at all its lattice points best, by least squares."""
    steps = np.array(pair)
    for reach in (1, 2, 4, 7):
        whole, points = _lattice_points(((steps[0, 0], steps[0, 1]), (steps[1, 0], steps[1, 1])), reach)
        rows, targets, weights = [], [], []
        for n, point in zip(whole, points, strict=True):
            peak = _peak_near(seen, point)
            if peak is not None and peak[1] >= 0.6 * best:
                rows.append(n)
                targets.append(peak[0])
                weights.append(peak[1] ** 2)
        if len(rows) >= 2 and np.linalg.matrix_rank(np.array(rows)) == 2:
            root = np.sqrt(np.array(weights))[:, None]
            steps = np.linalg.lstsq(np.array(rows) * root, np.array(targets) * root, rcond=None)[0]
    return reduced((steps[0, 0], steps[0, 1]), (steps[1, 0], steps[1, 1]))


def _peak_near(seen: LikenessMap, shift_in: NDArray[np.float64]) -> tuple[NDArray[np.float64], float] | None:
    x, y = shift_in * seen.ppi
    flip = -1 if y < -0.5 else 1
    column, row = round(flip * x) + seen.columns - 1, round(flip * y)
    rows, columns = seen.likeness.shape
    reach = 2
    if not (reach < column < columns - reach - 1 and row < rows - reach - 1):
        return None
    if row < reach + 1:
        # Near the top border the other half of the map is the same, turned by half a turn.
        strip = seen.likeness[: 2 * reach + 3]
        both = np.concatenate([strip[:0:-1, ::-1], strip], axis=0)
        picture, centre = both, row + len(strip) - 1
    else:
        picture, centre = seen.likeness, row
    part = picture[centre - reach : centre + reach + 1, column - reach : column + reach + 1]
    if not np.isfinite(part).all():
        return None
    dy, dx = np.unravel_index(int(np.argmax(part)), part.shape)
    sub = _between(picture, centre + int(dy) - reach, column + int(dx) - reach)
    at = np.array([round(flip * x) + dx - reach + sub[0], row + dy - reach + sub[1]]) * flip
    return at / seen.ppi, float(part[dy, dx])
