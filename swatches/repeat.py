"""The repeat of a print, found in one photograph of it; never guessed."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.lattice import Pair, Step, coarser_lattices, lattice_name, reduced
from swatches.self_likeness import LikenessMap, even_lab, likeness_map
from swatches.stripes import find_stripe_step, stripe_direction

__all__ = ["Repeat", "RepeatError", "find_repeat", "repeat_from_clicks"]

RepeatKind = Literal["lattice", "stripe", "one way", "none", "plain"]

_PLAIN_LAB = 1.2
_LEAST_SCORE = 0.60
"""Right answers score 0.74 to 1.00, the best of prints without a repeat 0.50 (measured)."""
_SURE_SCORE = 0.85
"""Plaids of which hardly more than one repeat is seen come near this with steps that are wrong."""
_NEAR_BEST = 0.86
_SHORTEST_IN = 0.14
"""Finer lattices are weave and mean nothing: those of denim and canvas score 0.5 to 0.7."""
_MOST_PEAKS = 60
_STEPS_BACKED = 3
_CLEARER = 0.08
_LEAST_SINE = 0.25


class RepeatError(ValueError):
    """Clicks that state no repeat. Carries how to mend it."""

    def __init__(self, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{why}.")


@dataclass(frozen=True, slots=True)
class Repeat:
    """What the photograph shows of a print's repeat."""

    kind: RepeatKind
    steps_in: tuple[Step, ...]
    """Two shortest steps of a lattice, the one of stripes or of a print that repeats one way, or none."""
    score: float
    """Likeness of the cloth to itself after those steps, 0 to 1."""
    note: str

    @property
    def pair(self) -> Pair | None:
        """The two steps of a lattice."""
        return (self.steps_in[0], self.steps_in[1]) if len(self.steps_in) == 2 else None


def find_repeat(cloth_lin: NDArray[np.float32], *, ppi: float) -> Repeat:
    """The repeat of straightened cloth (H, W, 3), linear light, 0 to 1.

    Whole lattices have to be backed by the cloth's likeness to itself, so that a part of a repeat is not
    taken for all of it; where they are not, the answer is that less than a repeat and a half is seen.
    """
    even, work_ppi, spread = even_lab(cloth_lin, ppi=ppi)
    if spread < _PLAIN_LAB:
        return Repeat("plain", (), 1.0, "The cloth is plain: it looks the same everywhere.")
    direction = stripe_direction(even)
    if direction is not None:
        step = find_stripe_step(even, direction, ppi=work_ppi)
        if step is None:
            return _none(0.0, "Stripes, but the photograph shows less than one and a half repeats of them.")
        (x, y), score = step
        return Repeat("stripe", ((x, y),), score, f"Stripes that repeat every {hypot(x, y):.2f} inches.")
    seen = likeness_map(even, ppi=work_ppi)
    peaks, scores = _peaks(seen)
    if not len(peaks) or scores.max() < _LEAST_SCORE:
        return _none(float(scores.max()) if len(peaks) else 0.0, _LESS_THAN_ONE)
    best = float(scores.max())
    near = np.nonzero(scores >= _NEAR_BEST * best)[0]
    near = near[np.argsort(np.hypot(*peaks[near].T), kind="stable")][:_MOST_PEAKS]
    pair = _smallest_backed(peaks[near], seen, best)
    if pair is None:
        return _one_way(peaks[near], scores[near])
    pair = _refined(_coarsened(_refined(pair, seen, best), seen), seen, best)
    first, second = pair
    name = lattice_name(pair)
    unsure = "" if best >= _SURE_SCORE else _UNSURE
    return Repeat(
        "lattice",
        pair,
        best,
        f"A {name} repeat: {hypot(*first):.2f} and {hypot(*second):.2f} inches from motif to motif.{unsure}",
    )


