"""A shadow that falls across the photo sheet, told from its bare paper: one straight, soft edge."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Shadow", "find_shadow"]

_LEAST_DEPTH = 0.08
_LEAST_GAIN = 0.5
"""Share of what smooth light leaves that the edge must explain before it is believed (ours)."""
_ANGLES = 36
_OFFSETS = 40
_WIDTHS = (0.012, 0.03, 0.08)

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Shadow:
    """Places count from the middle of the window in half widths of it."""

    across: float
    down: float
    edge: float
    """The edge lies where across * u + down * v equals this; the shadow is on the lower side."""
    width: float
    depth: Floats
    """(3,): logarithm of the light it takes."""

    def cover(self, u: Floats, v: Floats) -> Floats:
        """How far in the shadow places are, 0 to 1."""
        return _soft((self.across * u + self.down * v - self.edge) / self.width)


def find_shadow(places: Floats, logs: Floats, terms: Floats) -> Shadow | None:
    """The shadow that paper values (n, 3), as logarithms at places (n, 2), show beside smooth light.

    None where smooth light (its terms (n, m) fitted together with the edge) explains them as well.
    """
    value = logs.mean(axis=1)
    smooth = np.linalg.qr(terms)[0]
    plain = value - smooth @ (smooth.T @ value)
    least = float(plain @ plain)
    best: tuple[float, float, float, float, float] | None = None
    for angle in np.arange(_ANGLES) * (2 * np.pi / _ANGLES):
        across, down = float(np.cos(angle)), float(np.sin(angle))
        along = places @ (across, down)
        edges = np.quantile(along, np.linspace(0.03, 0.97, _OFFSETS))
        for width in _WIDTHS:
            cover = _soft((along[:, None] - edges[None]) / width)
            cover = cover - smooth @ (smooth.T @ cover)
            power = (cover**2).sum(axis=0)
            depth = np.where(power > 1e-6 * len(places), (plain @ cover) / np.maximum(power, 1e-9), 0.0)
            left = float(plain @ plain) - depth**2 * power
            left = np.where(depth < -_LEAST_DEPTH, left, np.inf)
            i = int(np.argmin(left))
            if left[i] < least:
                least, best = float(left[i]), (across, down, float(edges[i]), width, float(depth[i]))
    noise = len(places) * 0.01**2
    if best is None or least - noise > (1 - _LEAST_GAIN) * float(plain @ plain):
        return None
    across, down, edge, width, _ = best
    cover = _soft((places @ (across, down) - edge) / width)
    both = np.column_stack([terms, cover])
    depth = np.linalg.lstsq(both, logs, rcond=None)[0][-1]
    return Shadow(across, down, edge, width, depth)


def _soft(far: Floats) -> Floats:
    return np.asarray(1 / (1 + np.exp(np.clip(far, -40, 40))))
