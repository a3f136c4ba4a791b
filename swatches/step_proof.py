"""Whether a step of a print is proved by what changes along it, and not by lines that run along it."""

from __future__ import annotations

from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.lattice import Step
from swatches.stripes import mean_along

__all__ = ["step_stands"]

_LEAST_REST = 0.02
"""Of what changes in the cloth, the share that has to be left when lines along the step are gone (ours)."""
_LEAST_SCORE = 0.50
_LINED = 0.75
"""From this share of lines on, cloth is a plaid to each direction of its threads (measured: 0.8 to 1.0)."""
_LEAST_LINED = 0.75
_OVERLAPS, _LEAST_EVENED = (0.45, 0.60), (0.965, 0.80)
"""What is asked of lines as they are and, at an overlap, once a slope of light is allowed for. Where little
more than one repeat is seen, wrong steps come to 0.96 so, right ones of plaids to 0.97 and more; at wider
overlaps right ones come to 0.88 and more, wrong ones to 0.76 at most (measured on 40 plaids and checks)."""
_LEAST_OVERLAP = 0.32

Map = NDArray[np.float32]


def step_stands(even: Map, step_in: Step, *, ppi: float) -> bool:
    """Whether cloth (H, W, channels) without slow changes is the same after a step, in inches.

    In a plaid the lines along a step make any length of it seem right. They are taken off: what is left has
    to be like itself, and where it is lines too, those across the step, as closely as one set of lines can
    be, over enough of them to show more than one repeat.
    """
    step = np.array(step_in) * ppi
    length = hypot(*step)
    along = (float(step[0] / length), float(step[1] / length))
    rest = even - _lines(even, (-along[1], along[0]))[0]
    before, left = _energy(even), _energy(rest)
    if left < _LEAST_REST * before:
        return False
    lines, profile = _lines(rest, along)
    if 1 - _energy(rest - lines) / left < _LINED:
        return _best_likeness(rest, (round(float(step[0])), round(float(step[1])))) >= _LEAST_SCORE
    overlap = 1 - length / len(profile)
    if overlap < _LEAST_OVERLAP:
        return False
    as_they_are, evened = _line_likeness(profile, round(length))
    return as_they_are >= _LEAST_LINED and evened >= float(np.interp(overlap, _OVERLAPS, _LEAST_EVENED))


def _lines(even: Map, across: tuple[float, float]) -> tuple[Map, Map]:
    """The part of the cloth that is the same all along lines, and its profile (n, channels) across them."""
    profile, places = mean_along(even, across)
    lines = profile[np.clip(places, 0, len(profile) - 1)].reshape(even.shape)
    return np.asarray(lines, dtype=np.float32), np.asarray(profile, dtype=np.float32)


def _energy(even: Map) -> float:
    return cv2.norm(even, cv2.NORM_L2SQR)


def _best_likeness(even: Map, shift_px: tuple[int, int]) -> float:
    """Correlation of the cloth with itself after a shift, or after one a pixel beside it."""
    rows, columns, channels = even.shape
    flat = np.ascontiguousarray(even).reshape(rows, -1)
    sums, squares = (
        np.asarray(table, dtype=np.float64)
        for table in cv2.integral2(even, sdepth=cv2.CV_64F, sqdepth=cv2.CV_64F)
    )

    def within(table: NDArray[np.float64], x: int, y: int, wide: int, high: int) -> NDArray[np.float64]:
        return np.asarray(table[y + high, x + wide] - table[y, x + wide] - table[y + high, x] + table[y, x])

    best = -1.0
    for x in range(shift_px[0] - 1, shift_px[0] + 2):
        for y in range(shift_px[1] - 1, shift_px[1] + 2):
            wide, high = columns - abs(x), rows - abs(y)
            if min(wide, high) < 4:
                continue
            boxes = [(max(sign * x, 0), max(sign * y, 0), wide, high) for sign in (1, -1)]
            # Row by row: sums of whole pictures in 32 bits would lose digits.
            first, second = (
                flat[top : top + high, channels * left : channels * (left + wide)]
                for left, top, _, _ in boxes
            )
            a, b = (within(sums, *box) for box in boxes)
            together = float(np.einsum("ij,ij->i", first, second).sum(dtype=np.float64)) - a @ b / (
                wide * high
            )
            energies = [
                float(within(squares, *box).sum() - total @ total / (wide * high))
                for box, total in zip(boxes, (a, b), strict=True)
            ]
            scale = float(np.sqrt(max(energies[0] * energies[1], 0.0)))
            best = max(best, together / scale if scale > 0 else -1.0)
    return best


def _line_likeness(profile: Map, lag: int) -> tuple[float, float]:
    """The same of lines (n, channels), and their likeness where light that changes evenly is allowed for."""
    best, evened = -1.0, -1.0
    for shift in (lag - 1, lag, lag + 1):
        first, second = profile[shift:], profile[: len(profile) - shift]
        if len(first) < 4:
            continue
        first, second = first - first.mean(axis=0), second - second.mean(axis=0)
        best = max(best, _correlation(first, second))
        slope = np.linspace(-1, 1, len(first))[:, None]
        apart = first - second
        apart = apart - slope * (slope * apart).sum(axis=0) / (slope**2).sum()
        evened = max(evened, 1 - _energy(apart) / max(_energy(first) + _energy(second), 1e-9))
    return best, evened


def _correlation(first: Map, second: Map) -> float:
    scale = float(np.sqrt(_energy(first) * _energy(second)))
    return float((first * second).sum(dtype=np.float64)) / scale if scale > 0 else -1.0
