"""PDF and SVG as other programs see them: rasterised and measured, one inch is one inch."""

from __future__ import annotations

import re
import shutil
import subprocess
from xml.etree import ElementTree

import numpy as np
import pytest
from PIL import Image

from blocks.motion import shift
from preview.audition import make_audition
from preview.frame import prepare_frame
from preview.pdf import OVERLAP_IN, PAPERS_IN, save_pdf
from preview.progress import Cancelled, Watch
from preview.render import paint
from preview.svg import save_svg
from preview.writing import OutputError
from tests.preview.scenes import draft, grid_cloth, rectangle

POPPLER = shutil.which("pdftoppm")
CAIRO = shutil.which("pdftocairo")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")


def gridded(width=6, height=6):
    """One patch of a cloth with dark lines on every whole inch."""
    patch, piece = rectangle(1, "all", 0, 0, width, height)
    block = draft([patch], [piece], width=width, height=height, name="grid & (check)")
    place = shift(-0.25, -0.25)
    return block, make_audition(block, roles={"all": grid_cloth(ppi=100, line_px=4)}, places={0: place})


def lines_in(profile, *, dpi):
    """Centres, in inches, of the dark lines of a profile across the grid."""
    light = np.median(profile)
    dark = np.where(profile < light - 40, light - profile, 0.0)
    starts = np.flatnonzero((dark > 0) & (np.append(0, dark[:-1]) == 0))
    ends = np.flatnonzero((dark > 0) & (np.append(dark[1:], 0) == 0))
    at = np.arange(len(profile)) + 0.5
    return (
        np.array(
            [
                np.sum(dark[a : b + 1] * at[a : b + 1]) / np.sum(dark[a : b + 1])
                for a, b in zip(starts, ends, strict=True)
            ]
        )
        / dpi
    )


def bar_in(ink):
    """Length, in inches at 300 dpi, of the ink from its first pixel to the first gap: the label comes after."""
    gaps = np.flatnonzero(np.diff(ink) > 1)
    return (ink[gaps[0] if len(gaps) else -1] - ink[0]) / 300


def pages_of(path, folder, *, dpi, tool=POPPLER):
    command = [tool, "-png", "-r", str(dpi), "-gray", str(path), str(folder / "page")]
    subprocess.run(command, check=True, timeout=60)
    pages = []
    for page in sorted(folder.glob("page*.png")):
        with Image.open(page) as picture:
            pages.append(np.asarray(picture.convert("L")).astype(float))
    return pages


@pytest.mark.parametrize("tool", [POPPLER, CAIRO], ids=["pdftoppm", "pdftocairo"])
def test_an_inch_on_paper_is_an_inch_and_the_bars_say_so(tmp_path, tool):
    if tool is None:
        pytest.skip("this painter of poppler's is not installed")
    block, audition = gridded()
    path = save_pdf(tmp_path / "a.pdf", block, audition, ppi=150, lines=False)
    (page,) = pages_of(path, tmp_path, dpi=300, tool=tool)
    assert page.shape == (3300, 2550)
    # The block begins at 1.15 in from the left and half an inch from the top.
    across = lines_in(page[150 + 135 : 150 + 165, 350 : 345 + 1795].mean(axis=0), dpi=300)
    down = lines_in(page[165 : 150 + 1790, 345 + 135 : 345 + 165].mean(axis=1), dpi=300)
    for found, start in ((across, 350 / 300 - 1.15), (down, 165 / 300 - 0.5)):
        inner = found[(found + start > 0.5) & (found + start < 5.5)] + start
        # Poppler's painter makes a picture one pixel of the page larger: 0.0033 in over the block.
        np.testing.assert_allclose(inner, np.arange(1, 6), atol=0.005)
    # Bars, 4 in and 10 cm: their ends are ticks, as long as wide lines of ink.
    for inches, off in ((4.0, 0.12), (10 / 2.54, 0.36)):
        row = page[round((10.5 - off) * 300) - 2 : round((10.5 - off) * 300) + 3].min(axis=0)
        ink = np.flatnonzero(row[300:1650] < 128) + 300
        assert bar_in(ink) == pytest.approx(inches, abs=0.02)
        column = page[:, round((0.5 + off) * 300) - 2 : round((0.5 + off) * 300) + 3].min(axis=1)
        ink = np.flatnonzero(column[1500:3150] < 128)
        assert bar_in(-ink[::-1]) == pytest.approx(inches, abs=0.02)


