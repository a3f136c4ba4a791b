"""Cloth marked in the photograph, where card and camera stand askew, is the piece that was meant."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from swatches.crop import Crop, CropError
from swatches.measure import measure_photo
from swatches.references import Card, PhotoSheet, TypedPpi
from swatches.seen_crop import SeenCrop
from tests.swatches.shots import other_shot, sheet_shot

ASKEW = (("tilt_deg", 14.0), ("card_ang", 17.0), ("card_x", -0.1), ("card_y", -0.1))


def test_a_piece_beside_a_turned_card_has_its_true_size(tmp_path: Path) -> None:
    """The simulator's own map from millimetres of the table to pixels says where the piece lies."""
    shot, _ = other_shot("card", "plaid", 5, ASKEW)
    (tmp_path / "card.jpg").write_bytes(shot.jpeg)
    corners = np.array(shot.ref["card"])
    right, down = corners[1] - corners[0], corners[3] - corners[0]
    right, down = right / np.hypot(*right), down / np.hypot(*down)
    first = corners[3] + down * 8
    second = first + right * 70 + down * 30
    # The simulator counts pixels from the centre of the first one.
    seen = shot.to_photo(np.array([first, second])) + 0.5
    card = Card(tuple(map(tuple, shot.to_photo(corners) + 0.5)), exact=True)
    marked = SeenCrop(tuple(seen[0]), tuple(seen[1]))
    swatch = measure_photo(
        tmp_path / "card.jpg", name="p", reference=card, crop=marked, repeat="as it is"
    ).swatch
    assert (swatch.width_in * 25.4, swatch.height_in * 25.4) == pytest.approx((70, 30), rel=0.02)
    away = SeenCrop((0.0, 0.0), (3.0, 3.0))
    with pytest.raises(CropError) as fault:
        measure_photo(tmp_path / "card.jpg", name="p", reference=card, crop=away)
    assert fault.value.mend


def test_a_piece_in_the_sheet_and_in_a_scan(tmp_path: Path) -> None:
    shot, _ = sheet_shot()
    (tmp_path / "sheet.jpg").write_bytes(shot.jpeg)
    left, top, _, _ = shot.window_mm
    seen = shot.to_photo(np.array([(left + 20, top + 20), (left + 80, top + 60)])) + 0.5
    marked = SeenCrop(tuple(seen[0]), tuple(seen[1]))
    swatch = measure_photo(
        tmp_path / "sheet.jpg", name="p", reference=PhotoSheet(), crop=marked, repeat="as it is"
    ).swatch
    assert (swatch.width_in * 25.4, swatch.height_in * 25.4) == pytest.approx((60, 40), rel=0.01)
    ways = (SeenCrop((300.0, 260.0), (100.0, 60.0)), Crop(100, 60, 300, 260))
    tiles = [
        measure_photo(
            tmp_path / "sheet.jpg", name="p", reference=TypedPpi(100), crop=way, repeat="as it is"
        ).swatch.tile_srgb8
        for way in ways
    ]
    assert np.array_equal(*tiles)
