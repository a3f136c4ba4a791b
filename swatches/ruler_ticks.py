"""A ruler's ticks followed one by one: its scale, and whether the camera was tilted along it."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance, srgb8_to_lin

__all__ = ["FollowedTicks", "follow_ticks"]

_LEAST_TICKS = 12
_STEPS_PER_PX = 3
_WIDE_PX = 2

Point = tuple[float, float]
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class FollowedTicks:
    """Ticks seen between two places, and the pixels from one to the next."""

    count: int
    pitch_px: float
    """In the middle."""
    change: float
    """How much longer the longest pitch is than the shortest, as a share: 0 from straight above."""
    misfit_px: float


def follow_ticks(photo_srgb8: NDArray[np.uint8], start_px: Point, end_px: Point) -> FollowedTicks | None:
    """The ticks along a line through all of them, short ones too; None where no even row is seen.

    Perspective stretches the pitch, so one mean pitch may be off by 2 %: a cubic through all ticks is not.
    """
    length = hypot(end_px[0] - start_px[0], end_px[1] - start_px[1])
    if length < 40:
        return None
    profile = _profile(photo_srgb8, start_px, end_px, length)
    soft = cv2.GaussianBlur(profile[None].astype(np.float32), (0, 0), 0.9 * _STEPS_PER_PX)[0].astype(
        np.float64
    )
    period = _period(soft)
    if period is None:
        return None
    ticks = _ticks(soft, period)
    if len(ticks) < _LEAST_TICKS:
        return None
    numbers = _numbered(ticks)
    if numbers is None:
        return None
    curve = np.polynomial.Polynomial.fit(numbers, ticks, 3)
    left = ticks - curve(numbers)
    pitch = curve.deriv()(numbers) / _STEPS_PER_PX
    misfit_px = float(left.std()) / _STEPS_PER_PX
    if misfit_px > 0.12 * float(np.median(pitch)) or pitch.min() <= 0:
        return None
    middle = float(curve.deriv()(numbers.mean())) / _STEPS_PER_PX
    return FollowedTicks(len(ticks), middle, float(pitch.max() / pitch.min() - 1), misfit_px)


def _profile(photo: NDArray[np.uint8], start: Point, end: Point, length: float) -> Floats:
    """Darkness along the line, averaged a few pixels across it."""
    count = int(length * _STEPS_PER_PX)
    along = np.linspace(0, 1, count)
    normal = np.array([-(end[1] - start[1]), end[0] - start[0]]) / length
    points = np.array(start) + along[:, None] * (np.array(end) - np.array(start))
    rows = np.stack([points + off * normal for off in range(-_WIDE_PX, _WIDE_PX + 1)], axis=1) - 0.5
    low = np.maximum(np.floor(rows.min(axis=(0, 1))).astype(int) - 1, 0)
    high = np.minimum(np.ceil(rows.max(axis=(0, 1))).astype(int) + 2, (photo.shape[1], photo.shape[0]))
    light = np.asarray(luminance(srgb8_to_lin(photo[low[1] : high[1], low[0] : high[0]])), dtype=np.float32)
    at = (rows - low).astype(np.float32)
    seen = cv2.remap(light, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(-seen.mean(axis=1), dtype=np.float64)


def _period(profile: Floats) -> float | None:
    """The commonest distance between ticks, from the profile's likeness to itself."""
    slow = cv2.blur(profile[None], (max(3, len(profile) // 12), 1))[0]
    even = profile - slow
    power = np.abs(np.fft.rfft(even, 2 * len(even))) ** 2
    likeness = np.fft.irfft(power)[: len(even) // 4]
    if likeness[0] <= 0:
        return None
    likeness = likeness / likeness[0]
    tops = [
        i
        for i in range(3 * _STEPS_PER_PX, len(likeness) - 1)
        if likeness[i] > likeness[i - 1] and likeness[i] >= likeness[i + 1] and likeness[i] > 0.15
    ]
    if not tops:
        return None
    best = max(float(likeness[i]) for i in tops)
    return float(next(i for i in tops if likeness[i] > 0.6 * best))


def _ticks(profile: Floats, period: float) -> Floats:
    """Places of the ticks, between steps, followed from the middle both ways."""
    reach = max(2, int(0.33 * period))
    contrast = float(np.percentile(profile, 97) - np.percentile(profile, 40))

    def top(near: float) -> float | None:
        low, high = int(near) - reach, int(near) + reach + 1
        if low < 1 or high >= len(profile) - 1:
            return None
        i = low + int(np.argmax(profile[low:high]))
        if not low < i < high - 1 or profile[i] - np.median(profile[low:high]) < 0.15 * contrast:
            return None
        before, here, after = profile[i - 1 : i + 2]
        bend = before - 2 * here + after
        return float(i + (0.5 * (before - after) / bend if bend < 0 else 0.0))

    middle = len(profile) // 2
    first = (
        middle
        - int(period / 2)
        + int(np.argmax(profile[middle - int(period / 2) : middle + int(period / 2) + 1]))
    )
    start = top(first)
    if start is None:
        return np.empty(0)
    found = [start]
    for way in (1, -1):
        at, step = start, period
        while True:
            near = top(at + way * step)
            if near is None:
                break
            step = 0.7 * step + 0.3 * abs(near - at)
            at = near
            found.append(at)
    return np.array(sorted(found))


def _numbered(ticks: Floats) -> Floats | None:
    gaps = np.diff(ticks)
    if gaps.min() < 0.5 * np.median(gaps) or gaps.max() > 1.6 * np.median(gaps):
        return None
    return np.arange(len(ticks), dtype=np.float64)
