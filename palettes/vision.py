"""The same cloth through other eyes: differing colour vision, and a lens that has yellowed with age."""

from __future__ import annotations

from math import exp

import numpy as np
from numpy.typing import NDArray

from palettes.machado import MATRICES, Eyes
from palettes.viewing import OLDEST_YEARS, YOUNG_YEARS

__all__ = ["OLDEST_YEARS", "YOUNG_YEARS", "Eyes", "as_seen_at_age", "as_seen_by", "eyes_matrix"]

_PRIMARIES_NM = (611.4, 549.1, 464.2)
"""Dominant wavelengths of the red, green and blue of sRGB, D65 white."""


def eyes_matrix(eyes: Eyes, *, severity: float = 1.0) -> NDArray[np.float64]:
    """The matrix (3, 3) from linear light to the linear light that looks so to these eyes.

    severity: 0 for none, 1 for cones that are absent; between the table's tenths on a straight line.
    For tritan eyes the model is an approximation, as its authors say: cones shifted, not absent.
    Raises: ValueError for a severity outside 0 to 1.
    Source: Machado, Oliveira and Fernandes (2009), see palettes/machado.py.
    """
    if not 0 <= severity <= 1:
        raise ValueError(f"severity must be from 0 to 1, got {severity}")
    table = np.array(MATRICES[eyes])
    below = min(int(severity * 10), 9)
    part = severity * 10 - below
    return np.asarray((1 - part) * table[below] + part * table[below + 1])


def as_seen_by(light_lin: NDArray[np.floating], *, eyes: Eyes, severity: float = 1.0) -> NDArray[np.floating]:
    """Linear light (..., 3) as it looks to eyes whose red, green or blue cones differ, clipped to 0 to 1.

    Greys stay as they are. dtype in is dtype out.
    """
    matrix = eyes_matrix(eyes, severity=severity)
    return np.asarray(np.clip(light_lin @ matrix.T.astype(light_lin.dtype), 0, 1))


def as_seen_at_age(light_lin: NDArray[np.floating], *, years: float) -> NDArray[np.floating]:
    """Linear light (..., 3) through the lens of someone of this age, against a young eye's.

    Only the yellowing: red is kept, since the eye gets used to less light in all. An estimate: three
    wavelengths stand for the three primaries, and people of one age differ as much as decades do.
    Clouding and glare are not in it. dtype in is dtype out.
    Raises: ValueError for an age outside YOUNG_YEARS to OLDEST_YEARS.
    Source: van de Kraats and van Norren (2007), "Optical density of the aging human ocular media in the
    visible and the UV", J. Opt. Soc. Am. A 24(7), 1842-1857, equation 8; also in CIE 203:2012.
    """
    if not YOUNG_YEARS <= years <= OLDEST_YEARS:
        raise ValueError(f"age must be from {YOUNG_YEARS:g} to {OLDEST_YEARS:g} years, got {years:g}")
    passed = np.array([10 ** -_added_density(nm, years=years) for nm in _PRIMARIES_NM])
    return np.asarray(light_lin * (passed / passed[0]).astype(light_lin.dtype))


def _added_density(wavelength_nm: float, *, years: float) -> float:
    """How much denser the eye's media are at this age than at YOUNG_YEARS (only the terms with age)."""
    scatter = 0.000031 * (400 / wavelength_nm) ** 4
    young_lens = -0.000063 * 2.13 * exp(-((0.029 * (wavelength_nm - 370)) ** 2))
    old_lens_uv = 0.000186 * 11.95 * exp(-((0.021 * (wavelength_nm - 325)) ** 2))
    old_lens = 0.000132 * 1.43 * exp(-((0.008 * (wavelength_nm - 325)) ** 2))
    return (years**2 - YOUNG_YEARS**2) * (scatter + young_lens + old_lens_uv + old_lens)
