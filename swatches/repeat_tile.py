"""A seamless tile from a photograph of a print with a repeat; cleaned by the repeats it shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from math import atan2, degrees

import numpy as np
from numpy.typing import NDArray

from swatches.copies import Copies, Pull, joined
from swatches.copies_in_line import join_copies
from swatches.lattice import square_cell
from swatches.repeat import Repeat

__all__ = ["CleanTile", "tile_again", "tile_from_repeat"]

_MOST_COPIES = 24
_EVEN_SHARE, _MOST_DENSER = 0.0004, 1.25
_STRIPE_IN = 1.0


@dataclass(frozen=True, slots=True, eq=False)
class CleanTile:
    """A tile that wraps without a seam, square to the grain."""

    tile_lin: NDArray[np.float32]
    ppi: float
    turn_deg: float
    """How far the cloth lay turned in the photograph, clockwise; taken out."""
    skew_deg: float
    """How far its corner was off square; taken out."""
    sides_in: NDArray[np.float64]
    """The tile's sides (2, 2) on the photographed cloth, in inches."""
    start_in: NDArray[np.float64]
    """Where on it one tile begins."""
    copies: int
    """How many whole repeats were brought together."""
    note: str
    joined_from: Copies = field(repr=False)
    pulls: Sequence[Pull | None] = field(repr=False)
    """How each of those copies was brought to the same shape."""


def tile_from_repeat(cloth_lin: NDArray[np.float32], repeat: Repeat, *, ppi: float) -> CleanTile | None:
    """The tile of a lattice or of stripes; None for other cloth, and for lattices too far from square.

    The sides are whole repeats, so that right angles and true distances hold to a few hundredths of a per
    cent. Three whole repeats or more: the median, which drops lint and noise. Fewer: their mean, in which
    each pixel counts less towards the photograph's edge. A repeat is never mirrored, never cut from one
    place alone.
    """
    rows, columns = cloth_lin.shape[:2]
    if repeat.kind == "stripe":
        sides = _stripe_sides(repeat.steps_in[0], wide_in=columns / ppi, high_in=rows / ppi)
        moves = sides
    else:
        cell = square_cell(repeat.pair) if repeat.pair is not None else None
        if cell is None or repeat.pair is None:
            return None
        sides = cell[1]
        moves = np.array(repeat.pair)
    tile_ppi, size = _even_size(np.hypot(*sides.T), ppi=ppi)
    stripe = repeat.kind == "stripe"
    starts = _starts(sides, moves, wide_in=columns / ppi, high_in=rows / ppi, free=stripe)
    cells = _whole_cells(sides, starts, wide_in=columns / ppi, high_in=rows / ppi)
    whole = len(cells) >= 3
    places = cells[:_MOST_COPIES] if whole else starts
    tile, copies, pulls = join_copies(Copies(cloth_lin, sides, places, size, ppi, whole))
    how = (
        f"the median of {len(places)} repeats" if whole else "the mean of the parts of repeats that are seen"
    )
    if any(pull is not None for pull in pulls):
        how += ", each brought to the same shape first"
    turn_deg = degrees(atan2(sides[0, 1], sides[0, 0]))
    skew_deg = degrees(atan2(-sides[1, 0], sides[1, 1])) - turn_deg
    note = f"The tile is {how}."
    if abs(turn_deg) > 0.3 or abs(skew_deg) > 0.3:
        note += (
            f" The cloth lay {abs(turn_deg):.1f}° off straight and {abs(skew_deg):.1f}° off square; mended."
        )
    return CleanTile(
        tile, tile_ppi, turn_deg, skew_deg, sides, starts[0], max(len(cells), 1), note, copies, pulls
    )


def tile_again(made: CleanTile, cloth_lin: NDArray[np.float32]) -> CleanTile:
    """The same tile of the same photograph in other light: where its repeats lie is known already."""
    copies = replace(made.joined_from, cloth_lin=cloth_lin)
    return replace(made, tile_lin=joined(copies, made.pulls)[0], joined_from=copies)


def _stripe_sides(step: tuple[float, float], *, wide_in: float, high_in: float) -> NDArray[np.float64]:
    """Stripes are the same all along: the tile is one repeat across and an inch or less along."""
    across = np.array(step, dtype=np.float64)
    along = np.array([-across[1], across[0]]) / np.hypot(*across)
    length = min(_STRIPE_IN, 0.4 * min(wide_in, high_in))
    if abs(across[0]) >= abs(across[1]):
        across = across if across[0] > 0 else -across
        along = along if along[1] > 0 else -along
        return np.stack([across, along * length])
    across = across if across[1] > 0 else -across
    along = along if along[0] > 0 else -along
    return np.stack([along * length, across])


def _even_size(lengths_in: NDArray[np.float64], *, ppi: float) -> tuple[float, tuple[int, int]]:
    """A density, at least the photograph's, at which both sides are nearly whole pixels; and those pixels."""
    best: tuple[float, float, int, int] | None = None
    for share in np.linspace(1.0, _MOST_DENSER, 1200):
        tried = ppi * share
        wide, high = round(lengths_in[0] * tried), round(lengths_in[1] * tried)
        if min(wide, high) < 4:
            continue
        off = max(abs(wide / (lengths_in[0] * tried) - 1), abs(high / (lengths_in[1] * tried) - 1))
        if best is None or off < best[0]:
            best = (off, tried, wide, high)
        if off < _EVEN_SHARE:
            break
    if best is None:
        return ppi, (max(4, round(lengths_in[0] * ppi)), max(4, round(lengths_in[1] * ppi)))
    return best[1], (best[2], best[3])


def _starts(
    sides: NDArray[np.float64], moves: NDArray[np.float64], *, wide_in: float, high_in: float, free: bool
) -> NDArray[np.float64]:
    """Top left corners (n, 2) of all copies of the tile that touch the photograph; the same print in each."""
    corners = np.array([[0, 0], [wide_in, 0], [wide_in, high_in], [0, high_in]])
    if free:
        moves = sides
    shares = corners @ np.linalg.inv(moves)
    span = np.abs(sides @ np.linalg.inv(moves)).sum(axis=0)
    low, high = np.floor(shares.min(axis=0) - span), np.ceil(shares.max(axis=0) + span)
    steps = np.stack(np.meshgrid(*(np.arange(a, b + 1) for a, b in zip(low, high, strict=True))), -1)
    starts = steps.reshape(-1, 2) @ moves
    best, most = starts, -1
    # Where the tile begins is free: the place from which most whole repeats are seen is the best.
    for x in np.linspace(0, 1, 6, endpoint=False):
        for y in np.linspace(0, 1, 6, endpoint=False):
            moved = starts + (x, y) @ sides
            count = len(_whole_cells(sides, moved, wide_in=wide_in, high_in=high_in))
            if count > most:
                best, most = moved, count
    return np.asarray(best, dtype=np.float64)


def _whole_cells(
    sides: NDArray[np.float64], starts: NDArray[np.float64], *, wide_in: float, high_in: float
) -> NDArray[np.float64]:
    """Those copies of which every point is seen, from the middle of the photograph outwards."""
    corners = starts[:, None] + np.array([[0, 0], sides[0], sides[1], sides[0] + sides[1]])[None]
    inside = ((corners >= 0) & (corners <= (wide_in, high_in))).all(axis=(1, 2))
    kept = starts[inside]
    far = np.hypot(*(kept + sides.sum(axis=0) / 2 - (wide_in / 2, high_in / 2)).T)
    return np.asarray(kept[np.argsort(far, kind="stable")], dtype=np.float64)
