"""Even rows of thin marks along a line in a photograph, looked for through any tilt of the camera."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, hypot, log2

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["STEPS_PER_PX", "EvenRow", "Strip", "cut_strip", "even_rows", "evened", "read_at"]

Point = tuple[float, float]
Floats = NDArray[np.float32]

STEPS_PER_PX = 2
"""Steps along a strip for each of its pixels: ticks are found between pixels (ours)."""

_LONGEST_PX = 1600
_MARK_STEPS = 2.0
_BAND_ROWS, _BAND_EVERY = 7, 4
_BENDS = np.linspace(-0.28, 0.28, 57)
"""How far perspective may bend a row; 0.28 is a camera 15 degrees aslant close by (measured)."""


@dataclass(frozen=True, slots=True)
class Strip:
    """The photograph along a line: how much each place looks like a thin bright mark across it."""

    marks: tuple[Floats, ...]
    """(rows across, steps along): in lightness, then in blue to yellow, where pale inks show."""
    bands: tuple[Floats, ...]
    """The same, averaged over a few rows each."""
    px_per_step: float


@dataclass(frozen=True, slots=True)
class EvenRow:
    """A row that comes back evenly once a bend is taken out."""

    channel: int
    bend: float
    times: float
    """Marks along the whole line."""
    weight: float


def cut_strip(
    photo_srgb8: NDArray[np.uint8], start_px: Point, end_px: Point, *, reach: float = 0.03
) -> Strip:
    """The strip along a line, reaching a share of the line's length to both sides of it."""
    start, end = np.array(start_px), np.array(end_px)
    length = hypot(*(end - start))
    half_px = max(8.0, reach * length)
    low = np.maximum(np.floor(np.minimum(start, end) - half_px - 4), 0).astype(int)
    high = np.ceil(np.maximum(start, end) + half_px + 4).astype(int)
    part = photo_srgb8[low[1] : high[1], low[0] : high[0]]
    small = min(1.0, _LONGEST_PX / length)
    if small < 1:
        part = np.asarray(
            cv2.resize(part, None, fx=small, fy=small, interpolation=cv2.INTER_AREA), dtype=np.uint8
        )
    start = (start - low) * small
    along, half = (end - np.array(start_px)) / length, floor(half_px * small)
    across = np.array([-along[1], along[0]])
    # The middle of step i lies (i + 1/2) / STEPS_PER_PX along.
    corner = start - half * across + 0.5 / STEPS_PER_PX * along - 0.5
    steps = int(length * small * STEPS_PER_PX)
    seen = cv2.warpAffine(
        part,
        np.column_stack([along / STEPS_PER_PX, across, corner]),
        (steps, 2 * half + 1),
        flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
        borderMode=cv2.BORDER_REPLICATE,
    ).astype(np.float32)
    lightness = seen @ np.array([0.3, 0.55, 0.15], np.float32)
    marks = tuple(_thin_marks(each) for each in (lightness, seen[..., 0] - seen[..., 2]))
    bands = tuple(
        np.stack([each[i : i + _BAND_ROWS].mean(axis=0) for i in range(0, len(each) - 6, _BAND_EVERY)])
        for each in marks
    )
    return Strip(marks, bands, 1 / (STEPS_PER_PX * small))


def _thin_marks(rows: Floats) -> Floats:
    """High on bright lines across, low on dark ones, 0 on slow shading: a bent bell curve."""
    x = np.arange(-9, 10) / _MARK_STEPS
    kernel = (1 - x**2) * np.exp(-(x**2) / 2)
    kernel -= kernel.mean()
    kernel /= np.abs(kernel).sum()
    return np.asarray(
        cv2.filter2D(rows, cv2.CV_32F, kernel[None].astype(np.float32), borderType=cv2.BORDER_REFLECT)
    )


