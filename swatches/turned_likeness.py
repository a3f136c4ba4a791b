"""How like itself a picture is when it is turned or mirrored, wherever it is laid down then."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

__all__ = ["like_mirrored", "like_quarter_turned", "like_turned", "spectra"]

Map = NDArray[np.float32]
Spectra = tuple[tuple[int, int], NDArray[np.complex64]]
"""Rows and columns that were transformed, and the half of the spectrum of each channel."""


def spectra(even: Map, *, wraps: bool) -> Spectra:
    """What likenesses of a picture (H, W, channels) are told from; round its edges only where it wraps."""
    from scipy.fft import next_fast_len, rfft2

    rows, columns = even.shape[:2]
    size = rows, columns
    if not wraps:
        size = (
            next_fast_len(rows + rows // 2, real=False),
            next_fast_len(columns + columns // 2, real=True),
        )
    return size, np.stack([rfft2(even[..., i], s=size) for i in range(even.shape[2])])


def like_turned(seen: Spectra, even: Map) -> float:
    """The best correlation with itself by a half turn, over all shifts.

    The spectrum of a picture that is turned is its own, conjugate and shifted, and shifts do not count.
    """
    size, spectrum = seen
    return _best((spectrum * spectrum).sum(axis=0), size, even)


def like_mirrored(seen: Spectra, even: Map) -> tuple[float, float]:
    """The same with itself mirrored from side to side, and upside down."""
    size, spectrum = seen
    upwards = np.roll(spectrum[:, ::-1], 1, axis=1)
    return (
        _best((spectrum * upwards).sum(axis=0), size, even),
        _best((spectrum * upwards.conj()).sum(axis=0), size, even),
    )


def like_quarter_turned(square: Map, *, wraps: bool) -> float:
    """The same of a square picture by a quarter turn."""
    size, spectrum = spectra(square, wraps=wraps)
    turned = spectra(np.ascontiguousarray(np.rot90(square)), wraps=wraps)[1]
    return _best((spectrum * turned.conj()).sum(axis=0), size, square)


def _best(crossed: NDArray[np.complex64], size: tuple[int, int], even: Map) -> float:
    from scipy.fft import irfft2

    energy = float(np.square(even, dtype=np.float64).sum())
    return float(irfft2(crossed, s=size).max()) / max(energy, 1e-9)
