"""An outline stitch: how much of an edge shows once a line of thread lies on it."""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, sqrt

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from palettes.seeing import as_viewed
from palettes.shares import Places, sure_chances
from palettes.threads import Thread
from palettes.thresholds import THRESHOLDS
from palettes.viewing import Viewing

__all__ = ["best_outline", "outline_share"]

_Floats = NDArray[np.float64]


def best_outline(places: Places, threads: Sequence[Thread], *, viewing: Viewing) -> tuple[Thread, float]:
    """The thread that shows most of one edge, and that share; of equals the first in the list."""
    shares = [outline_share(places, thread, viewing=viewing) for thread in threads]
    best = int(np.argmax(np.round(shares, 2)))
    return threads[best], shares[best]


def outline_share(places: Places, thread: Thread, *, viewing: Viewing) -> float:
    """The share of one edge that shows with this thread on it: at each place what is seen more surely.

    From a distance the eye mixes a thin line with the cloths beside it. The line is seen against one side
    or against the other; where it is not, the cloths themselves may be.
    """
    told = np.ones(len(places.first_lin)) if places.told is None else places.told.astype(np.float64)
    code = np.frombuffer(bytes.fromhex(thread.hex[1:]), np.uint8)
    # What is left of a line in the middle of its own blur.
    kept = erf(THRESHOLDS.outline_in / 2 / (sqrt(2) * viewing.sigma_in))
    beside = (places.first_lin + places.second_lin) / 2
    line = kept * srgb8_to_lin(code).astype(np.float64) + (1 - kept) * beside
    line_L, first_L, second_L = (
        np.asarray(lab_from_lin(as_viewed(light, viewing)), np.float64)[:, 0]
        for light in (line, places.first_lin, places.second_lin)
    )
    steps = np.stack([line_L - first_L, line_L - second_L, first_L - second_L])
    chances = sure_chances(np.abs(steps)).max(axis=0)
    return float((chances * told).sum() / told.sum())
