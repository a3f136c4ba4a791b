"""The repeat of a print, found in one photograph of it; never guessed."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.lattice import Pair, Step, lattice_name, reduced
from swatches.lattice_search import find_lattice, find_peaks
from swatches.self_likeness import LikenessMap, even_lab, likeness_map, without_margin
from swatches.step_proof import step_stands
from swatches.stripes import find_stripe_step, stripe_direction

__all__ = ["Repeat", "RepeatError", "find_repeat", "repeat_from_clicks"]

RepeatKind = Literal["lattice", "stripe", "one way", "none", "plain"]

_PLAIN_LAB = 1.2
_LEAST_SCORE = 0.60
"""Right answers score 0.61 to 1.00, the best of prints without a repeat 0.45 (measured)."""
_SURE_SCORE = 0.75
"""Wrong repeats, of prints of which hardly more than one repeat is seen, score up to 0.73 (measured)."""
_NEAR_BEST, _LESS_NEAR = 0.86, 0.70
_SOFT_IN, _SOFT_SHARE = 0.025, 1 / 180
_MARGIN = 0.08
"""Selvedges, margins and backdrops of photographed pieces are seldom wider (measured on 18)."""
_MOST_TRIED = 12
_LEAST_OVERLAP = 0.30
"""Of the cloth with itself after a step that no other step backs: corners may look alike by chance (ours)."""
_LITTLE_OVERLAP, _SURE_LITTLE = (0.35, 0.45), 0.85
"""The less overlaps, the more alike two places are by chance: 0.80 at a third (measured)."""
_LEAST_CLICKED_IN = 0.07


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
    margin: float = 0.0
    """Share of the photograph left out at each side, where its edges are unlike the print."""

    @property
    def pair(self) -> Pair | None:
        """The two steps of a lattice."""
        return (self.steps_in[0], self.steps_in[1]) if len(self.steps_in) == 2 else None


def find_repeat(cloth_lin: NDArray[np.float32], *, ppi: float) -> Repeat:
    """The repeat of straightened cloth (H, W, 3), linear light, 0 to 1.

    Whole lattices have to be backed by the cloth's likeness to itself, so that a part of a repeat is not
    taken for all of it, and each step proved by what changes along it; where they are not, the answer is
    that less than a repeat and a half is seen. If the whole picture shows none, its middle is asked, for
    selvedges, margins and what lies beside the cloth are no part of the print.
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
    # Pulled cloth, printing by hand and slubs move things by about so much; motifs are larger.
    sigma_px = min(_SOFT_IN * work_ppi, min(even.shape[:2]) * _SOFT_SHARE)
    soft = np.asarray(cv2.GaussianBlur(even, (0, 0), sigma_px), dtype=np.float32)
    views = [_look(soft, work_ppi, margin) for margin in (0.0, _MARGIN)]
    for near in (_NEAR_BEST, _LESS_NEAR):
        for view in views:
            found = view.lattice(near)
            if found is not None:
                return found
    one_way = [found for found in (view.one_way() for view in views) if found is not None]
    if one_way:
        return max(one_way, key=lambda found: found.score)
    return _none(max(view.best for view in views), _LESS_THAN_ONE)


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
        if hypot(*step) < _LEAST_CLICKED_IN:
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
_NOT_SEEN = "the photograph shows less than one and a half repeats"
_LESS_THAN_ONE = "The photograph shows less than one and a half repeats of the print, or it has none."


def _none(score: float, note: str) -> Repeat:
    return Repeat("none", (), score, note)


@dataclass(frozen=True, slots=True, eq=False)
class _View:
    """The cloth, or its middle, and where it is like itself."""

    soft: NDArray[np.float32]
    ppi: float
    margin: float
    seen: LikenessMap
    peaks: NDArray[np.float64]
    scores: NDArray[np.float64]

    @property
    def best(self) -> float:
        return float(self.scores.max(initial=0.0))

    def stands(self, step: Step) -> bool:
        return step_stands(self.soft, step, ppi=self.ppi)

    def lattice(self, near: float) -> Repeat | None:
        """A repeat both ways."""
        if self.best < _LEAST_SCORE:
            return None
        pair = find_lattice(
            self.peaks, self.scores, self.seen, near=near, least=_LEAST_SCORE, stands=self.stands
        )
        if pair is None:
            return None
        first, second = pair
        score = float(np.nanmin(np.append(self.seen.at(np.array(pair)), self.best)))
        name = lattice_name(pair)
        note = f"A {name} repeat: {hypot(*first):.2f} and {hypot(*second):.2f} inches from motif to motif."
        unsure = "" if score >= _SURE_SCORE else _UNSURE
        return Repeat("lattice", pair, score, note + unsure, self.margin)

    def one_way(self) -> Repeat | None:
        """A repeat in one direction only, the commonest when a large print is photographed."""
        near = self.scores >= max(_NEAR_BEST * self.best, _LEAST_SCORE)
        shortest = sorted(
            zip(self.peaks[near], self.scores[near], strict=True), key=lambda each: hypot(*each[0])
        )
        high, wide = (side / self.ppi for side in self.soft.shape[:2])
        for (x, y), score in shortest[:_MOST_TRIED]:
            overlap = (1 - abs(x) / wide) * (1 - abs(y) / high)
            if overlap >= _LEAST_OVERLAP and self.stands((float(x), float(y))):
                note = f"Repeats every {hypot(x, y):.2f} inches one way; the other way {_NOT_SEEN}."
                sure = score >= np.interp(overlap, _LITTLE_OVERLAP, (_SURE_LITTLE, _SURE_SCORE))
                note += "" if sure else _UNSURE
                return Repeat("one way", ((float(x), float(y)),), float(score), note, self.margin)
        return None


def _look(soft: NDArray[np.float32], ppi: float, margin: float) -> _View:
    middle = without_margin(soft, margin)
    seen = likeness_map(middle - middle.mean(axis=(0, 1)), ppi=ppi)
    return _View(middle, ppi, margin, seen, *find_peaks(seen))
