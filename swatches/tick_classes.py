"""How long each of a ruler's ticks is, and whether its inches have as many ticks as was said."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from swatches.tick_lengths import ticks_by_row

__all__ = ["doubt_fineness", "tick_reaches"]

# Ours, settled on half of 192 simulated rulers. Of the other half, 6 of 15 with eighths taken for sixteenths
# are told, 11 of 15 with sixteenths taken for eighths, 7 of 16 with quarters taken for eighths; none taken
# rightly is doubted. Rulers whose lines of an inch run all across say nothing.
_LEAST_EACH, _LEAST_BOTH = 2, 5
_LEAST_GAP, _LEAST_RISE = 2.5, 0.15
_ALIKE, _APART = 0.35, 0.6
"""How far halves and inches differ, as a share of how much longer both are than quarters."""
_SPREAD = 0.3
_MIXED, _SORTED = 0.3, 0.42
"""Away from a half: the share of pairs in which the one is longer than the other."""


def tick_reaches(
    bands: NDArray[np.float32], places: NDArray[np.float64], pitch: float, *, sign: int, strong: float
) -> tuple[float, ...]:
    """How many rows of the strip each tick crosses, none left out; not a number where it leaves the strip.

    Args: as in tick_lengths.long_ticks_every.
    """
    there = ticks_by_row(bands, places, pitch, sign) > 0.3 * strong
    start = int(there.mean(axis=1).argmax())
    return tuple(_crossed(column, start) for column in there.T)


def _crossed(column: NDArray[np.bool_], start: int) -> float:
    """The rows from end to end of one tick, a single missing row allowed."""
    ends = []
    for step in (1, -1):
        last = row = start
        while 0 <= row < len(column) and abs(row - last) <= 2:
            last = row if column[row] else last
            row += step
        ends.append(last)
    if max(ends) >= len(column) - 1 or min(ends) <= 0:
        return float("nan")
    return float(ends[0] - ends[1] + 1)


def doubt_fineness(reaches: Sequence[float], apart_in: Fraction) -> str:
    """A sentence where the ticks' lengths speak against so many ticks to an inch; "" where they do not.

    Halves of an inch are shorter than inches. Where what would be halves is as long, there are half as many
    ticks to an inch as was said; where every other of what would be inches is shorter, twice as many.
    Common practice, no source.
    """
    every = apart_in.denominator
    if apart_in.numerator != 1 or every not in (4, 8, 16, 32):
        return ""
    look = f"look whether {apart_in} in is right."
    if every > 4 and _halves(np.array(reaches), every) == "as long":
        return f" Every {every // 2}th tick is as long, as where ticks are 1/{every // 2} in: {look}"
    if every < 32 and _halves(np.array(reaches), 2 * every) == "shorter":
        nth = f"{2 * every}{'nd' if every == 16 else 'th'}"
        return f" Only every {nth} tick is longest, as where ticks are 1/{2 * every} in: {look}"
    return ""


def _halves(reaches: NDArray[np.float64], every: int) -> str:
    """How the ticks halfway between the longest, which come so often, compare: "as long", "shorter" or ""."""
    half = every // 2
    if len(reaches) < _LEAST_EACH * every:
        return ""
    classes = [reaches[k::half] for k in range(half)]
    if any(np.isnan(each).mean() > 0.25 for each in classes):
        return ""
    longest = int(np.argmax([np.nanmedian(each) for each in classes]))
    one, other = reaches[longest::every], reaches[longest + half :: every]
    between = reaches[(longest + half // 2) % half :: half]
    one, other = one[~np.isnan(one)], other[~np.isnan(other)]
    if min(len(one), len(other)) < _LEAST_EACH or len(one) + len(other) < _LEAST_BOTH:
        return ""
    middles = [float(np.nanmedian(each)) for each in (one, other, between)]
    gap = (middles[0] + middles[1]) / 2 - middles[2]
    if gap < max(_LEAST_GAP, _LEAST_RISE * middles[2]):
        return ""
    off = abs(middles[0] - middles[1]) / gap
    both = np.concatenate([one, other])
    spread = float(np.median(np.abs(both - np.median(both)))) / gap
    longer = float(np.mean((one[:, None] > other[None]) + 0.5 * (one[:, None] == other[None])))
    if off <= _ALIKE and spread <= _SPREAD and abs(longer - 0.5) <= _MIXED:
        return "as long"
    return "shorter" if off >= _APART and abs(longer - 0.5) >= _SORTED else ""
