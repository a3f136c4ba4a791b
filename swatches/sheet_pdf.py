"""The photo sheet as a PDF at true size, to be printed once and cut out."""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import cv2

from palettes.encodings import encode
from swatches.sheet_layout import GREY_STEPS, PAPER_REFLECTANCE, TAG_MM, Page, SheetLayout, sheet_layout

__all__ = ["SheetFileError", "sheet_pdf", "write_sheet"]

_POINTS_PER_MM = 72 / 25.4
_MODULES = 8
_ADVICE = (
    "1.  Print this page at 100 % (“actual size”), on plain white paper, not glossy.",
    "2.  Measure both bars with a ruler. If they are not 100 mm and 4 inches long,",
    "     print again at 100 %, or type the length you measure when you add a photograph.",
    "3.  Cut out this middle along the grey line. What is left is a frame.",
    "4.  Press the cloth and lay it flat on a table, its lengthwise grain up and down.",
    "5.  Lay the frame on it, flat. Weigh its corners down if they curl,",
    "     without covering the black squares or the grey steps.",
    "6.  Photograph it by a window, in the shade, lamps and flash off.",
    "     Hold the camera straight above, so that the whole sheet fills the picture.",
)
_CAUTION = (
    "Cut with scissors, or with a craft knife and a metal ruler on a cutting mat: follow its maker's safety "
    "advice, cut away from yourself and keep blades from children."
)


class SheetFileError(ValueError):
    """The sheet's file could not be written. Carries how to mend it."""

    def __init__(self, path: Path, why: str) -> None:
        self.path = path
        self.mend = "Choose a folder you may write to, and close the file if it is open."
        super().__init__(f"{path}: {why}.")


def write_sheet(path: str | Path, *, page: Page) -> Path:
    """The file, once the sheet for that paper has been written to it.

    Raises: SheetFileError.
    """
    path = Path(path)
    try:
        path.write_bytes(sheet_pdf(page))
    except OSError as fault:
        raise SheetFileError(path, fault.strerror or "it cannot be written") from fault
    return path


def sheet_pdf(page: Page) -> bytes:
    """The sheet as the bytes of a one-page PDF; the same bytes every time."""
    # A tenth of a second that only this needs.
    from reportlab.pdfgen.canvas import Canvas

    layout = sheet_layout(page)
    wide, high = layout.paper_mm
    coded = io.BytesIO()
    canvas = Canvas(
        coded, pagesize=(wide * _POINTS_PER_MM, high * _POINTS_PER_MM), invariant=1, pdfVersion=(1, 7)
    )
    canvas.setTitle(f"Photo sheet, {page}")
    canvas.setAuthor("Seamlight")
    # Asks viewers not to shrink to fit; ISO 32000-1, 12.2, table 150.
    canvas.setViewerPreference("PrintScaling", "None")
    canvas.scale(_POINTS_PER_MM, _POINTS_PER_MM)
    for number, left, top in layout.tags_mm:
        _draw_tag(canvas, number, left=left, top=top, high=high)
    for (left, top, right, bottom), grey in layout.greys_mm:
        canvas.setFillGray(_printed_grey(grey))
        canvas.rect(left, high - bottom, right - left, bottom - top, stroke=0, fill=1)
    _draw_bars(canvas, layout)
    _draw_window(canvas, layout)
    canvas.showPage()
    canvas.save()
    return coded.getvalue()


def _printed_grey(reflectance: float) -> float:
    """The grey level to ask for, 1 being bare paper: printers aim at sRGB greys relative to the paper."""
    return round(float(encode(reflectance / PAPER_REFLECTANCE)), 4)


def _draw_tag(canvas: Any, number: int, *, left: float, top: float, high: float) -> None:
    """A marker as black rectangles, one for every run of modules in a row: sharp at any resolution."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    bits = cv2.aruco.generateImageMarker(dictionary, number, _MODULES, borderBits=1)
    side = TAG_MM / _MODULES
    canvas.setFillGray(0)
    path = canvas.beginPath()
    for row in range(_MODULES):
        column = 0
        while column < _MODULES:
            end = column
            while end < _MODULES and not bits[row, end]:
                end += 1
            if end > column:
                path.rect(left + column * side, high - top - (row + 1) * side, (end - column) * side, side)
            column = end + 1
    canvas.drawPath(path, stroke=0, fill=1)


def _draw_bars(canvas: Any, layout: SheetLayout) -> None:
    high = layout.paper_mm[1]
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.25)
    bars = (
        (layout.bar_100mm, 100.0, 11, "100 mm: measure this bar"),
        (layout.bar_4in, 101.6, 5, "4 inches: measure this bar"),
    )
    for (left, y), length, marks, words in bars:
        canvas.line(left, high - y, left + length, high - y)
        for i in range(marks):
            x = left + length * i / (marks - 1)
            canvas.line(x, high - y - 1, x, high - y + 1)
        canvas.setFont("Helvetica", 2.6)
        canvas.setFillGray(0)
        canvas.drawString(left + length + 3, high - y - 0.9, words)
    (left, y), _, _, _ = bars[1]
    canvas.drawRightString(left - 3, high - y - 0.9, f"Photo sheet {layout.version}, {layout.page}")


def _draw_window(canvas: Any, layout: SheetLayout) -> None:
    left, top, right, bottom = layout.window_mm
    high = layout.paper_mm[1]
    canvas.setStrokeGray(0.6)
    canvas.setLineWidth(0.2)
    canvas.rect(left, high - bottom, right - left, bottom - top, stroke=1, fill=0)
    canvas.setFillGray(0)
    canvas.setFont("Helvetica-Bold", 7)
    canvas.drawString(left + 12, high - top - 16, "Photo sheet: true size and true colour")
    canvas.setFont("Helvetica", 4.2)
    for i, line in enumerate(_ADVICE):
        canvas.drawString(left + 12, high - top - 29 - i * 7.4, line)
    canvas.setFont("Helvetica", 3)
    half = _CAUTION.index("advice,")
    canvas.drawString(left + 12, high - bottom + 16, _CAUTION[:half])
    canvas.drawString(left + 12, high - bottom + 11.5, _CAUTION[half:])
    greys = ", ".join(f"{100 * grey:.0f} %" for grey in GREY_STEPS)
    canvas.drawString(left + 12, high - bottom + 5, f"Grey steps: {greys} of the light; paper 86 %.")
