"""A photograph on the page: laid down with markers, made into a swatch, or told what to mend."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image

from ui.photo_handlers import Kept, keep_cloth, lay_photo
from ui.photo_tray import PhotoTray
from ui.shelf import Shelf


@pytest.fixture
def photo(tmp_path: Path) -> str:
    pixels = np.full((400, 600, 3), (40, 90, 160), np.uint8)
    file = tmp_path / "photo.png"
    Image.fromarray(pixels).save(file)
    return str(file)


def keep(shelf: Shelf, tray: PhotoTray, held: object, **changes: object) -> Kept:
    form: dict[str, Any] = {
        "how": "points", "name": "river <b>", "apart": "5 in", "ppi": "", "width": "", "one_way": False,
    }  # fmt: skip
    return keep_cloth(shelf, tray, held, **{**form, **changes})


def test_two_points_make_a_swatch(shelf: Shelf, photo: str) -> None:
    tray = PhotoTray()
    laid = lay_photo(tray, photo).photo
    assert laid is not None
    assert (laid["width_px"], laid["height_px"]) == (600, 400)
    kept = keep(
        shelf, tray, {**laid, "points": [[50.0, 200.0], [550.0, 200.0]]}, width="110 cm", one_way=True
    )
    assert kept.photo is not None
    assert "river &lt;b&gt;" in kept.said
    assert "6.0 x 4.0 in of cloth" in kept.said
    swatch = shelf.find("river <b>")
    assert swatch.key == kept.photo["kept"]
    assert swatch.ppi == 100
    assert swatch.one_way
    assert float(swatch.width_of_fabric_in) == pytest.approx(43.307, abs=0.001)


def test_a_card_and_a_crop(shelf: Shelf, photo: str) -> None:
    tray = PhotoTray()
    laid = lay_photo(tray, photo).photo
    assert laid is not None
    corners = [[20.0, 20.0], [188.5, 20.0], [188.5, 126.25], [20.0, 126.25]]
    said = keep(shelf, tray, {**laid, "card": corners}, how="card", name="by card").said
    assert "four corners of a card" in said
    assert shelf.find("by card").ppi == pytest.approx(50, rel=0.02)
    cropped = {**laid, "crop": [[600.0, 400.0], [300.0, 100.0]]}
    keep(shelf, tray, cropped, how="ppi", ppi="100", name="a part")
    assert shelf.find("a part").tile_srgb8.shape == (300, 300, 3)


@pytest.mark.parametrize(
    ("changes", "what"),
    [
        ({}, "The markers have not been moved."),
        ({"how": "card"}, "The markers have not been moved."),
        ({"how": "ppi"}, "The scale of the photograph is not known."),
        ({"how": None}, "The scale of the photograph is not known."),
        ({"how": "ppi", "ppi": "lots"}, "is not a number"),
        ({"how": "ppi", "ppi": "100", "name": " "}, "name"),
        ({"how": "ppi", "ppi": "100", "width": "0"}, "out of bounds"),
    ],
)
def test_what_must_be_mended_first(shelf: Shelf, photo: str, changes: dict[str, object], what: str) -> None:
    tray = PhotoTray()
    laid = lay_photo(tray, photo).photo
    kept = keep(shelf, tray, laid, **changes)
    assert what in kept.said
    assert kept.photo is None
    assert shelf.stash_file is not None
    assert not shelf.stash_file.exists()


@pytest.mark.parametrize(
    "points", [None, [], [[1, 2]], [["a", 2], [3, 4]], [[1, 2], [float("nan"), 4]], "ab"]
)
def test_markers_from_elsewhere_are_refused(shelf: Shelf, photo: str, points: object) -> None:
    tray = PhotoTray()
    laid = lay_photo(tray, photo).photo
    assert laid is not None
    assert "The markers did not come through." in keep(shelf, tray, {**laid, "points": points}).said


def test_no_photograph_and_no_picture(shelf: Shelf, tmp_path: Path) -> None:
    tray = PhotoTray()
    assert lay_photo(tray, None) == Kept({"token": ""}, "")
    text = tmp_path / "photo.jpg"
    text.write_text("not a picture")
    assert "alert" in lay_photo(tray, str(text)).said
    assert "no longer at hand" in keep(shelf, tray, {"token": "x"}).said


def test_the_tray_holds_a_few(photo: str) -> None:
    tray = PhotoTray()
    first = tray.lay(Path(photo))
    others = [tray.lay(Path(photo)) for _ in range(4)]
    assert tray.find(others[0].token).width_px == 600
    with pytest.raises(ValueError, match="no longer at hand"):
        tray.find(first.token)