def repeat_from_clicks(
    first_px: tuple[Step, Step], second_px: tuple[Step, Step] | None = None, *, ppi: float
) -> Repeat:
    """The repeat a maker marks: two like places of the print in straightened cloth, once or each way.

    Raises: RepeatError for places that coincide or steps that lie in one line.
    """
    steps: list[Step] = []
    for marked in (first_px, second_px):
        if marked is None:
            continue
        (x0, y0), (x1, y1) = marked
        step = ((x1 - x0) / ppi, (y1 - y0) / ppi)
        if hypot(*step) < _SHORTEST_IN / 2:
            raise RepeatError(
                "The two places are nearly the same", mend="Mark the same spot of two motifs that are alike."
            )
        steps.append(step)
    if len(steps) == 1:
        return Repeat("one way", (steps[0],), 1.0, f"Repeats every {hypot(*steps[0]):.2f} inches, as marked.")
    (ax, ay), (bx, by) = steps
    if abs(ax * by - ay * bx) < 0.1 * hypot(ax, ay) * hypot(bx, by):
        raise RepeatError("Both steps lie in one line", mend="Mark one step across and one up or down.")
    pair = reduced(steps[0], steps[1])
    return Repeat("lattice", pair, 1.0, f"A {lattice_name(pair)} repeat, as marked.")


_UNSURE = " Not sure: look at it on the cloth, and mark two like places each way if it is wrong."
_LESS_THAN_ONE = "The photograph shows less than one and a half repeats of the print, or it has none."


def _none(score: float, note: str) -> Repeat:
    return Repeat("none", (), score, note)


def _peaks(seen: LikenessMap) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Shifts (n, 2) in inches at which the map has a peak outside its middle, strongest first."""
    likeness = np.nan_to_num(seen.likeness, nan=-1.0)
    # The half that is not kept, so that peaks on its border count once.
    mirrored = np.concatenate([likeness[3:0:-1, ::-1], likeness], axis=0)
    top = cv2.dilate(mirrored, np.ones((5, 5), np.uint8))
    at = np.argwhere((mirrored >= top - 1e-7) & (mirrored > 0.3))
    y, x = at[:, 0] - 3, at[:, 1] - (seen.columns - 1)
    far = (np.hypot(x, y) >= _SHORTEST_IN * seen.ppi) & ((y > 0) | ((y == 0) & (x > 0)))
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


def _smallest_backed(peaks: NDArray[np.float64], seen: LikenessMap, best: float) -> Pair | None:
    """The pair of peaks with the smallest cell of which every lattice point that can be seen is a peak."""
    pairs = []
    for i in range(len(peaks)):
        for j in range(i + 1, len(peaks)):
            a, b = peaks[i], peaks[j]
            area = abs(float(a[0] * b[1] - a[1] * b[0]))
            if area >= _LEAST_SINE * hypot(*a) * hypot(*b):
                pairs.append((area, hypot(*a) + hypot(*b), i, j))
    for _, _, i, j in sorted(pairs):
        pair = reduced(tuple(peaks[i]), tuple(peaks[j]))
        if _backed(pair, seen, best):
            return pair
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
    fitted = np.linalg.lstsq(terms, likeness, rcond=None)[0]
    left = likeness - terms @ fitted
    noise = float(
        np.sqrt((left @ left) / (len(points) - terms.shape[1]) * np.linalg.inv(terms.T @ terms)[-1, -1])
    )
    gain = float(fitted[-1])
    inside, outside = likeness[member], likeness[~member]
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


def _one_way(peaks: NDArray[np.float64], scores: NDArray[np.float64]) -> Repeat:
    """A repeat in one direction only, the commonest when a large print is photographed."""
    i = int(np.argmin(np.hypot(*peaks.T)))
    x, y = float(peaks[i, 0]), float(peaks[i, 1])
    note = (
        f"Repeats every {hypot(x, y):.2f} inches one way; the other way the photograph shows less than one "
        "and a half repeats."
    )
    return Repeat("one way", ((x, y),), float(scores[i]), note)
