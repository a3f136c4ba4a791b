"""The one door: a file and a scale become a swatch, or a plain refusal."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from swatches.card import CardError, straighten_card
from swatches.crop import Crop, CropError
from swatches.intake import swatch_from_photo
from swatches.photo import PhotoError
from swatches.scale import CardCorners, ScaleError, TwoPoints, TypedPpi
from swatches.swatch import SwatchError
from tests.swatches.pictures import saved, smooth, speckled

CARD = ((300.0, 200.0), (637.0, 200.0), (637.0, 412.5), (300.0, 412.5))
"""A card seen straight on at 100 pixels per inch."""


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    return saved(tmp_path / "cloth.png", smooth(600, 1000))


def test_a_typed_scale(photo: Path) -> None:
    swatch = swatch_from_photo(photo, name=" hay meadow ", scale=TypedPpi(200))
    assert np.array_equal(swatch.tile_srgb8, smooth(600, 1000))
    assert (swatch.name, swatch.ppi, swatch.width_in, swatch.height_in) == ("hay meadow", 200, 5, 3)
    assert not swatch.repeats
    assert not swatch.one_way
    assert swatch.kind == "print"
    assert swatch.width_of_fabric_in == 42
    assert "not measured" in swatch.colour_note


def test_two_points_and_a_crop_in_inches(photo: Path) -> None:
    swatch = swatch_from_photo(
        photo,
        name="hay",
        scale=TwoPoints((100, 50), (100, 450), Fraction(4)),
        crop=Crop(1, 2, Fraction(9, 2), 5, "in"),
        width_of_fabric_in=Fraction(108),
        one_way=True,
    )
    assert np.array_equal(swatch.tile_srgb8, smooth(600, 1000)[200:500, 100:450])
    assert (swatch.ppi, swatch.width_of_fabric_in, swatch.one_way) == (100, 108, True)


def test_the_key_is_of_content_scale_and_name(photo: Path, tmp_path: Path) -> None:
    def key(name: str = "hay", ppi: float = 200, path: Path = photo) -> str:
        return swatch_from_photo(path, name=name, scale=TypedPpi(ppi)).key

    copied = saved(tmp_path / "another name.tif", smooth(600, 1000))
    assert key() == key(path=copied)
    assert len({key(), key(name="hay 2"), key(ppi=201), key(path=saved(tmp_path / "b.png", speckled()))}) == 4
    assert len(key()) == 16


def test_a_claim_of_the_file_that_disagrees_is_told(tmp_path: Path) -> None:
    scan = saved(tmp_path / "scan.png", smooth(), dpi=(300, 300))
    assert "claims 300" in swatch_from_photo(scan, name="a", scale=TypedPpi(150)).scale_note
    assert "claims" not in swatch_from_photo(scan, name="a", scale=TypedPpi(300)).scale_note


def test_a_dense_scan_is_averaged_down_exactly(tmp_path: Path) -> None:
    scan = saved(tmp_path / "scan.png", speckled(300, 500))
    swatch = swatch_from_photo(scan, name="a", scale=TypedPpi(720))
    assert swatch.ppi == 360
    assert swatch.tile_srgb8.shape == (150, 250, 3)
    assert swatch.width_in == pytest.approx(500 / 720)


def test_a_card_gives_scale_and_the_cloth_beside_it(photo: Path) -> None:
    swatch = swatch_from_photo(photo, name="a", scale=CardCorners(CARD))
    # 85.60 mm on 337 pixels and 53.98 mm on 212.5: just under 100 pixels per inch.
    assert swatch.ppi == 99
    assert "four corners of a card" in swatch.scale_note
    assert "beside the card" in swatch.scale_note
    # Right of the card is the widest room: 363 pixels by the height of the photo.
    assert swatch.width_in == pytest.approx(3.5, abs=0.1)
    assert swatch.height_in == pytest.approx(6.0, abs=0.1)


def test_a_crop_counts_in_the_straightened_picture(photo: Path) -> None:
    straight = straighten_card(smooth(600, 1000), CARD)
    crop = Crop(40, 30, 240, 180)
    swatch = swatch_from_photo(photo, name="a", scale=CardCorners(CARD), crop=crop)
    assert np.array_equal(swatch.tile_srgb8, straight.srgb8[30:180, 40:240])


def test_a_crop_over_the_card_is_refused(photo: Path) -> None:
    with pytest.raises(CropError, match="over the card"):
        swatch_from_photo(photo, name="a", scale=CardCorners(CARD), crop=Crop(3, 2, 5, 4, "in"))


def test_a_card_that_hides_nearly_all_the_cloth(tmp_path: Path) -> None:
    path = saved(tmp_path / "close.png", smooth(400, 560))
    corners = ((60.0, 40.0), (500.0, 40.0), (500.0, 317.0), (60.0, 317.0))
    with pytest.raises(CardError, match="Less than an inch"):
        swatch_from_photo(path, name="a", scale=CardCorners(corners))


def test_faults_pass_through_with_their_mend(photo: Path, tmp_path: Path) -> None:
    def fault(path: Path = photo, **changed: object) -> str:
        wanted: dict[str, object] = {"name": "a", "scale": TypedPpi(200), **changed}
        with pytest.raises((PhotoError, ScaleError, CropError, SwatchError)) as caught:
            swatch_from_photo(path, **wanted)  # type: ignore[arg-type]
        return f"{type(caught.value).__name__} {caught.value.mend}"

    assert fault(tmp_path / "none.png").startswith("PhotoError")
    assert fault(scale=TypedPpi(3)).startswith("ScaleError")
    assert fault(crop=Crop(0, 0, 99, 99, "in")).startswith("CropError")
    assert fault(name=" ").startswith("SwatchError")
    assert fault(width_of_fabric_in=Fraction(0)).startswith("SwatchError")