def read_at(rows: Floats, steps: NDArray[np.float64]) -> Floats:
    """Rows read between steps, along their last axis."""
    at = np.clip(np.floor(steps).astype(int), 0, rows.shape[-1] - 2)
    share = np.clip(steps - at, 0, 1).astype(np.float32)
    return np.asarray(rows[..., at] * (1 - share) + rows[..., at + 1] * share)


def evened(rows: Floats, bend: float) -> tuple[Floats, NDArray[np.float64]]:
    """The rows with a bend of perspective taken out, and the step in the strip of each of theirs.

    Source: a line's places in a photograph are t / (1 + c t) of those on it, in suitable units
    (Hartley and Zisserman, Multiple View Geometry, section 2.5: the projective line).
    """
    count = rows.shape[-1]
    t = (np.arange(count) + 0.5) / count - 0.5
    seen = t / (1 + bend * t)
    low, high = -0.5 / (1 - 0.5 * bend), 0.5 / (1 + 0.5 * bend)
    steps = (seen - low) / (high - low) * count - 0.5
    return read_at(rows, steps), steps


def even_rows(strip: Strip, *, most: int = 5) -> list[EvenRow]:
    """The evenest rows seen in the bands, best first."""
    found = [
        row
        for channel, bands in enumerate(strip.bands)
        for i in range(0, len(bands), 6)
        if (row := _evenest(bands[i : i + 6 : 2], channel)) is not None
    ]
    found.sort(key=lambda row: -row.weight)
    kept: list[EvenRow] = []
    for row in found:
        like = [
            each
            for each in kept
            if each.channel == row.channel
            and abs(each.bend - row.bend) < 0.004
            and abs(each.times - row.times) < 0.3
        ]
        if not like:
            kept.append(row)
    return kept[:most]


def _evenest(bands: Floats, channel: int) -> EvenRow | None:
    """The bend and number of marks at which the bands' spectrum and its overtones stand highest."""
    count = bands.shape[-1]
    size = 1 << ceil(log2(2 * count))
    window = np.hanning(count).astype(np.float32)
    low, high = int(10 * size / count), int(size / (3.5 * STEPS_PER_PX))
    if high - low < 8:
        return None
    at = np.arange(low, high)
    best, best_weight, best_band = (0.0, 0.0), 0.0, 0
    for bend in _BENDS:
        even, _ = evened(bands, float(bend))
        power = np.abs(np.fft.rfft(even * window, size)) ** 2
        power /= power[:, low:].mean(axis=1, keepdims=True) + 1e-9
        weight = np.minimum(power[:, low:high], 60)
        for times in (2, 3):
            inside = at * times < power.shape[1]
            weight[:, inside] += 0.7 * power[:, at[inside] * times]
        band, place = np.unravel_index(int(np.argmax(weight)), weight.shape)
        if weight[band, place] > best_weight:
            best, best_weight, best_band = (
                (float(bend), float(at[place] * count / size)),
                float(weight[band, place]),
                int(band),
            )
    if best_weight == 0:
        return None
    bend, times_ = _sharpened(bands[best_band], *best)
    return EvenRow(channel, bend, times_, best_weight)


def _sharpened(row: Floats, bend: float, times: float) -> tuple[float, float]:
    """Bend and number of marks, finer than the search's grid."""
    count = len(row)
    window, place = np.hanning(count), np.arange(count) / count
    tries = times + np.linspace(-0.8, 0.8, 17)
    waves = np.exp(-2j * np.pi * np.outer(tries, place)).astype(np.complex64)
    waves2 = waves * waves
    all_waves = (waves, waves2, waves2 * waves)
    best = (-1.0, bend, times)
    for near in np.linspace(bend - 0.012, bend + 0.012, 25):
        even = (evened(row, float(near))[0] * window).astype(np.float32)
        power = sum(
            weight * np.abs(wave @ even) ** 2 for wave, weight in zip(all_waves, (1, 0.7, 0.5), strict=True)
        )
        top = int(np.argmax(power))
        best = max(best, (float(power[top]), float(near), float(tries[top])))
    return best[1], best[2]
