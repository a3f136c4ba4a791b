"""The photo sheet: printed at true size, found without clicks, flat or not, and what it gives."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from pypdf import PdfReader

from palettes.difference import ciede2000
from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.measured_scale import ScaleError
from swatches.sheet_find import SheetError, find_sheet
from swatches.sheet_layout import PAPERS_MM, TAG_MM, sheet_layout
from swatches.sheet_light import read_sheet_light
from swatches.sheet_pdf import SheetFileError, sheet_pdf, write_sheet
from swatches.sheet_view import view_sheet
from tests.swatches.pictures import speckled
from tests.swatches.shots import sheet_shot


@pytest.mark.parametrize("page", ["A4", "Letter"])
def test_layout_keeps_what_photographs_need(page: str) -> None:
    layout = sheet_layout(page)
    left, top, right, bottom = layout.window_mm
    assert right - left >= 150
    assert bottom - top >= 100
    assert len(layout.tags_mm) == 8
    assert 14 <= TAG_MM <= 20
    boxes = [(x, y, x + TAG_MM, y + TAG_MM) for _, x, y in layout.tags_mm]
    boxes += [box for box, _ in layout.greys_mm] + [layout.window_mm]
    for i, a in enumerate(boxes):
        assert a[0] >= 5
        assert a[1] >= 5
        assert a[2] <= layout.paper_mm[0] - 5
        assert a[3] <= layout.paper_mm[1] - 5
        for b in boxes[:i]:
            # A module of white, 2 mm, round each marker; between grey steps less will do.
            clear = 2.0 if max(a[2] - a[0], b[2] - b[0]) > 12 else 0.5
            assert (
                a[2] + clear <= b[0] or b[2] + clear <= a[0] or a[3] + clear <= b[1] or b[3] + clear <= a[1]
            )


def test_markers_tell_the_page() -> None:
    numbers = [tag for page in PAPERS_MM for tag, _, _ in sheet_layout(page).tags_mm]
    assert len(set(numbers)) == 16
    assert set(numbers).isdisjoint(tag for tag, _, _ in sheet_layout("A4", version=2).tags_mm)


# Source: ISO 216 and ANSI/ASME Y14.1; one inch is 72 points.
@pytest.mark.parametrize(("page", "points"), [("A4", (841.890, 595.276)), ("Letter", (792.0, 612.0))])
def test_pdf_is_true_size_and_asks_not_to_be_scaled(
    tmp_path: Path, page: str, points: tuple[float, float]
) -> None:
    path = write_sheet(tmp_path / "sheet.pdf", page=page)
    reader = PdfReader(path)
    assert len(reader.pages) == 1
    box = reader.pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(points, abs=0.01)
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    text = reader.pages[0].extract_text()
    assert "100 mm" in text
    assert "4 inches" in text
    assert sheet_pdf(page) == path.read_bytes()


@pytest.mark.parametrize("page", ["A4", "Letter"])
def test_printed_sheet_is_found_where_it_should_be(tmp_path: Path, page: str) -> None:
    if shutil.which("pdftoppm") is None:
        pytest.skip("no program that draws PDF files is on this machine")
    path = write_sheet(tmp_path / "sheet.pdf", page=page)
    subprocess.run(["pdftoppm", "-r", "150", "-png", "-singlefile", path, tmp_path / "drawn"], check=True)
    drawn = np.asarray(Image.open(tmp_path / "drawn.png").convert("RGB"))
    sheet = find_sheet(drawn)
    assert sheet.layout.page == page
    # Drawn pixels are a sixth of a millimetre, and their edges snap.
    assert sheet.rms_mm < 0.06
    # The bar of 4 inches, checked in pixels of the drawing: 600 at 150 per inch.
    left, y = sheet.layout.bar_4in
    row = drawn[round(y * 150 / 25.4), :, 0] < 128
    run = np.nonzero(row)[0]
    run = run[(run > left * 150 / 25.4 - 5) & (run < (left + 101.6) * 150 / 25.4 + 5)]
    assert run.max() - run.min() + 1 == pytest.approx(600, abs=3)


def test_sheet_that_cannot_be_written(tmp_path: Path) -> None:
    with pytest.raises(SheetFileError) as fault:
        write_sheet(tmp_path / "no" / "sheet.pdf", page="A4")
    assert fault.value.mend


def worst_mm(shot, sheet, stretch: float = 1.0) -> tuple[float, float]:
    """Scale error as a share, and the largest error of place in the window."""
    left, top, right, bottom = sheet.layout.window_mm
    x, y = np.meshgrid(np.linspace(left, right, 7), np.linspace(top, bottom, 5))
    points = np.stack([x.ravel(), y.ravel()], axis=1)
    seen = sheet.plane.to_plane(shot.to_photo(points * stretch + shot.ref["sheet_origin_mm"]) + 0.5)
    grown = np.linalg.lstsq(points - points.mean(0), seen - seen.mean(0), rcond=None)[0]
    return abs(float(np.sqrt(np.linalg.det(grown))) - 1), float(np.hypot(*(seen - points).T).max())


def test_found_flat_to_a_few_hundredths() -> None:
    shot, _ = sheet_shot()
    sheet = find_sheet(shot.rgb)
    scale, place_mm = worst_mm(shot, sheet)
    assert len(sheet.corners_px) == 8
    assert scale < 0.0005
    assert scale < sheet.uncertainty
    assert place_mm < 0.1
    assert not sheet.curled
    assert sheet.note == ""


def test_found_turned_shaded_and_partly_covered() -> None:
    more = (("roll_deg", 125.0), ("shadow", 0.4), ("cover_mm", ((0, 0, 32, 20), (250, 0, 40, 30))))
    shot, _ = sheet_shot("plaid", "Letter", 2, more)
    sheet = find_sheet(shot.rgb)
    assert sheet.layout.page == "Letter"
    assert len(sheet.corners_px) == 6
    assert "2 of its 8 markers" in sheet.note
    assert worst_mm(shot, sheet)[1] < 0.1
    light = read_sheet_light(shot.rgb, sheet)
    assert light.shadow is not None


def test_curl_is_said() -> None:
    shot, _ = sheet_shot("ditsy", "A4", 3, (("curl_mm", 2.0),))
    sheet = find_sheet(shot.rgb)
    assert sheet.curled
    assert "not lying flat" in sheet.note
    assert worst_mm(shot, sheet)[0] < sheet.uncertainty


def test_no_sheet_is_said() -> None:
    with pytest.raises(SheetError) as fault:
        find_sheet(speckled(300, 400))
    assert fault.value.mend


def test_small_print_is_mended_by_the_measured_bar() -> None:
    shot, _ = sheet_shot("floral_half", "A4", 1, (("paper_scale_err", -0.03),))
    as_printed, told = view_sheet(shot.rgb), view_sheet(shot.rgb, bar_mm=97)
    own = shot.window_mm[2] - shot.window_mm[0]
    left, _, right, _ = told.sheet.layout.window_mm
    assert own == pytest.approx((right - left) * 0.97)
    # Widths in inches of the same cloth: 3 % apart, each to within a pixel.
    assert told.cloth_lin.shape[1] / told.ppi == pytest.approx(
        0.97 * as_printed.cloth_lin.shape[1] / as_printed.ppi, abs=0.01
    )
    with pytest.raises(ScaleError):
        view_sheet(shot.rgb, bar_mm=60)


def test_plain_cloth_is_even_and_true_under_a_gradient() -> None:
    shot, _ = sheet_shot("solid", "A4", 6, (("gradient", 0.4), ("vignette", 0.3)))
    view = view_sheet(shot.rgb)
    side = round(view.ppi / 8)
    rows, columns = (n // side * side for n in view.cloth_lin.shape[:2])
    squares = (
        view.cloth_lin[:rows, :columns].reshape(rows // side, side, columns // side, side, 3).mean((1, 3))
    )
    lab = lab_from_lin(np.clip(squares, 0, 1))
    assert lab[..., 0].std() < 0.5
    from benchmarks.sim.fabrics import render

    truth = lab_from_lin(srgb8_to_lin(render("solid", 1, 1, 220, 6)[0]).mean((0, 1)))
    assert float(ciede2000(lab.mean((0, 1)), truth)) < 3
    assert view.light.uneven > 0.2
    assert view.light.misfit < 0.02
