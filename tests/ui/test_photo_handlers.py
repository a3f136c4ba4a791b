"""A photograph on the page: laid down with markers, made into a swatch, or told what to mend."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from PIL import Image

from benchmarks.sim.fabrics import render
from benchmarks.sim.paper_shot import paper_shot
from swatches.by_eye import ByEye
from swatches.measure import measure_photo
from swatches.references import Card
from tests.swatches.charts import with_chart
from tests.swatches.shots import other_shot, sheet_shot
from ui.photo_form import PhotoForm
from ui.photo_handlers import Kept, keep_cloth, lay_photo, try_cloth
from ui.photo_tray import PhotoTray
from ui.shelf import Shelf
from ui.tried_view import draw_tried, shown_in, tried_png


@pytest.fixture
def photo(tmp_path: Path) -> str:
    """Checks of half an inch in blue and white, at 50 pixels an inch."""
    y, x = np.mgrid[:400, :600]
    pixels = np.where((((x // 25) + (y // 25)) % 2)[..., None] == 0, (40, 90, 160), (235, 230, 220))
    file = tmp_path / "photo.png"
    Image.fromarray(pixels.astype(np.uint8)).save(file)
    return str(file)


def keep(shelf: Shelf, tray: PhotoTray, held: object, tried: object = None, **changes: object) -> Kept:
    form: dict[str, Any] = {"how": "points", "name": "river <b>", "apart": "10 in", "repeat": "as it is"}
    return keep_cloth(shelf, tray, held, tried, PhotoForm(**{**form, **changes}))


def lay(tray: PhotoTray, photo: str) -> dict[str, Any]:
    laid = lay_photo(tray, photo).photo
    assert laid is not None
    assert laid["token"]
    return laid


def test_two_points_make_a_swatch(shelf: Shelf, photo: str) -> None:
    tray = PhotoTray()
    laid = lay(tray, photo)
    assert (laid["width_px"], laid["height_px"]) == (600, 400)
    held = {**laid, "points": [[50.0, 200.0], [550.0, 200.0]]}
    kept = keep(shelf, tray, held, width="110 cm", way="one-way", kind="large print")
    assert kept.photo is not None
    assert "river &lt;b&gt;" in kept.said
    assert "12.00 x 8.00 in of cloth" in kept.said
    assert "Few pixels" in kept.said, "the fault and its mend are told"
    swatch = shelf.find("river <b>")
    assert swatch.key == kept.photo["kept"]
    assert swatch.ppi == pytest.approx(50)
    assert swatch.one_way
    assert swatch.about is not None
    assert swatch.about.word == "large print"
    assert float(swatch.width_of_fabric_in) == pytest.approx(43.307, abs=0.001)


def test_how_much_cloth_is_seen(shelf: Shelf, photo: str) -> None:
    tray = PhotoTray()
    laid = lay(tray, photo)
    assert "how much cloth is seen" in laid["found"]
    whole = keep(shelf, tray, laid, how="across", across="12", name="whole")
    assert "Take it as ±5%" in whole.said
    assert shelf.find("whole").ppi == pytest.approx(50)
    part = {**laid, "crop": [[300.0, 100.0], [100.0, 300.0]]}
    keep(shelf, tray, part, how="across", across="4 in", name="part")
    assert shelf.find("part").ppi == pytest.approx(50)
    assert "is not said" in keep(shelf, tray, laid, how="across", name="none").said
    assert "is not a length" in keep(shelf, tray, laid, how="across", across="lots", name="none").said


def test_a_file_that_is_no_picture_is_called_by_its_name(tmp_path: Path) -> None:
    file = tmp_path / "letter.jpg"
    file.write_text("Dear sister")
    said = lay_photo(PhotoTray(), str(file)).said
    assert "letter.jpg: is not a picture" in said
    assert str(tmp_path) not in said


def test_a_repeat_to_be_marked_is_marked_before_the_shelf(shelf: Shelf, photo: str) -> None:
    tray = PhotoTray()
    laid = lay(tray, photo)
    form: dict[str, Any] = {"how": "across", "across": "12", "repeat": "mine", "name": "checks"}
    assert "The repeat is not marked yet." in keep(shelf, tray, laid, **form).said
    tried = try_cloth(tray, laid, None, PhotoForm(**form)).tried
    assert "The repeat is not marked yet." in keep(shelf, tray, laid, tried, **form).said
    assert shelf.stamps() == {}
    assert tried is not None
    moved = {**tried, "marks": [[1.0, 1.0], [2.0, 1.0], [1.0, 2.0]], "moved": True}
    kept = keep(shelf, tray, laid, moved, **form)
    assert kept.tried is not None
    assert not kept.tried["marking"]
    assert kept.tried["token"] != tried["token"], "what is shown is what is on the shelf"
    assert shelf.find("checks").repeats


def test_cloth_without_a_name_stays_off_the_shelf(shelf: Shelf, photo: str) -> None:
    tray = PhotoTray()
    kept = keep(shelf, tray, lay(tray, photo), how="across", across="12", name="  ")
    assert kept.photo is None
    assert "The cloth has no name yet." in kept.said
    assert shelf.stamps() == {}


def test_markers_of_a_repeat_begin_where_a_phone_shows_them(photo: str) -> None:
    tray = PhotoTray()
    tried = try_cloth(tray, lay(tray, photo), None, PhotoForm(how="across", across="12", repeat="mine")).tried
    assert tried is not None
    assert tried["marking"]
    assert tried["width_in"] == pytest.approx(12, abs=0.1)
    assert max(max(mark) for mark in tried["marks"]) < 3


def test_a_card_and_a_crop(shelf: Shelf, photo: str) -> None:
    tray = PhotoTray()
    laid = lay(tray, photo)
    corners = [[20.0, 20.0], [188.5, 20.0], [188.5, 126.25], [20.0, 126.25]]
    said = keep(shelf, tray, {**laid, "card": corners}, how="card", name="by card", snap=False).said
    assert "four corners of a card" in said
    assert shelf.find("by card").ppi == pytest.approx(50, rel=0.02)
    part = {**laid, "card": corners, "crop": [[450.0, 350.0], [250.0, 150.0]]}
    keep(shelf, tray, part, how="card", name="beside", snap=False)
    beside = shelf.find("beside")
    assert (beside.width_in, beside.height_in) == pytest.approx((4, 4), rel=0.02)
    over = {**laid, "card": corners, "crop": [[100.0, 50.0], [400.0, 300.0]]}
    assert (
        "marked piece of cloth reaches over the card"
        in keep(shelf, tray, over, how="card", name="over", snap=False).said
    )
    cropped = {**laid, "crop": [[600.0, 400.0], [300.0, 100.0]]}
    keep(shelf, tray, cropped, how="ppi", ppi="50", name="a part")
    assert shelf.find("a part").tile_srgb8.shape == (300, 300, 3)


def test_a_found_card_is_as_sure_as_by_the_command(tmp_path: Path) -> None:
    file = tmp_path / "card.jpg"
    file.write_bytes(other_shot("card", "batik", 14)[0].jpeg)
    tray = PhotoTray()
    laid = lay_photo(tray, str(file)).photo
    assert laid is not None
    assert laid["how"] == "card"
    tried = try_cloth(tray, laid, {"token": ""}, PhotoForm(how="card", name="river"))
    assert tried.tried is not None
    swatch = tray.find_tried(tried.tried["token"]).swatch
    alone = measure_photo(file, name="river", reference=Card()).swatch
    assert "found by itself" in swatch.scale_note
    assert (swatch.ppi, swatch.scale_off) == (alone.ppi, alone.scale_off)


@pytest.mark.parametrize(("number", "page"), [(7, "A4"), (14, "Letter")])
def test_paper_is_found_as_soon_as_the_photograph_lies(tmp_path: Path, number: int, page: str) -> None:
    file = tmp_path / "paper.jpg"
    file.write_bytes(paper_shot(number)[0].jpeg)
    tray = PhotoTray()
    laid = lay_photo(tray, str(file)).photo
    assert laid is not None
    assert laid["how"] == page
    assert f"A sheet of {page} paper was found" in laid["found"]
    tried = try_cloth(tray, laid, {"token": ""}, PhotoForm(how=page, name="river"))
    assert tried.photo is not None
    # The markers lay on its edges from the first, so nothing moves.
    assert np.abs(np.array(tried.photo["card"]) - np.array(laid["card"])).max() < 0.5
    assert "found by itself" in tried.said


def test_the_sheet_is_found_and_the_colour_corrected_by_eye(shelf: Shelf, tmp_path: Path) -> None:
    file = tmp_path / "sheet.jpg"
    file.write_bytes(sheet_shot()[0].jpeg)
    tray = PhotoTray()
    found = lay_photo(tray, str(file))
    assert found.photo is not None
    assert found.photo["how"] == "sheet"
    assert len(found.photo["sheet"]) == 8
    form = PhotoForm(how="sheet", name="bee garden", bar="97 mm")
    tried = try_cloth(tray, found.photo, {"token": ""}, form)
    assert tried.tried is not None
    assert "colour: grey reference" in tried.said
    assert len(tried.tried["steps"]) == 2, "the lattice is there to be drawn"
    token = tried.tried["token"]
    swatch = tray.find_tried(token).swatch
    assert shown_in(swatch) == (5, 4)
    plain, warm = draw_tried(swatch, ByEye()), draw_tried(swatch, ByEye(warm=100))
    assert plain.shape == (576, 720, 3)
    assert (warm[..., 0].mean(), warm[..., 2].mean()) > (plain[..., 0].mean(), 0)
    assert warm[..., 2].mean() < plain[..., 2].mean()
    packed = cv2.imdecode(np.frombuffer(tried_png(swatch, ByEye()), np.uint8), cv2.IMREAD_COLOR)
    assert np.array_equal(packed[..., ::-1], plain)
    eye = {**tried.tried, "eye": {"light": 0, "warm": 30, "pink": 0, "strong": 0}}
    assert keep_cloth(shelf, tray, found.photo, eye, form).photo is not None
    stored = shelf.stored("bee garden")
    assert stored.by_eye == ByEye(warm=30)
    assert np.array_equal(stored.tile_srgb8, swatch.tile_srgb8), "the correction is not baked in"
    too_far = {**tried.tried, "eye": {"warm": 400}}
    assert "outside -100 to 100" in keep_cloth(shelf, tray, found.photo, too_far, form).said


def test_a_chart_is_found_and_may_be_moved(shelf: Shelf, tmp_path: Path) -> None:
    cloth, _ = render("gingham", 6.0, 4.5, 120, 2)
    file = tmp_path / "gingham.png"
    Image.fromarray(with_chart(cloth, ppi=120, at_in=(0.5, 0.5), step_in=0.3)).save(file)
    tray = PhotoTray()
    laid = lay(tray, str(file))
    assert laid["colour"] == "after 2014"
    assert "24-patch chart was found too" in laid["found"]
    assert laid["chart"] == pytest.approx(
        [pytest.approx(corner, abs=3) for corner in ([62, 62], [274, 62], [274, 202], [62, 202])]
    )
    known = {"how": "ppi", "ppi": "120", "colour": "before 2014"}
    said = keep(shelf, tray, laid, name="found", **known).said
    assert "colour: 24-patch chart" in said
    assert "made before November 2014" in said
    assert shelf.find("found").colour_from == "chart"
    turned = {**laid, "chart": laid["chart"][2:] + laid["chart"][:2]}
    assert "colour: 24-patch chart" in keep(shelf, tray, turned, name="turned", **known).said
    aside = {**laid, "chart": [[x + 150, y] for x, y in laid["chart"]]}
    assert "do not lie as a 24-patch chart" in keep(shelf, tray, aside, name="aside", **known).said


def test_the_repeat_is_marked_by_hand(photo: str) -> None:
    tray = PhotoTray()
    laid = lay(tray, photo)
    form = PhotoForm(how="ppi", ppi="50", repeat="mine")
    first = try_cloth(tray, laid, {"token": ""}, form)
    assert first.tried is not None
    assert first.tried["marking"]
    assert (first.tried["width_in"], first.tried["height_in"]) == pytest.approx((12, 8), abs=0.3)
    marked = {**first.tried, "moved": True, "marks": [[1, 1], [2, 1], [1, 2]]}
    second = try_cloth(tray, laid, marked, form)
    assert second.tried is not None
    assert not second.tried["marking"]
    assert "as marked" in second.said
    steps = np.abs(np.array(second.tried["steps"]))
    assert np.abs(np.linalg.det(steps)) == pytest.approx(1, rel=0.05)
    in_line = {**first.tried, "moved": True, "marks": [[1, 1], [2, 1], [3, 1]]}
    assert "one line" in try_cloth(tray, laid, in_line, form).said
    assert "did not come through" in try_cloth(tray, laid, {**marked, "marks": "ab"}, form).said


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
        ({"how": "sheet"}, "No photo sheet is seen"),
        ({"how": "sheet", "bar": "9 mm"}, "100 mm bar"),
        ({"how": "ticks"}, "The markers have not been moved."),
        ({"how": "A4"}, "No sheet of A4 was found"),
        ({"how": "ppi", "ppi": "100", "colour": "grey"}, "The markers have not been moved."),
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
    laid = lay(tray, photo)
    assert "The markers did not come through." in keep(shelf, tray, {**laid, "points": points}).said


def test_no_photograph_and_no_picture(shelf: Shelf, tmp_path: Path) -> None:
    tray = PhotoTray()
    assert lay_photo(tray, None) == Kept({"token": ""}, {"token": ""}, "")
    text = tmp_path / "photo.jpg"
    text.write_text("not a picture")
    assert "alert" in lay_photo(tray, str(text)).said
    assert "no longer at hand" in keep(shelf, tray, {"token": "x"}).said
    assert "No photograph is chosen yet." in keep(shelf, tray, {"token": ""}).said


def test_the_tray_holds_a_few(photo: str) -> None:
    tray = PhotoTray()
    first = tray.lay(Path(photo))
    others = [tray.lay(Path(photo)) for _ in range(4)]
    assert tray.find(others[0].token).width_px == 600
    with pytest.raises(ValueError, match="no longer at hand"):
        tray.find(first.token)
