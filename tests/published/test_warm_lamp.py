"""The lamp's matrix against 24 measured reflectances under illuminants D65 and A (Pascale 2012)."""

from __future__ import annotations

import warnings

import numpy as np
import pytest

from palettes.difference import ciede2000
from palettes.lightness import XYZ_OF_RGB, lab_from_lin
from palettes.seeing import WARM_LAMP
from tests.published.tables import colour_science


@pytest.fixture(scope="module")
def patches() -> tuple[np.ndarray, np.ndarray]:
    """Linear light of the 24 patches in daylight, and under the lamp once the eye is used to it."""
    colour = colour_science()
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    lights = [colour.SDS_ILLUMINANTS[name] for name in ("D65", "A")]
    spectra = [colour.sd_ones(), *colour.SDS_COLOURCHECKERS["BabelColor Average"].values()]
    with warnings.catch_warnings():
        # It says that it interpolates the spectra, which are given every 10 nm.
        warnings.simplefilter("ignore")
        day, lamp = (
            np.array([colour.sd_to_XYZ(each, observer, light) / 100 for each in spectra]) for light in lights
        )
    used_to = colour.adaptation.matrix_chromatic_adaptation_VonKries(lamp[0], day[0], "Bradford")
    back = np.linalg.inv(np.array(XYZ_OF_RGB)).T
    return day[1:] @ back, lamp[1:] @ used_to.T @ back


def test_lightness_moves_as_measured(patches: tuple[np.ndarray, np.ndarray]) -> None:
    day, lamp = patches
    fitted = day @ np.array(WARM_LAMP).T
    off_L = lab_from_lin(fitted)[:, 0] - lab_from_lin(lamp)[:, 0]
    assert np.abs(off_L).max() < 0.6
    assert ciede2000(lab_from_lin(fitted), lab_from_lin(lamp)).mean() < 1.6
    # Reds move by 3, greens and blues by 2: not to model the lamp at all is far worse.
    assert np.ptp(lab_from_lin(lamp)[:, 0] - lab_from_lin(day)[:, 0]) > 5


def test_rows_sum_to_1() -> None:
    np.testing.assert_allclose(np.sum(WARM_LAMP, axis=1), 1, atol=1e-9)
