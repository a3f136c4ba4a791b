"""A ruler's ticks followed one by one: its scale, and whether the camera was tilted along it."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray

from swatches.ruler_strip import STEPS_PER_PX, EvenRow, Strip, cut_strip, even_rows, evened, read_at
from swatches.tick_classes import tick_reaches
from swatches.tick_lengths import long_ticks_every

__all__ = ["FollowedTicks", "follow_ticks"]

Point = tuple[float, float]
Floats = NDArray[np.float64]
Rows = NDArray[np.float32]

# Ours, settled on simulated rulers.
_LEAST_TICKS = 12
_LEAST_PITCH_PX = 3.2
_TIMES = (1 / 4, 1 / 3, 1 / 2, 1, 2, 3, 4, 5, 8)
"""A search may meet every second or fourth tick, which are longer, or an overtone."""
_PHASES = 16
_MOST_BANDS = 4
_SHARE_THERE = 0.85
_SHARE_DOUBTED = 0.7
_MOST_MISFIT = 0.08
_LONG_TICKS_REACH = 0.11


@dataclass(frozen=True, slots=True)
class FollowedTicks:
    """Ticks seen between two places, and the pixels from one to the next."""

    count: int
    pitch_px: float
    """In the middle."""
    change: float
    """How much longer the longest pitch is than the shortest, as a share: 0 from straight above."""
    misfit_px: float
    long_every: int | None = None
    """Ticks from one of the longest to the next, where that is plain."""
    reaches: tuple[float, ...] = ()
    """How long each tick is, in rows across the ruler; not a number where that is not seen."""


@dataclass(frozen=True, slots=True)
class _Comb:
    """Ticks followed in one band of a strip."""

    times: float
    sign: int
    channel: int
    numbers: Floats
    steps: Floats
    """In the strip as photographed."""
    there: float
    """The share of its ticks that stand out."""
    misfit: float
    """Of the ticks from an even row, as a share of their pitch."""
    contrast: float

    @property
    def weight(self) -> float:
        return self.contrast * self.there**3 * max(0.0, 1 - self.misfit / 0.12)

    @property
    def good(self) -> bool:
        return self.there >= _SHARE_THERE and self.misfit < _MOST_MISFIT


def follow_ticks(photo_srgb8: NDArray[np.uint8], start_px: Point, end_px: Point) -> FollowedTicks | None:
    """The ticks along a line through all of them, short ones too; None where no even row is plain.

    Perspective stretches the pitch, so one mean pitch may be off by 2 %: a cubic through all ticks is not.
    """
    if hypot(end_px[0] - start_px[0], end_px[1] - start_px[1]) < 40:
        return None
    strip = cut_strip(photo_srgb8, start_px, end_px)
    combs = [comb for row in even_rows(strip) for comb in _combs(strip, row)]
    best = _finest(combs)
    if best is None:
        return None
    wide = cut_strip(photo_srgb8, start_px, end_px, reach=_LONG_TICKS_REACH)
    return _measured(best, wide)


def _measured(comb: _Comb, wide: Strip) -> FollowedTicks | None:
    places = comb.steps * wide.px_per_step
    curve = np.polynomial.Polynomial.fit(comb.numbers, places, 3)
    pitch = curve.deriv()(comb.numbers)
    if pitch.min() <= 0:
        return None
    middle = float(curve.deriv()((comb.numbers[0] + comb.numbers[-1]) / 2))
    misfit_px = float((places - curve(comb.numbers)).std())
    every_place = curve(np.arange(comb.numbers[0], comb.numbers[-1] + 1)) / wide.px_per_step
    bands, pitch_steps = wide.bands[comb.channel], middle / wide.px_per_step
    long_every = long_ticks_every(bands, every_place, pitch_steps, sign=comb.sign, strong=comb.contrast)
    reaches = tick_reaches(bands, every_place, pitch_steps, sign=comb.sign, strong=comb.contrast)
    change = float(pitch.max() / pitch.min() - 1)
    return FollowedTicks(len(places), middle, change, misfit_px, long_every, reaches)


def _combs(strip: Strip, row: EvenRow) -> list[_Comb]:
    """The combs that may be a ruler's ticks among the row's multiples and parts, in every band."""
    bands, steps = evened(strip.bands[row.channel], row.bend)
    found = []
    for factor in _TIMES:
        times = row.times * factor
        pitch = bands.shape[1] / times
        if times < _LEAST_TICKS or pitch < _LEAST_PITCH_PX * STEPS_PER_PX:
            continue
        phase = np.arange(_PHASES) / _PHASES
        seen = read_at(bands, (np.arange(int(times))[:, None] + phase).ravel() * pitch - 0.5)
        seen = seen.reshape(len(bands), int(times), _PHASES)
        for sign in (1, -1):
            for band, top in _likely(sign * seen):
                comb = _followed(sign * bands[band], steps, top / _PHASES * pitch, pitch)
                if comb is not None:
                    found.append(_Comb(times, sign, row.channel, *comb))
    return found


def _likely(seen: Rows) -> list[tuple[int, int]]:
    """The few bands where marks may be at every tick, and the phase of each; seen is (band, tick, phase)."""
    tops = seen.mean(axis=1).argmax(axis=1)
    around = (tops[:, None] + np.arange(-2, 3)) % _PHASES
    tick = np.take_along_axis(seen, around[:, None, :], axis=2).max(axis=2)
    halfway = (tops + _PHASES // 2) % _PHASES
    rise = tick - np.take_along_axis(seen, halfway[:, None, None], axis=2)[..., 0]
    middle = np.median(rise, axis=1)
    there = (rise > 0.3 * middle[:, None]).mean(axis=1)
    order = sorted(range(len(seen)), key=lambda band: -float(middle[band] * there[band] ** 3))
    fit = [band for band in order if middle[band] > 0 and there[band] >= _SHARE_DOUBTED]
    return [(band, int(tops[band])) for band in fit if not _uneven(tick[band])][:_MOST_BANDS]


def _followed(
    row: Rows, steps: Floats, first: float, pitch: float
) -> tuple[Floats, Floats, float, float, float] | None:
    """Numbers and places of the ticks, share there, misfit and contrast: one top near each place."""
    numbers, tops = [], []
    count = int((len(row) - 1 - first) / pitch) + 1
    for number in range(count):
        near = first + number * pitch - 0.5
        low, high = max(1, int(near - 0.33 * pitch)), min(len(row) - 2, int(near + 0.33 * pitch) + 1)
        if high - low < 2:
            continue
        i = low + int(np.argmax(row[low : high + 1]))
        if low < i < high:
            before, here, after = (float(each) for each in row[i - 1 : i + 2])
            bend = before - 2 * here + after
            numbers.append(number)
            tops.append(i + (0.5 * (before - after) / bend if bend < 0 else 0.0))
    if len(numbers) < _LEAST_TICKS:
        return None
    tick_no, top = np.array(numbers, float), np.array(tops)
    keep: NDArray[np.bool_] = np.ones(len(top), bool)
    for _ in range(4):
        curve = np.polynomial.Polynomial.fit(tick_no[keep], top[keep], 3 if keep.sum() > 20 else 2)
        left = np.abs(top - curve(tick_no))
        keep = left < 3 * 1.48 * np.median(left[keep]) + 0.3
        if keep.sum() < _LEAST_TICKS:
            return None
    everyone = np.arange(count)
    at, half = curve(everyone), curve(everyone + 0.5)
    tick, between = read_at(row, at), read_at(row, half)
    rise = tick - between
    contrast = float(np.median(rise))
    if contrast <= 0 or _uneven(tick):
        return None
    stands = (rise > 0.3 * contrast) & (tick > 0.3 * float(np.median(tick)))
    kept = np.zeros(count, bool)
    kept[tick_no[keep].astype(int)] = True
    there = float((stands & kept).mean())
    misfit = float(np.std((top - curve(tick_no))[keep])) / pitch
    used = keep & stands[tick_no.astype(int)]
    if used.sum() < _LEAST_TICKS:
        return None
    places = np.interp(top[used], np.arange(len(steps)), steps)
    return tick_no[used], places, there, misfit, contrast


def _uneven(tick: Rows) -> bool:
    """Whether one tick in 2 to 5 is hardly there: what lies halfway between ticks is no tick."""
    for every in (2, 3, 4, 5):
        means = [float(tick[i::every].mean()) for i in range(every)]
        if min(means) < 0.4 * max(means):
            return True
    return False


def _finest(combs: list[_Comb]) -> _Comb | None:
    """The finest good comb on the strongest's multiples; None where another row might be the ticks."""
    good = [comb for comb in combs if comb.good]
    if not good:
        return None
    best = max(good, key=lambda comb: comb.weight)
    same = [comb for comb in good if comb.sign == best.sign and _multiple(comb.times / best.times)]
    most = max(comb.times for comb in same)
    finest = max((comb for comb in same if comb.times > 0.97 * most), key=lambda comb: comb.weight)
    if finest.weight < 0.5 * best.weight:
        return None
    for comb in good:
        ratio = comb.times / finest.times
        if comb.weight > 0.6 * best.weight and not _multiple(ratio) and not _multiple(1 / ratio):
            return None
    return finest


def _multiple(ratio: float) -> bool:
    return round(ratio) >= 1 and abs(ratio - round(ratio)) < 0.02 * ratio
