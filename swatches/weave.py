"""The grain of the cloth from its weave: how its threads lie in the photograph, where they can be seen."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance

__all__ = ["Weave", "find_weave"]

_THREADS_PER_IN = (40.0, 100.0)
_PART_PX = 512
_MOST_TURN_DEG = 8.0
_CLEAR = 10.0
"""Times the median of the spectrum round it: lesser peaks are print or noise (measured)."""
_ALONE = 0.3
"""Of the peak's power, what no other place of the fan may reach. Threads are one wave; the overtones of a
sharp print are many of like power, some a few degrees off its own grain (measured)."""
_FAN_DEG = 20.0
_OWN_BINS = 6


@dataclass(frozen=True, slots=True)
class Weave:
    """Threads of both directions."""

    turn_deg: float
    """How far the lengthwise threads lean clockwise from upright."""
    skew_deg: float
    """How far the corner between threads is from square."""
    threads_across_per_in: float
    threads_down_per_in: float


def find_weave(cloth_lin: NDArray[np.float32], *, ppi: float) -> Weave | None:
    """The weave of straightened cloth (H, W, 3), or None where blur or print hides it.

    Thread counts differ between cloths, so this is never a source of scale.
    """
    rows, columns = cloth_lin.shape[:2]
    if ppi < 2.3 * _THREADS_PER_IN[0] or min(rows, columns) < _PART_PX // 2:
        return None
    power = _mean_power(luminance(np.ascontiguousarray(cloth_lin, dtype=np.float32)))
    across = _peak(power, ppi=ppi, down=False)
    down = _peak(power, ppi=ppi, down=True)
    if across is None or down is None:
        return None
    # The wave vector of upright threads points across: its own turn is theirs.
    turn_deg = degrees(atan2(across[1], across[0]))
    corner = degrees(atan2(down[1], down[0])) - turn_deg
    return Weave(turn_deg, corner - 90, float(np.hypot(*across)), float(np.hypot(*down)))


def _mean_power(light: NDArray[np.floating]) -> NDArray[np.float64]:
    side = min(_PART_PX, *light.shape)
    window = np.outer(np.hanning(side), np.hanning(side))
    power = np.zeros((side, side))
    for top in _steps(light.shape[0], side):
        for left in _steps(light.shape[1], side):
            part = np.sqrt(np.clip(light[top : top + side, left : left + side], 0, None))
            power += np.abs(np.fft.fft2((part - part.mean()) * window)) ** 2
    return np.fft.fftshift(power)


def _steps(length: int, side: int) -> list[int]:
    count = min(4, max(1, length // side))
    return [round(i * (length - side) / max(count - 1, 1)) for i in range(count)]


def _peak(power: NDArray[np.float64], *, ppi: float, down: bool) -> tuple[float, float] | None:
    """The wave vector, in threads per inch, of the clearest peak near an axis."""
    side = len(power)
    counts = np.fft.fftshift(np.fft.fftfreq(side)) * ppi
    u, v = np.meshgrid(counts, counts)
    along, off = (v, u) if down else (u, v)
    radius = np.hypot(u, v)
    most = min(_THREADS_PER_IN[1], 0.46 * ppi)
    ring = (radius >= _THREADS_PER_IN[0]) & (radius <= most) & (along > 0)
    near = ring & (np.abs(off) <= np.tan(np.radians(_MOST_TURN_DEG)) * along)
    if near.sum() < 20:
        return None
    place = int(np.argmax(np.where(near, power, 0)))
    row, column = divmod(place, side)
    beside = np.median(power[near])
    if power[row, column] < _CLEAR**2 * beside:
        return None
    fan = ring & (np.abs(off) <= np.tan(np.radians(_FAN_DEG)) * along)
    fan[
        max(row - _OWN_BINS, 0) : row + _OWN_BINS + 1, max(column - _OWN_BINS, 0) : column + _OWN_BINS + 1
    ] = False
    if power[fan].max(initial=0.0) > _ALONE * power[row, column]:
        return None
    part = power[row - 2 : row + 3, column - 2 : column + 3]
    if part.shape != (5, 5):
        return None
    weight = np.clip(part - np.median(part), 0, None)
    x = float((weight * u[row - 2 : row + 3, column - 2 : column + 3]).sum() / weight.sum())
    y = float((weight * v[row - 2 : row + 3, column - 2 : column + 3]).sum() / weight.sum())
    return x, y
