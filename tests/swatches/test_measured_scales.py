"""A file and something of known size become a swatch of true inches, or a plain refusal."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from swatches.card import CardError, straight_view
from swatches.card_plane import find_card_plane
from swatches.crop import Crop, CropError
from swatches.known_sizes import A4_PAPER
from swatches.measure import measure_photo
from swatches.measured_scale import ScaleError
from swatches.photo import PhotoError
from swatches.references import Card, Paper
from swatches.resampling import resample
from swatches.scale import CardCorners, TwoPoints, TypedPpi
from swatches.swatch import Swatch, SwatchError
from tests.swatches.pictures import saved, smooth, speckled

CARD = ((300.0, 200.0), (637.0, 200.0), (637.0, 412.5), (300.0, 412.5))
"""A card seen straight on at 100 pixels per inch."""


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    return saved(tmp_path / "cloth.png", smooth(600, 1000))


def measured(path: Path, **known: object) -> Swatch:
    wanted: dict[str, object] = {"name": "a", "reference": TypedPpi(200), "repeat": "as it is", **known}
    return measure_photo(path, **wanted).swatch  # type: ignore[arg-type]


def test_a_typed_scale_keeps_every_pixel(photo: Path) -> None:
    swatch = measured(photo, name=" hay meadow ")
    assert np.array_equal(swatch.tile_srgb8, smooth(600, 1000))
    assert (swatch.name, swatch.ppi, swatch.width_in, swatch.height_in) == ("hay meadow", 200, 5, 3)
    assert not swatch.repeats
    assert swatch.width_of_fabric_in == 42
    assert "not measured" in swatch.colour_note


def test_two_points_and_a_crop_in_inches(photo: Path) -> None:
    swatch = measured(
        photo,
        reference=TwoPoints((100, 50), (100, 450), Fraction(4)),
        crop=Crop(1, 2, Fraction(9, 2), 5, "in"),
        width_of_fabric_in=Fraction(108),
        one_way=True,
    )
    assert np.array_equal(swatch.tile_srgb8, smooth(600, 1000)[200:500, 100:450])
    assert (swatch.ppi, swatch.width_of_fabric_in, swatch.one_way) == (100, 108, True)


def test_the_key_is_of_content_scale_and_name(photo: Path, tmp_path: Path) -> None:
    def key(name: str = "hay", ppi: float = 200, path: Path = photo) -> str:
        return measured(path, name=name, reference=TypedPpi(ppi)).key

    copied = saved(tmp_path / "another name.tif", smooth(600, 1000))
    other = saved(tmp_path / "b.png", speckled())
    assert key() == key(path=copied)
    assert len({key(), key(name="hay 2"), key(ppi=201), key(path=other)}) == 4
    assert len(key()) == 16


def test_what_the_file_claims_is_told_and_not_used(tmp_path: Path) -> None:
    scan = saved(tmp_path / "scan.png", smooth(), dpi=(300, 300))
    swatch = measured(scan, reference=TypedPpi(150))
    assert "claims 300" in swatch.scale_note
    assert swatch.ppi == 150


def test_a_dense_scan_is_averaged_down_exactly(tmp_path: Path) -> None:
    scan = saved(tmp_path / "scan.png", speckled(300, 500))
    swatch = measured(scan, reference=TypedPpi(720))
    assert swatch.ppi == 360
    assert swatch.tile_srgb8.shape == (150, 250, 3)
    assert swatch.width_in == pytest.approx(500 / 720)


def test_a_card_gives_scale_and_the_cloth_beside_it(photo: Path) -> None:
    swatch = measured(photo, reference=CardCorners(CARD))
    # 85.60 mm on 337 pixels and 53.98 mm on 212.5: just under 100 pixels per inch.
    assert swatch.ppi == 99
    assert "four corners of a card" in swatch.scale_note
    # Right of the card is the widest room: 363 pixels by the height of the photo.
    assert swatch.width_in == pytest.approx(3.5, abs=0.1)
    assert swatch.height_in == pytest.approx(6.0, abs=0.1)


def test_a_crop_counts_in_the_straightened_picture(photo: Path) -> None:
    view = straight_view(find_card_plane(CARD, width_px=1000, height_px=600))
    to_plane = np.array([[1 / view.ppi, 0, view.left_in], [0, 1 / view.ppi, view.top_in], [0, 0, 1]])
    straight = resample(
        smooth(600, 1000), view.plane.to_photo @ to_plane, width_px=view.width_px, height_px=view.height_px
    )
    swatch = measured(photo, reference=CardCorners(CARD), crop=Crop(40, 30, 240, 180))
    assert np.abs(swatch.tile_srgb8.astype(int) - straight[30:180, 40:240]).max() <= 1


def test_a_crop_over_the_card_is_refused_in_its_own_unit(photo: Path) -> None:
    with pytest.raises(CropError, match=r"over the card, .* inches in") as caught:
        measured(photo, reference=CardCorners(CARD), crop=Crop(3, 2, 5, 4, "in"))
    assert "card" in caught.value.mend
    with pytest.raises(CropError, match=r"over the card, .* pixels in"):
        measured(photo, reference=Card(CARD, exact=True), crop=Crop(300, 200, 500, 400))
    # Grazing it by less than an edge can be marked is no fault.
    edge = 637.0 * 0.99
    graze = measured(photo, reference=Card(CARD, exact=True), crop=Crop(edge - 2, 100, edge + 200, 400))
    assert graze.width_in == pytest.approx(2.04, abs=0.02)


def test_a_crop_over_the_paper_is_refused(tmp_path: Path) -> None:
    path = saved(tmp_path / "paper.png", smooth(1000, 1600))
    sheet = tuple((100 + x * 60, 100 + y * 60) for x, y in ((0, 0), (11.693, 0), (11.693, 8.268), (0, 8.268)))
    with pytest.raises(CropError, match="over the sheet of A4"):
        measured(path, reference=Paper("A4", sheet, exact=True), crop=Crop(3, 3, 6, 6, "in"))
    assert float(A4_PAPER.long_in) == pytest.approx(11.693, abs=0.001)


def test_a_card_that_hides_nearly_all_the_cloth(tmp_path: Path) -> None:
    path = saved(tmp_path / "close.png", smooth(400, 560))
    corners = ((60.0, 40.0), (500.0, 40.0), (500.0, 317.0), (60.0, 317.0))
    with pytest.raises(CardError, match="Less than an inch"):
        measured(path, reference=CardCorners(corners))


def test_faults_pass_through_with_their_mend(photo: Path, tmp_path: Path) -> None:
    def fault(path: Path = photo, **known: object) -> str:
        with pytest.raises((PhotoError, ScaleError, CropError, SwatchError)) as caught:
            measured(path, **known)
        return f"{type(caught.value).__name__} {caught.value.mend}"

    assert fault(tmp_path / "none.png").startswith("PhotoError")
    assert fault(reference=TypedPpi(3)).startswith("ScaleError")
    assert fault(crop=Crop(0, 0, 99, 99, "in")).startswith("CropError")
    assert fault(name=" ").startswith("SwatchError")
    assert fault(width_of_fabric_in=Fraction(0)).startswith("SwatchError")
