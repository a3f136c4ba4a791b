"""What a cloth is like as a whole: its light and spread, its colours, its motifs, how busy it is."""

# ruff: noqa: N815 - L* keeps its capital in field names too

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.colours import colour_name
from palettes.difference import ciede2000
from palettes.encodings import lin_to_srgb8
from palettes.eye import as_taken_in
from palettes.lightness import lab_from_lin
from palettes.main_colours import main_colours
from palettes.seeing import as_viewed
from palettes.shares import sure_chances
from palettes.thresholds import THRESHOLDS
from palettes.viewing import ACROSS_TABLE, Viewing

__all__ = ["SPOTS", "Look", "look_of", "shared_colour"]

SPOTS = 256
"""Spots of a cloth that stand for all of it."""

_Floats = NDArray[np.float64]

_PICKED = 3072
"""Points of a cloth that its colours are counted from."""


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """A cloth from across a table. Arrays are read-only."""

    mean_lin: _Floats
    mean_lab: _Floats
    """CIELAB of the mean light, which is what a fine print looks like from afar."""
    low_L: float
    high_L: float
    """The 10th and the 90th percentile of L* over the cloth."""
    scale_in: float
    """About how far one motif is from the next; 0 where there are none."""
    busy: float
    """How often two spots a quarter of an inch apart show an edge, 0 to 1."""
    narrow_busy: float
    """The same seen by the smaller patch that a narrow stem is compared over."""
    colours_lin: _Floats
    """(k, 3), the commonest first, at most eight."""
    shares: _Floats
    spots_lab: _Floats
    """(SPOTS, 3): CIELAB of spots all over the cloth, each the mean of what the eye compares."""
    narrow_spots_lab: _Floats

    @property
    def L(self) -> float:  # noqa: N802 - as in CIE L*
        """L* of the mean light."""
        return float(self.mean_lab[0])

    @property
    def is_print(self) -> bool:
        """Whether it has motifs that are seen at all."""
        return self.scale_in > 0


def look_of(
    light_lin: NDArray[np.float32],
    *,
    per_in: tuple[float, float],
    repeats: bool,
    taken_in: Mapping[float, NDArray[np.float32]] | None = None,
) -> Look:
    """The look of a cloth from its linear light (h, w, 3), at 30 to 60 points per inch across and down.

    taken_in: for each radius of THRESHOLDS the light as palettes.eye.as_taken_in gives it from across a
    table, where that is at hand already; it may have spare rows and columns.
    """
    seen = taken_in or {
        radius_in: as_taken_in(
            light_lin, per_in=per_in, sigma_in=ACROSS_TABLE.sigma_in, radius_in=radius_in, repeats=repeats
        )
        for radius_in in (THRESHOLDS.compared_radius_in, THRESHOLDS.narrow_radius_in)
    }
    height, width = light_lin.shape[:2]
    wide, narrow = (
        seen[radius_in][:height, :width]
        for radius_in in (THRESHOLDS.compared_radius_in, THRESHOLDS.narrow_radius_in)
    )
    picked = light_lin[_spread_over((height, width), _PICKED)]
    colours_lin, shares = main_colours(picked, most=8)
    mean_lin = light_lin.mean(axis=(0, 1), dtype=np.float64)
    low_L, high_L = np.percentile(lab_from_lin(picked)[:, 0], [10, 90])
    spots_lab, busy = _spots(wide, per_in=per_in, repeats=repeats)
    narrow_spots_lab, narrow_busy = _spots(narrow, per_in=per_in, repeats=repeats)
    return Look(
        mean_lin=_locked(mean_lin),
        mean_lab=_locked(np.asarray(lab_from_lin(mean_lin), np.float64)),
        low_L=float(low_L),
        high_L=float(high_L),
        scale_in=_motif_scale_in(narrow, per_in),
        busy=busy,
        narrow_busy=narrow_busy,
        colours_lin=_locked(colours_lin),
        shares=_locked(shares),
        spots_lab=_locked(spots_lab),
        narrow_spots_lab=_locked(narrow_spots_lab),
    )


def shared_colour(first: Look, second: Look, *, viewing: Viewing = ACROSS_TABLE) -> tuple[float, str]:
    """How often a spot of one and a spot of the other look the same, and the colour of most of these."""
    one, other = (lab_from_lin(as_viewed(look.colours_lin, viewing)) for look in (first, second))
    gaps = ciede2000(one[:, None], other[None])
    same = np.outer(first.shares, second.shares) * (gaps < THRESHOLDS.same_dE00)
    share = float(same.sum())
    if share < THRESHOLDS.merges_share:
        return share, ""
    codes = lin_to_srgb8(first.colours_lin[int(same.sum(axis=1).argmax())])
    return share, colour_name(codes)


def _spread_over(shape: tuple[int, int], count: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Rows and columns of points spread evenly over an area, in step with no grid.

    Source: Roberts (2018), the R2 sequence of low discrepancy, from the plastic number.
    """
    plastic = 1.32471795724474602596
    at = np.arange(1, count + 1)
    rows, columns = ((0.5 + at * plastic**-power) % 1 for power in (1, 2))
    return (rows * shape[0]).astype(np.intp), (columns * shape[1]).astype(np.intp)


def _spots(
    light: NDArray[np.float32], *, per_in: tuple[float, float], repeats: bool
) -> tuple[_Floats, float]:
    """CIELAB of SPOTS spots, and how often each shows an edge against one a quarter inch away."""
    height, width = light.shape[:2]
    rows, columns = _spread_over((height, width), SPOTS)
    angle = np.arange(SPOTS) * 2.399963  # the golden angle: every direction in turn
    across = columns + np.rint(THRESHOLDS.inside_in * per_in[0] * np.cos(angle)).astype(np.intp)
    down = rows + np.rint(THRESHOLDS.inside_in * per_in[1] * np.sin(angle)).astype(np.intp)
    on = np.ones(SPOTS, bool)
    if not repeats:
        on = (across >= 0) & (across < width) & (down >= 0) & (down < height)
    lab = np.asarray(lab_from_lin(light[rows, columns]), np.float64)
    beside = np.asarray(lab_from_lin(light[down % height, across % width]), np.float64)
    chances = sure_chances(np.abs(lab[:, 0] - beside[:, 0]))
    return lab, float(chances[on].mean()) if on.any() else 0.0


def _motif_scale_in(light: NDArray[np.float32], per_in: tuple[float, float]) -> float:
    """The repeat, in inches, of the wave that is as strong as the print's colours vary and as steep."""
    if min(light.shape[:2]) < 2:
        return 0.0
    lab = np.asarray(lab_from_lin(light), np.float32)
    lab[..., 1:] *= 0.3
    lab -= lab.mean(axis=(0, 1))
    spread = float(np.vdot(lab, lab)) / (lab.shape[0] * lab.shape[1])
    if spread < THRESHOLDS.marked_lab**2:
        return 0.0
    steps = np.diff(lab, axis=0), np.diff(lab, axis=1)
    slopes = [
        3 * float(np.vdot(step, step)) / step.size * each**2
        for step, each in zip(steps, (per_in[1], per_in[0]), strict=True)
    ]
    # A wave of this repeat along each of two directions has half its spread in each.
    return float(2 * np.pi * np.sqrt(spread / max(max(slopes), 1e-12)))


def _locked(array: _Floats) -> _Floats:
    array.setflags(write=False)
    return array
