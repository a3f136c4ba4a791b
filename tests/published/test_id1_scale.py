"""Scale from a card of the standard bank-card size, against its nominal size and a simulated camera.

Source: ISO/IEC 7810, format ID-1: 85.60 mm x 53.98 mm x 0.76 mm (nominal, as publicly described).
"""

from __future__ import annotations

import importlib
import sys
from dataclasses import replace
from fractions import Fraction
from types import ModuleType

import numpy as np
import pytest

from swatches.card_plane import CARD_LONG_IN, CARD_SHORT_IN, find_card_plane
from swatches.known_sizes import CARD
from swatches.resampling import map_points
from tests.swatches.pictures import shared

MM_PER_IN = Fraction(127, 5)


def test_the_size_is_the_standards() -> None:
    assert Fraction("85.60") == CARD_LONG_IN * MM_PER_IN
    assert Fraction("53.98") == CARD_SHORT_IN * MM_PER_IN
    assert CARD.thick_in * float(MM_PER_IN) == pytest.approx(0.76)


@pytest.fixture(scope="module")
def camera() -> tuple[ModuleType, np.ndarray]:
    """A simulator of phone photographs with known truth, kept outside the project, and some cloth."""
    folder = str(shared("sim"))
    sys.path.insert(0, folder)
    try:
        cloth, _ = importlib.import_module("fabrics").render("floral_half", 10.5, 8.0, 200, 3)
        return importlib.import_module("sim_photo"), cloth
    finally:
        sys.path.remove(folder)


@pytest.mark.parametrize("seed", [0, 1])
def test_scale_near_a_card_seen_by_a_simulated_phone(
    camera: tuple[ModuleType, np.ndarray], seed: int
) -> None:
    """Tilt, roll, lens distortion and perspective at 3 megapixels; corners exact, then clicked to 2 px."""
    simulator, cloth = camera
    shot = simulator.simulate(
        cloth, 200, "card", seed=seed, size=(2000, 1500), canvas_ppmm=8, keep_canvas=False
    )
    # The simulator counts from the centre of the first pixel, we from its corner.
    corners = shot.to_photo(shot.ref["card"]) + 0.5
    clicks = corners + np.random.default_rng(seed).normal(0, 2, corners.shape)
    for marked, most_pct in ((corners, 0.15), (clicks, 0.8)):
        # That simulator lays the card into the cloth's own plane, where thickness does nothing.
        flat = replace(CARD, thick_in=0.0)
        plane = find_card_plane(
            [(float(x), float(y)) for x, y in marked], width_px=2000, height_px=1500, thing=flat
        )
        half = (plane.card_width_in / 2, plane.card_height_in / 2)
        places = np.array([(x, y) for x in np.linspace(-1, 1, 7) for y in np.linspace(-1, 1, 5)]) * half
        true_mm = shot.camera.to_plane(map_points(plane.to_photo, places) - 0.5)
        spread = lambda points: np.sqrt(((points - points.mean(axis=0)) ** 2).sum())  # noqa: E731
        found = spread(true_mm) / spread(places) / float(MM_PER_IN)
        error_pct = abs(found - 1) * 100
        assert error_pct < most_pct
        assert error_pct < plane.uncertainty * 100
