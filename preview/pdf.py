"""A block on paper at true size: cloth at 300 pixels per inch, seams over it, bars to check the print by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from typing import Literal

import numpy as np

from blocks.quilt import Quilt
from blocks.values import Draft
from preview.files import check_ppi, jpeg_bytes
from preview.frame import Frame, prepare_frame, whole_px
from preview.keeping import PaintCache
from preview.pdf_marks import check_bars, overlap_marks
from preview.pdf_parts import MOST_PAGE_IN, PdfPage, PdfPicture, picture, polygon, text, write_pdf
from preview.progress import QUIET, Watch
from preview.render import paint
from preview.scene import Scene, scene_of
from preview.spots import spots_of
from preview.wear import Dressed
from preview.writing import OutputError

__all__ = ["OVERLAP_IN", "PAPERS_IN", "Paper", "save_pdf"]

Paper = Literal["letter", "a4", "whole"]

PAPERS_IN: dict[str, tuple[float, float]] = {"letter": (8.5, 11.0), "a4": (210 / 25.4, 297 / 25.4)}
"""Source: ANSI/ASME Y14.1 (A) and ISO 216 (A4)."""

OVERLAP_IN = 0.5
"""How much of the block neighbouring pages both show (ours)."""

_MARGIN_IN = 0.5
_GUTTER_IN = 0.65
"""Room for the bars at the left and at the foot."""
_FOOT_IN = 0.95
_MOST_PAGES = 500
_LINE_CHARACTERS = 44


@dataclass(frozen=True, slots=True)
class _Layout:
    """A grid of pages over the block; all of it in whole pixels of the cloth."""

    width_in: float
    height_in: float
    across: int
    down: int
    step_px: tuple[int, int]
    shown_px: tuple[int, int]


def save_pdf(
    path: Path | str,
    subject: Draft | Quilt | Scene,
    audition: Dressed,
    *,
    paper: Paper = "letter",
    ppi: float = 300.0,
    lines: bool = True,
    numbers: bool = False,
    watch: Watch = QUIET,
) -> Path:
    """The path of the PDF now written, the block at its finished size.

    What does not fit on one sheet goes over several, which overlap by half an inch and have marks to match.
    With paper "whole" the page is as large as the block and its bars. Every page has bars of 4 inches and of
    10 centimetres both ways, and the print dialog is asked not to scale.
    Raises: OutputError for another name, a closed folder, too many pages or a page beyond what PDF allows;
    FrameError for an impossible resolution; Cancelled. Nothing half-written is left.
    """
    path = Path(path)
    if path.suffix.lower() != ".pdf":
        raise OutputError(path, "is not named as a PDF", mend='End the file name in ".pdf".')
    check_ppi(path, ppi)
    scene = scene_of(subject)
    layout = _laid_out(path, scene, paper=paper, ppi=ppi)
    pages = _pages(scene, audition, layout, ppi=ppi, lines=lines, numbers=numbers, watch=watch)
    write_pdf(path, pages, title=f"{scene.name}, true size")
    return path


def _laid_out(path: Path, scene: Scene, *, paper: Paper, ppi: float) -> _Layout:
    whole = whole_px(scene, ppi=ppi)
    if paper == "whole":
        wide, high = (side / ppi for side in whole)
        width, height = wide + 2 * _MARGIN_IN + _GUTTER_IN, high + 2 * _MARGIN_IN + _FOOT_IN
        if max(width, height) > MOST_PAGE_IN:
            raise OutputError(path, "is larger than a PDF page may be", mend="Print it on several sheets.")
        # Never so small that the bars do not fit.
        return _Layout(max(width, 6.5), max(height, 7.0), 1, 1, whole, whole)
    width, height = PAPERS_IN[paper]
    usable = width - 2 * _MARGIN_IN - _GUTTER_IN, height - 2 * _MARGIN_IN - _FOOT_IN
    shown = tuple(int(side * ppi) for side in usable)
    overlap = int(OVERLAP_IN * ppi)
    if min(shown) <= overlap:
        raise OutputError(path, f"{ppi:g} pixels per inch are too few to print", mend="Ask for 72 or more.")
    step = shown[0] - overlap, shown[1] - overlap
    across, down = (max(1, ceil((w - overlap) / s)) for w, s in zip(whole, step, strict=True))
    if across * down > _MOST_PAGES:
        raise OutputError(
            path,
            f"would take {across * down} sheets",
            mend=f'Print single blocks, or use paper "whole"; up to {_MOST_PAGES} sheets are made.',
        )
    return _Layout(width, height, across, down, step, (shown[0], shown[1]))


def _pages(
    scene: Scene,
    audition: Dressed,
    layout: _Layout,
    *,
    ppi: float,
    lines: bool,
    numbers: bool,
    watch: Watch,
) -> Iterator[PdfPage]:
    whole, cache = whole_px(scene, ppi=ppi), PaintCache()
    for row in range(layout.down):
        for column in range(layout.across):
            watch.at((row * layout.across + column) / (layout.across * layout.down))
            left, top = column * layout.step_px[0], row * layout.step_px[1]
            size = min(layout.shown_px[0], whole[0] - left), min(layout.shown_px[1], whole[1] - top)
            frame = prepare_frame(scene, ppi=ppi, window_px=(left, top, *size))
            cloth = paint(frame, audition, cache=cache)
            cache.forget(frame.token)
            yield PdfPage(
                layout.width_in,
                layout.height_in,
                [*_content(frame, layout, (column, row), lines=lines, numbers=numbers)],
                PdfPicture(jpeg_bytes(cloth, ppi=ppi), *size),
            )
    watch.at(1.0)


def _content(
    frame: Frame, layout: _Layout, place: tuple[int, int], *, lines: bool, numbers: bool
) -> Iterator[str]:
    x, y = _MARGIN_IN + _GUTTER_IN, _MARGIN_IN
    wide, high = frame.width_px / frame.ppi, frame.height_px / frame.ppi
    left, top = frame.left_px / frame.ppi, frame.top_px / frame.ppi
    # Lines and cloth end where the finished block does.
    seen_w = min(wide, float(frame.scene.width_in) - left)
    seen_h = min(high, float(frame.scene.height_in) - top)
    yield f"q {x:.5f} {y:.5f} {seen_w:.5f} {seen_h:.5f} re W n"
    yield picture(x, y, wide, high)
    if lines:
        yield "0.006 w 1 J 1 j"
        for ring, owner in enumerate(frame.scene.ring_owner.tolist()):
            if frame.present[owner]:
                yield "0.69 0.16 0.24 RG" if frame.scene.stitched[owner] else "0.13 0.13 0.15 RG"
                first, last = frame.scene.ring_first[ring : ring + 2]
                moved = frame.scene.points_in[first:last] + np.array([x - left, y - top])
                yield polygon(moved.tolist())
    if numbers:
        for owner, spot in spots_of(frame.scene, owners=np.flatnonzero(frame.present)).items():
            size = float(np.clip(spot.radius_in * 72 * 0.9, 5, 18))
            where = spot.x_in + x - left, spot.y_in + y - top + 0.35 * size / 72
            words = str(frame.scene.numbers[owner])
            yield "1 1 1 RG 1 1 1 rg 0.03 w 2 Tr " + text(*where, words, size_pt=size, middle=True)
            yield "0.13 0.13 0.15 rg 0 Tr " + text(*where, words, size_pt=size, middle=True)
    yield "Q 0 0 0 RG 0 0 0 rg"
    yield from overlap_marks((x, y, wide, high), OVERLAP_IN, place=place, count=(layout.across, layout.down))
    yield from check_bars(_MARGIN_IN, layout.height_in - _MARGIN_IN)
    told = [f"{frame.scene.name}, true size"[:_LINE_CHARACTERS]]
    if layout.across * layout.down > 1:
        told.append(f"Sheet {place[0] + 1} of {layout.across} across, {place[1] + 1} of {layout.down} down")
    told += ["Print at 100 %. Measure the bars both ways", "before you trust the print."]
    for number, line in enumerate(reversed(told)):
        yield text(x + 4.4, layout.height_in - _MARGIN_IN - 0.08 - 0.13 * number, line, size_pt=7)