@pytest.mark.skipif(POPPLER is None, reason="poppler's pdftoppm is not installed")
def test_sheets_overlap_and_show_the_whole_block(tmp_path):
    block, audition = gridded(9, 12)
    pages = pages_of(save_pdf(tmp_path / "a.pdf", block, audition, ppi=75, lines=False), tmp_path, dpi=75)
    assert len(pages) == 4
    usable = int((8.5 - 1 - 0.65) * 75), int((11 - 1 - 0.95) * 75)
    whole = paint(prepare_frame(block, ppi=75), audition)[..., 1].astype(float)
    left, top = round(1.15 * 75), round(0.5 * 75)
    for number, page in enumerate(pages):
        x, y = (
            (number % 2) * (usable[0] - int(OVERLAP_IN * 75)),
            (number // 2) * (usable[1] - int(OVERLAP_IN * 75)),
        )
        part = whole[y : y + usable[1], x : x + usable[0]]
        shown = page[top : top + part.shape[0], left : left + part.shape[1]]
        # Marks and a shift of part of a pixel aside, it is that part of the picture.
        assert np.median(np.abs(shown - part)) < 6
        assert np.mean(np.abs(shown - part) > 40) < 0.15


def test_what_the_pages_tell_a_printer(tmp_path):
    pypdf = pytest.importorskip("pypdf")
    block, audition = gridded()
    for paper, size in PAPERS_IN.items():
        reader = pypdf.PdfReader(save_pdf(tmp_path / f"{paper}.pdf", block, audition, paper=paper, ppi=72))
        assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
        box = reader.pages[0].mediabox
        assert (float(box.width), float(box.height)) == pytest.approx((size[0] * 72, size[1] * 72), abs=1e-3)
        cloth = reader.pages[0]["/Resources"]["/XObject"]["/Cloth"]
        assert (cloth["/Width"], cloth["/Height"]) == (432, 432)
        assert cloth["/ColorSpace"][0] == "/ICCBased"
        assert "grid & (check), true size" in reader.pages[0].extract_text()
        assert reader.metadata.title == "grid & (check), true size"
    whole = pypdf.PdfReader(save_pdf(tmp_path / "w.pdf", *gridded(20, 14), paper="whole", ppi=72))
    assert len(whole.pages) == 1
    assert float(whole.pages[0].mediabox.width) == pytest.approx((20 + 1.65) * 72)


def test_stopping_and_absurd_paper_leave_nothing(tmp_path):
    block, audition = gridded()
    with pytest.raises(Cancelled):
        save_pdf(tmp_path / "a.pdf", block, audition, watch=Watch(stop=lambda: True))
    with pytest.raises(OutputError, match="sheets"):
        save_pdf(tmp_path / "a.pdf", *gridded(400, 400))
    with pytest.raises(OutputError, match="larger than a PDF page"):
        save_pdf(tmp_path / "a.pdf", *gridded(400, 400), paper="whole", ppi=10)
    with pytest.raises(OutputError, match="too few"):
        save_pdf(tmp_path / "a.pdf", block, audition, ppi=0.05)
    with pytest.raises(OutputError, match="not named"):
        save_pdf(tmp_path / "a.png", block, audition)
    assert list(tmp_path.iterdir()) == []


def test_the_svg_has_true_units_and_well_formed_lines(tmp_path):
    block, audition = gridded()
    frame = prepare_frame(block, ppi=50.3)
    path = save_svg(tmp_path / "a.svg", frame, paint(frame, audition), numbers=True, lossless=True)
    root = ElementTree.parse(path).getroot()
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("6in", "6in", "0 0 6 6")
    names = [re.sub(r"\{.*\}", "", child.tag) for child in root.iter()]
    assert {"image", "polygon", "text", "title"} <= set(names)
    image = next(child for child in root.iter() if child.tag.endswith("image"))
    assert float(image.get("width")) == pytest.approx(frame.width_px / 50.3, abs=1e-5)
    with pytest.raises(ValueError, match="size"):
        save_svg(path, frame, np.zeros((3, 3, 3), np.uint8))
    with pytest.raises(OutputError):
        save_svg(tmp_path / "a.png", frame, paint(frame, audition))


@pytest.mark.skipif(CHROMIUM is None, reason="Chromium is not installed")
def test_an_inch_of_svg_is_96_pixels_in_a_browser(tmp_path):
    block, audition = gridded()
    frame = prepare_frame(block, ppi=192)
    save_svg(tmp_path / "a.svg", frame, paint(frame, audition), lossless=True)
    shot = tmp_path / "shot.png"
    run = subprocess.run(
        [
            CHROMIUM,
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--hide-scrollbars",
            "--force-device-scale-factor=2",
            f"--user-data-dir={tmp_path / 'profile'}",
            "--window-size=700,700",
            f"--screenshot={shot}",
            (tmp_path / "a.svg").as_uri(),
        ],
        capture_output=True,
        timeout=90,
    )
    if not shot.exists():
        pytest.skip(f"Chromium made no picture: {run.stderr[-200:]!r}")
    page = np.asarray(Image.open(shot).convert("L")).astype(float)
    for profile in (page[80:110, 10:1145].mean(axis=0), page[10:1145, 80:110].mean(axis=1)):
        found = lines_in(profile, dpi=192) + 10 / 192
        inner = found[(found > 0.5) & (found < 5.5)]
        np.testing.assert_allclose(inner, np.arange(1, 6), atol=0.003)
