"""Pictures against those kept, patch by patch: a fault in one patch cannot hide in the mean of all."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from palettes.difference import ciede2000
from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from tests.preview.golden_pictures import CLOTHS, FOLDER, PICTURES, kept

MOST_MEAN, MOST_AT_EDGES = 0.5, 1.0


def differences(frame, found, wanted):
    """Mean CIEDE2000 inside each patch that shows, and over all shared pixels."""
    assert found.shape == wanted.shape
    gap = ciede2000(*(lab_from_lin(srgb8_to_lin(picture)) for picture in (found, wanted)))
    shared = np.zeros(gap.size, bool)
    shared[frame.shared_place] = True
    inside = np.where(shared, 0, frame.labels.ravel())
    patches = np.unique(inside[inside > 0])
    return {int(n): float(gap.ravel()[inside == n].mean()) for n in patches}, float(
        gap.ravel()[shared].mean()
    )


@pytest.mark.parametrize("name", PICTURES)
def test_the_picture_is_the_one_that_was_kept(name, tmp_path):
    frame, found = PICTURES[name]()
    wanted = kept(name)
    patches, edges = differences(frame, found, wanted)
    if max(patches.values()) > MOST_MEAN or edges > MOST_AT_EDGES:
        off = np.abs(found.astype(int) - wanted).astype(np.uint8)
        Image.fromarray(np.hstack([found, wanted, off])).save(tmp_path / f"{name}.png")
        pytest.fail(f"patches {patches}, edges {edges}: got, wanted and difference in {tmp_path}")


def test_two_swapped_prints_are_noticed():
    frame, found = PICTURES["stems_over_squares"](petal=CLOTHS["sky"], sky=CLOTHS["petal"])
    patches, _ = differences(frame, found, kept("stems_over_squares"))
    changed = {
        int(n)
        for n, role in zip(frame.scene.numbers, frame.scene.roles, strict=True)
        if role in ("petal", "sky")
    }
    assert {n for n, gap in patches.items() if gap > MOST_MEAN} == changed & patches.keys()


def test_kept_pictures_are_few_and_small():
    files = list(FOLDER.iterdir())
    assert {path.stem for path in files} == set(PICTURES)
    for path in files:
        assert path.stat().st_size < 65_536
        with Image.open(path) as picture:
            assert max(picture.size) < 400
