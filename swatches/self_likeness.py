"""How like itself a cloth is when shifted: the map in which a print's repeat shows as peaks."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.lightness import lab_from_lin

__all__ = ["LikenessMap", "even_lab", "likeness_map", "without_margin"]

_WORK_PPI = 72.0
"""Coarse enough to lose weave and noise, fine enough for eighths of an inch (measured: 40 to 120 agree)."""
_MOST_SIDE_PX, _LEAST_SIDE_PX = 1100, 200
_LEAST_OVERLAP = 0.22
_WIDE_SHARE = 6.0

Map = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class LikenessMap:
    """Likeness, -1 to 1, for every shift right (any sign) and down; NaN where too little overlaps."""

    likeness: Map
    """(rows, 2 * columns - 1); no shift lies at [0, columns - 1]."""
    columns: int
    ppi: float

    def at(self, shifts_in: NDArray[np.float64]) -> NDArray[np.float64]:
        """The likeness at shifts (n, 2) in inches, x and y; NaN where it is not known."""
        shifts = np.asarray(shifts_in, dtype=np.float64) * self.ppi
        shifts = np.where(shifts[:, 1:] < 0, -shifts, shifts)
        # A peak may lie between pixels: the best of the near ones counts.
        x, y = np.rint(shifts[:, 0]).astype(int) + self.columns - 1, np.rint(shifts[:, 1]).astype(int)
        rows, wide = self.likeness.shape
        best = np.full(len(x), np.nan)
        for dx in (-1, 0, 1):
            for dy in (-1, 0, 1):
                u, v = x + dx, np.abs(y + dy)
                inside = (u >= 0) & (u < wide) & (v < rows)
                found = np.full(len(x), np.nan)
                found[inside] = self.likeness[v[inside], u[inside]]
                best = np.fmax(best, found)
        return best


def even_lab(cloth_lin: NDArray[np.float32], *, ppi: float) -> tuple[Map, float, float]:
    """The cloth in CIELAB at about 72 ppi, without what changes slowly; its ppi; its spread in Lab units.

    The exact new density, which may differ across and down by less than half a pixel in the whole.
    """
    rows, columns = cloth_lin.shape[:2]
    longer = max(rows, columns)
    factor = min(1.0, max(_WORK_PPI / ppi, _LEAST_SIDE_PX / longer), _MOST_SIDE_PX / longer)
    small = cloth_lin
    if factor < 1:
        # The same factor both ways: one mean factor for two would skew the lattice by 0.1 %.
        wide, high = max(8, round(columns * factor)), max(8, round(rows * factor))
        factor = wide / columns
        high = min(high, int(rows * factor))
        used = min(rows, round(high / factor))
        small = np.asarray(
            cv2.resize(cloth_lin[:used], (wide, high), interpolation=cv2.INTER_AREA), dtype=np.float32
        )
    lab = lab_from_lin(np.clip(small, 0, 1)).astype(np.float32)
    quarter = (max(2, lab.shape[1] // 8), max(2, lab.shape[0] // 8))
    coarse = cv2.resize(lab, quarter, interpolation=cv2.INTER_AREA)
    sigma = max(coarse.shape[:2]) / _WIDE_SHARE
    slow = cv2.GaussianBlur(coarse, (0, 0), sigma, borderType=cv2.BORDER_REFLECT)
    slow = cv2.resize(slow, (lab.shape[1], lab.shape[0]), interpolation=cv2.INTER_LINEAR)
    even = lab - slow
    even -= even.mean(axis=(0, 1))
    soft = cv2.blur(even, (3, 3))
    return even, ppi * factor, float(np.sqrt((soft**2).sum(axis=2).mean()))


def without_margin(picture: Map, share: float) -> Map:
    """The middle of a picture (rows, columns, channels) without a share of it at each of its sides."""
    rows, columns = picture.shape[:2]
    down, across = int(rows * share), int(columns * share)
    return np.ascontiguousarray(picture[down : rows - down, across : columns - across])


def likeness_map(even: Map, *, ppi: float) -> LikenessMap:
    """The map for a picture (rows, columns, channels) from which slow changes have been taken."""
    # scipy's transforms are several times as fast as numpy's in 32 bits.
    from scipy.fft import irfft2, next_fast_len, rfft2

    rows, columns, channels = even.shape
    size = (next_fast_len(2 * rows - 1, real=True), next_fast_len(2 * columns - 1, real=True))
    power = np.zeros((size[0], size[1] // 2 + 1), np.complex64)
    for channel in range(channels):
        spectrum = rfft2(even[..., channel], s=size)
        power += (spectrum * spectrum.conj()).astype(np.complex64)
    whole = irfft2(power, s=size)
    cross = np.concatenate([whole[:rows, -(columns - 1) :], whole[:rows, :columns]], axis=1).astype(
        np.float64
    )
    count = np.outer(rows - np.arange(rows), columns - np.abs(np.arange(1 - columns, columns))).astype(
        np.float64
    )
    first_energy, second_energy = _overlap_sums(np.square(even, dtype=np.float64).sum(axis=2))
    share = 1 / count
    for channel in range(channels):
        first, second = _overlap_sums(even[..., channel].astype(np.float64))
        mean = first * share
        cross -= mean * second
        first_energy -= mean * first
        second_energy -= np.multiply(second, second, out=second) * share
    first_energy *= second_energy
    cross /= np.sqrt(np.maximum(first_energy, 1e-12, out=first_energy), out=first_energy)
    cross[count < _LEAST_OVERLAP * rows * columns] = np.nan
    return LikenessMap(cross.astype(np.float32), columns, ppi)


def _overlap_sums(values: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """For every shift, the sum over the shifted copy's part of the overlap and over the still one's."""
    rows, columns = values.shape
    table = np.zeros((rows + 1, columns + 1))
    table[1:, 1:] = values.cumsum(axis=0).cumsum(axis=1)
    # By slices: looking every sum up by its number takes eight times as long.
    kept, gone = table[:0:-1], table[-1] - table[:-1]
    still, moved = np.empty((rows, 2 * columns - 1)), np.empty((rows, 2 * columns - 1))
    still[:, columns - 1] = kept[:, -1]
    still[:, columns:] = kept[:, -2:0:-1]
    np.subtract(kept[:, -1:], kept[:, -2:0:-1], out=still[:, : columns - 1])
    moved[:, columns - 1] = gone[:, -1]
    moved[:, : columns - 1] = gone[:, 1:-1]
    np.subtract(gone[:, -1:], gone[:, 1:-1], out=moved[:, columns:])
    return moved, still
