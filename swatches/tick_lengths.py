"""Which of a ruler's ticks are long: every 10th says millimetres, every 8th or 16th inches."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.ruler_strip import read_at

__all__ = ["doubt_tick", "long_ticks_every", "ticks_by_row"]

# Ours, settled on simulated rulers.
_EVERY = (32, 16, 10, 8, 5, 4)
_LEAST_LONG = 4
_LEAST_ROWS = 2


def long_ticks_every(
    bands: NDArray[np.float32], places: NDArray[np.float64], pitch: float, *, sign: int, strong: float
) -> int | None:
    """The ticks from one of the longest to the next; None where no pattern is plain.

    Rows that only long ticks reach hold a mark at every so manieth tick and none at the others. Two rows
    must say so, with nearly all of the long ticks there and hardly a mark between.

    Args:
        bands: Thin marks in rows across the strip: (rows, steps).
        places: Steps of all the ticks in order, none left out.
        pitch: Steps from tick to tick.
        sign: 1 for bright ticks, -1 for dark ones.
        strong: How far a plain tick stands out.
    """
    seen = ticks_by_row(bands, places, pitch, sign)
    there = seen > 0.3 * strong
    for every in _EVERY:
        if seen.shape[1] < _LEAST_LONG * every:
            continue
        agree = [0] * every
        for row in there:
            shares = np.array([row[i::every].mean() for i in range(every)])
            first = int(shares.argmax())
            between = (row.sum() - row[first::every].sum()) / (len(row) - len(row[first::every]))
            if shares[first] >= 0.85 and between < 0.4 / (every - 1):
                agree[first] += 1
        if max(agree) >= _LEAST_ROWS:
            return every
    return None


def ticks_by_row(
    bands: NDArray[np.float32], places: NDArray[np.float64], pitch: float, sign: int
) -> NDArray[np.float32]:
    """How strongly each tick is seen in each row: (rows, ticks).

    Perspective leans the ticks and spreads them like a fan, so each row is read where most of its marks lie.
    """
    along = np.linspace(-1, 1, len(places))
    best = np.full(len(bands), -1.0)
    seen = np.zeros((len(bands), len(places)), np.float32)
    for lean in np.arange(-0.45, 0.46, 0.075) * pitch:
        for fan in np.arange(-0.6, 0.61, 0.1) * pitch:
            here = sign * read_at(bands, places + lean + fan * along)
            weight = (np.maximum(here, 0) ** 2).sum(axis=1)
            better = weight > best
            best[better], seen[better] = weight[better], here[better]
    return seen


def doubt_tick(every: int | None, apart_in: Fraction) -> str:
    """A sentence where the pattern of long ticks speaks against the tick's length; "" where it does not.

    Common practice, no source: metric rulers have longer ticks at 5 and 10, those of inches at 4, 8, 16, 32.
    """
    if every is None:
        return ""
    metric = (apart_in * Fraction(254, 10)).denominator <= 2
    said = f"{float(apart_in * Fraction(254, 10)):g} mm" if metric else f"{apart_in} in"
    look = (
        f" Every {every}{'nd' if every == 32 else 'th'} tick is long, as {{}}: look whether {said} is right."
    )
    if every in (5, 10):
        fine = metric or apart_in.denominator % 5 == 0
        return "" if fine else look.format("where ticks are millimetres")
    if metric:
        return look.format("on a ruler of inches")
    # Every 4th or 8th may be long on a finer ruler too, so only the longest patterns speak of the fineness.
    if every in (16, 32) and apart_in > Fraction(1, every):
        return look.format(f"where ticks are 1/{every} in")
    return ""
