"""The value view keeps lightness; the lines view shows every number."""

from __future__ import annotations

import numpy as np

from palettes.encodings import luminance, srgb8_to_lin
from palettes.lightness import lightness
from preview.frame import prepare_frame
from preview.views import lines_view, side_by_side, value_view
from tests.preview.scenes import arc_stem, draft, garden_block, rectangle


def L_of(picture_srgb8):  # noqa: N802
    return lightness(luminance(srgb8_to_lin(picture_srgb8)))


def test_every_grey_has_the_lightness_of_its_colour():
    rng = np.random.default_rng(3)
    picture = rng.integers(0, 256, (64, 64, 3), dtype=np.uint8)
    grey = value_view(picture)
    assert (grey == grey[..., :1]).all()
    # Half of the widest step between two grey codes is 0.28 L*.
    assert np.abs(L_of(grey) - L_of(picture)).max() < 0.3


def test_red_and_green_of_one_lightness_become_one_grey():
    picture = np.array([[(204, 64, 64), (20, 133, 20)]], np.uint8)
    first, second = value_view(picture)[0, :, 0].astype(int)
    assert abs(first - second) <= 2


def test_lines_stand_on_the_seams_and_numbers_inside_the_patches():
    pairs = [
        rectangle(1, "a", 0, 0, 2, 4),
        rectangle(2, "b", 2, 0, 2, 4),
        arc_stem(3, "stem", 4, 4, 3, 0.25, layer=1),
    ]
    frame = prepare_frame(draft([p for p, _ in pairs], [c for _, c in pairs]), ppi=60)
    sheet = lines_view(frame)
    assert sheet.shape == (240, 240, 3)
    # Row 20 is above the stem: white but for the outer edges and the seam in the middle.
    dark = np.flatnonzero(sheet[20].min(axis=1) < 160)
    assert set(dark) - {0, 239} <= {118, 119, 120, 121}
    assert len(set(dark) - {0, 239}) >= 1


def test_each_patch_has_ink_of_its_number():
    frame = prepare_frame(garden_block(), ppi=40)
    sheet = lines_view(frame)
    for number in frame.scene.numbers:
        inside = sheet[frame.labels == number]
        assert (inside.max(axis=1) < 120).any(), number


def test_pictures_stand_side_by_side_unchanged():
    left = np.full((30, 20, 3), 10, np.uint8)
    right = np.full((40, 25, 3), 200, np.uint8)
    row = side_by_side([left, right], gap_px=5)
    assert row.shape == (40, 50, 3)
    assert (row[:30, :20] == 10).all()
    assert (row[:, 25:] == 200).all()
    assert (row[:, 20:25] == 255).all()
    assert side_by_side([left, right], captions=("one", "two")).shape[0] > 40
