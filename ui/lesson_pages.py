"""Sheets for a class: pictures in rows over captions, and pages with a heading, text and a picture."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import wrap
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from preview.files import jpeg_bytes
from preview.pdf import PAPERS_IN
from preview.pdf_parts import PdfPage, PdfPicture, picture, text, write_pdf
from preview.pens import INK_SRGB8, PAPER_SRGB8

__all__ = ["Handout", "picture_grid", "write_handout"]

_Picture = NDArray[np.uint8]

_MARGIN_IN = 0.6
_TITLE_PT = 17
_TEXT_PT = 10.5
_LINE_IN = 0.19
_LETTERS = 96
"""Letters of Helvetica at this size that fit across the narrower paper (ours)."""
_LEAST_PICTURE_IN = 4.5
_PPI = 150.0
"""Resolution that is told of the pictures; on the page they are fitted to its width."""


@dataclass(frozen=True, slots=True, eq=False)
class Handout:
    """One sheet: what it is called, what it says, and its picture. A tab in a line goes to the next stop."""

    title: str
    lines: tuple[str, ...]
    picture_srgb8: _Picture
    stops_in: tuple[float, ...] = ()


def picture_grid(
    pictures: Sequence[_Picture], captions: Sequence[str], *, across: int, text_px: int = 22
) -> _Picture:
    """The pictures in rows on white, each over its caption in one line or two."""
    gap, foot = 20, 2 * (text_px + 6)
    cell_w = max(each.shape[1] for each in pictures)
    cell_h = max(each.shape[0] for each in pictures)
    rows = -(-len(pictures) // across)
    columns = min(across, len(pictures))
    size = columns * (cell_w + gap) + gap, rows * (cell_h + gap + foot) + gap
    sheet = Image.new("RGB", size, PAPER_SRGB8)
    pen, font = ImageDraw.Draw(sheet), ImageFont.load_default(text_px)
    letters = max(4, int(cell_w / font.getlength("n")))
    for number, (each, caption) in enumerate(zip(pictures, captions, strict=True)):
        left = gap + number % columns * (cell_w + gap)
        top = gap + number // columns * (cell_h + gap + foot)
        sheet.paste(Image.fromarray(each), (left, top))
        for line_number, line in enumerate(wrap(caption, letters)[:2]):
            y = top + cell_h + 6 + line_number * (text_px + 6)
            pen.text((left, y), line, font=font, fill=INK_SRGB8)
    return np.asarray(sheet).copy()


def write_handout(path: Path, handout: Handout, *, paper: Literal["letter", "a4"]) -> None:
    """Writes the sheet as a PDF: heading, text and picture, and more pages where the text is long."""
    write_pdf(path, _pages(handout, PAPERS_IN[paper]), title=handout.title)


def _pages(handout: Handout, paper_in: tuple[float, float]) -> Iterator[PdfPage]:
    lines = [part for line in handout.lines for part in (_folded(line) or [""])]
    wide, high = paper_in[0] - 2 * _MARGIN_IN, paper_in[1] - 2 * _MARGIN_IN
    top = _MARGIN_IN + 0.45
    first = int((high - 0.45 - _LEAST_PICTURE_IN) / _LINE_IN)
    head = text(_MARGIN_IN, _MARGIN_IN + 0.2, handout.title, size_pt=_TITLE_PT)
    shown = _set(lines[:first], handout.stops_in, top=top)
    below = top + (min(first, len(lines)) + 0.5) * _LINE_IN
    yield PdfPage(
        *paper_in, [head, *shown, _fitted(handout.picture_srgb8, wide, below, paper_in[1])], _jpeg(handout)
    )
    each = int(high / _LINE_IN)
    for start in range(first, len(lines), each):
        yield PdfPage(*paper_in, _set(lines[start : start + each], handout.stops_in, top=_MARGIN_IN))


def _folded(line: str) -> list[str]:
    return [line] if "\t" in line else wrap(line, _LETTERS)


def _set(lines: Sequence[str], stops_in: Sequence[float], *, top: float) -> list[str]:
    content = ["0 0 0 rg"]
    for number, line in enumerate(lines, start=1):
        for part, stop in zip(line.split("\t"), (0.0, *stops_in), strict=False):
            content.append(text(_MARGIN_IN + stop, top + number * _LINE_IN, part, size_pt=_TEXT_PT))
    return content


def _fitted(shown: _Picture, wide_in: float, top_in: float, paper_high_in: float) -> str:
    """The picture as large as fits below the text."""
    high_in = paper_high_in - _MARGIN_IN - top_in
    scale = min(wide_in / shown.shape[1], high_in / shown.shape[0])
    return picture(_MARGIN_IN, top_in, shown.shape[1] * scale, shown.shape[0] * scale)


def _jpeg(handout: Handout) -> PdfPicture:
    height, width = handout.picture_srgb8.shape[:2]
    return PdfPicture(jpeg_bytes(handout.picture_srgb8, ppi=_PPI), width, height)
