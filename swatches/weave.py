"""The grain of the cloth from its weave: how its threads lie in the photograph, where they can be seen."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance

__all__ = ["Weave", "find_weave"]

_THREADS_PER_IN = (40.0, 100.0)
_PART_PX = 512
_MOST_TURN_DEG = 8.0
_MOST_SKEW_DEG = 2.5
"""Cloth is seldom woven and finished further off square; what seems so is a moiré (ours)."""
_CLEAR = 10.0
"""Times the median of the spectrum round it: lesser peaks are print or noise (measured)."""
_ALONE = 0.3
"""Of the peak's power, what no other place of the fan may reach. Threads are one wave; the overtones of a
sharp print are many of like power, some a few degrees off its own grain (measured)."""
_FAN_DEG = 20.0
_OWN_BINS = 6
_FINE_IN, _WIDE_IN = 1 / 60, 1 / 40
_LEAST_ROUGH = 0.003
_NEAR_BINS = 3
_MOST_ASTRAY = 1
"""Of the four quarters of the picture, how many may show no thread where the others do."""

Power = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Weave:
    """Threads of both directions, in the words of `straighten`."""

    turn_deg: float
    """How far the crosswise threads run clockwise of level."""
    skew_deg: float
    """How far the lengthwise threads turn, clockwise, beyond a right angle from them."""
    threads_across_per_in: float
    threads_down_per_in: float


def find_weave(cloth_lin: NDArray[np.float32], *, ppi: float) -> Weave | None:
    """The weave of straightened cloth (H, W, 3), or None where blur or print hides it.

    Both directions must be seen, each as one wave, in every part of the picture: cloth turned wrongly is
    worse than cloth left as it lay. Thread counts differ between cloths, so this is no source of scale.
    """
    rows, columns = cloth_lin.shape[:2]
    # Below this the finest threads could show at a false, coarser pitch and lean the wrong way.
    if ppi < _THREADS_PER_IN[0] + _THREADS_PER_IN[1] or min(rows, columns) < _PART_PX // 2:
        return None
    quarters = _quarter_powers(luminance(np.ascontiguousarray(cloth_lin, dtype=np.float32)), ppi=ppi)
    across = _wave(quarters, ppi=ppi, down=False)
    down = _wave(quarters, ppi=ppi, down=True)
    if across is None or down is None:
        return None
    # A wave runs square to its threads: that of the crosswise ones points down.
    turn_deg = degrees(atan2(-down[0], down[1]))
    skew_deg = degrees(atan2(across[1], across[0])) - turn_deg
    if abs(skew_deg) > _MOST_SKEW_DEG:
        return None
    return Weave(turn_deg, skew_deg, float(np.hypot(*across)), float(np.hypot(*down)))


def _quarter_powers(light: NDArray[np.floating], *, ppi: float) -> Power:
    """Spectra (4, side, side) of what is as fine as threads, of the four quarters of the picture."""
    side = min(_PART_PX, *light.shape)
    window = np.outer(np.hanning(side), np.hanning(side))
    power = np.zeros((4, side, side))
    tops, lefts = _steps(light.shape[0], side), _steps(light.shape[1], side)
    for i, top in enumerate(tops):
        for j, left in enumerate(lefts):
            fine = _evened(light[top : top + side, left : left + side], ppi=ppi)
            quarter = 2 * (2 * i >= len(tops)) + (2 * j >= len(lefts))
            power[quarter] += np.abs(np.fft.fft2(fine * window)) ** 2
    return np.fft.fftshift(power, axes=(1, 2))


def _evened(light: NDArray[np.floating], *, ppi: float) -> NDArray[np.float32]:
    """Fine differences of light, as strong beside the edges of a print as on its plain places.

    Threads go on everywhere; the overtones of a print come from its edges alone.
    """
    seen = np.sqrt(np.clip(light, 0, None), dtype=np.float32)
    fine = seen - cv2.GaussianBlur(seen, (0, 0), _FINE_IN * ppi)
    rough = np.sqrt(cv2.GaussianBlur(fine * fine, (0, 0), _WIDE_IN * ppi))
    return np.asarray(fine / (rough + _LEAST_ROUGH), dtype=np.float32)


def _steps(length: int, side: int) -> list[int]:
    count = min(4, max(1, length // side))
    return [round(i * (length - side) / max(count - 1, 1)) for i in range(count)]


def _wave(quarters: Power, *, ppi: float, down: bool) -> tuple[float, float] | None:
    """The wave vector, in threads per inch, of the only clear peak near an axis."""
    power = quarters.sum(axis=0)
    side = len(power)
    counts = np.fft.fftshift(np.fft.fftfreq(side)) * ppi
    u, v = np.meshgrid(counts, counts)
    along, off = (np.abs(v), u) if down else (np.abs(u), v)
    most = min(_THREADS_PER_IN[1], 0.46 * ppi, ppi - _THREADS_PER_IN[1])
    ring = (np.hypot(u, v) >= _THREADS_PER_IN[0]) & (np.hypot(u, v) <= most) & ((v if down else u) > 0)
    near = ring & (np.abs(off) <= np.tan(np.radians(_MOST_TURN_DEG)) * along)
    fan = ring & (np.abs(off) <= np.tan(np.radians(_FAN_DEG)) * along)
    if near.sum() < 20:
        return None
    row, column = _strongest(power, near)
    own = np.zeros_like(fan)
    own[_around(row, _OWN_BINS), _around(column, _OWN_BINS)] = True
    clear = power[row, column] >= _CLEAR**2 * np.median(power[near])
    alone = power[fan & ~own].max(initial=0.0) <= _ALONE * power[row, column]
    astray = sum(
        max(abs(y - row), abs(x - column)) > _NEAR_BINS
        for y, x in (_strongest(quarter, near) for quarter in quarters if quarter.any())
    )
    here = (_around(row, 2), _around(column, 2))
    if not clear or not alone or astray > _MOST_ASTRAY or power[here].shape != (5, 5):
        return None
    weight = np.clip(power[here] - np.median(power[here]), 0, None)
    return float((weight * u[here]).sum() / weight.sum()), float((weight * v[here]).sum() / weight.sum())


def _strongest(power: Power, where: NDArray[np.bool_]) -> tuple[int, int]:
    row, column = divmod(int(np.argmax(np.where(where, power, 0))), power.shape[1])
    return row, column


def _around(place: int, reach: int) -> slice:
    return slice(max(place - reach, 0), place + reach + 1)
