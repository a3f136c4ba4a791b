"""Crops in pixels or inches come out in whole pixels, and never silently smaller."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from swatches.crop import Crop, CropError, crop_in_px

SIZE: dict[str, Any] = {"ppi": 100.0, "width_px": 800, "height_px": 600}


def test_pixels_and_inches_agree() -> None:
    assert crop_in_px(Crop(100, 50, 500, 350), **SIZE) == (100, 50, 500, 350)
    assert crop_in_px(Crop(1, Fraction(1, 2), 5, Fraction(7, 2), "in"), **SIZE) == (100, 50, 500, 350)


def test_a_hair_over_the_edge_is_the_edge() -> None:
    assert crop_in_px(Crop(-0.5, 0, 800.7, 600), **SIZE) == (0, 0, 800, 600)


@pytest.mark.parametrize(
    "crop",
    [
        Crop(500, 50, 100, 350),
        Crop(100, 350, 500, 50),
        Crop(-1, 0, 500, 350),
        Crop(0, 0, 801, 350),
        Crop(0, 0, 5, 7, "in"),
        Crop(0, 0, 7, 350),
        Crop(0, 0, float("nan"), 350),
        Crop(0, 0, 5, 5, "cm"),  # type: ignore[arg-type]
    ],
)
def test_crops_that_cannot_be_cut(crop: Crop) -> None:
    with pytest.raises(CropError) as caught:
        crop_in_px(crop, **SIZE)
    assert caught.value.mend.endswith(".")
