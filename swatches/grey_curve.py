"""From what a camera stored to light: a curve for each channel, through greys that are known.

One curve a channel undoes tone curve, exposure and white balance at once. It has to come before any
chart's matrix, which keeps ratios of exposure and cannot undo a tone curve.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.encodings import decode, encode

__all__ = ["GreyCurve", "fit_grey_curve", "gains_from_grey"]

_STEPS = 65536
_LEAST_RISE = 0.004
_MOST_SLOPE = 3.0
_MOST_LIGHT = 4.0


@dataclass(frozen=True, slots=True, eq=False)
class GreyCurve:
    """Light for every linear value a camera can store, channel by channel."""

    table: NDArray[np.float32]
    """(65536, 3), read-only: light, 1 being a perfect white, for linear values 0 to 65535."""

    def light_of(self, stored_lin16: NDArray[np.uint16]) -> NDArray[np.float32]:
        """Light of stored values (..., 3)."""
        made = np.empty(stored_lin16.shape, np.float32)
        for channel in range(3):
            np.take(self.table[:, channel], stored_lin16[..., channel], out=made[..., channel])
        return made


def fit_grey_curve(stored_lin: ArrayLike, light: ArrayLike) -> GreyCurve:
    """The curve through greys: linear values as stored (n, 3), 0 to 1, against their light (n, 3) or (n,).

    A smooth, always rising curve through black and the means of like greys, drawn in sRGB codes, where
    steps are even to the eye; carried straight on beyond the lightest grey.
    Source: Fritsch and Butland (1984) for curves that never overshoot.
    """
    stored = np.asarray(stored_lin, dtype=np.float64)
    wanted = np.broadcast_to(np.asarray(light, dtype=np.float64).reshape(len(stored), -1), stored.shape)
    table = np.stack([_channel(stored[:, c], wanted[:, c]) for c in range(3)], axis=1).astype(np.float32)
    table.flags.writeable = False
    return GreyCurve(table)


def gains_from_grey(stored_lin: ArrayLike, *, reflectance: float) -> GreyCurve:
    """One gain a channel from a single grey or white; a tone curve stays in."""
    stored = np.clip(np.asarray(stored_lin, dtype=np.float64).reshape(3), 1e-4, None)
    table = (np.arange(_STEPS)[:, None] / (_STEPS - 1) * (reflectance / stored)).astype(np.float32)
    table.flags.writeable = False
    return GreyCurve(table)


def _channel(stored: NDArray[np.float64], light: NDArray[np.float64]) -> NDArray[np.float64]:
    # Half a second to load; a photograph without greys does not need it.
    from scipy.interpolate import PchipInterpolator

    x, y = _rising(encode(np.clip(stored, 0, None)), encode(np.clip(light, 0, None)))
    places = encode(np.arange(_STEPS) / (_STEPS - 1))
    if len(x) < 2:
        slope = y[-1] / x[-1] if len(x) else 1.0
        return np.asarray(decode(places * slope))
    curve = PchipInterpolator(np.append(0, x), np.append(0, y))
    made = curve(np.minimum(places, x[-1]))
    slope = min(max((y[-1] - y[-2]) / (x[-1] - x[-2]), 0.2), _MOST_SLOPE)
    made = np.where(places > x[-1], y[-1] + slope * (places - x[-1]), made)
    return np.minimum(decode(made), _MOST_LIGHT)


def _rising(
    stored: NDArray[np.float64], light: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """The greys in order, neighbours too near each other merged, so that the curve can rise throughout."""
    order = np.argsort(light, kind="stable")
    groups: list[list[tuple[float, float]]] = []
    for x, y in zip(stored[order], light[order], strict=True):
        if groups and y - groups[-1][0][1] < 0.02:
            groups[-1].append((float(x), float(y)))
        else:
            groups.append([(float(x), float(y))])
    points = [tuple(np.mean(group, axis=0)) for group in groups]
    kept: list[tuple[float, float]] = []
    for x, y in points:
        while kept and x - kept[-1][0] < _LEAST_RISE:
            x, y = (x + kept[-1][0]) / 2, (y + kept[-1][1]) / 2
            kept.pop()
        if x > _LEAST_RISE:
            kept.append((x, y))
    return np.array([x for x, _ in kept]), np.array([y for _, y in kept])
