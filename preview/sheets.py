"""Sheets of small pictures: one block in several auditions, and one print at several patch sizes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, sqrt

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from blocks.lengths import inches_text
from preview.frame import FrameError, prepare_frame
from preview.keeping import PaintCache
from preview.pens import INK_SRGB8, PAPER_SRGB8
from preview.progress import QUIET, Watch
from preview.render import paint
from preview.scene import Scene
from preview.wear import Dressed, Wear, make_wear
from swatches.swatch import Swatch

__all__ = ["broken_lines", "contact_sheet", "size_strip"]

_Picture = NDArray[np.uint8]

_TEXT_PX = 15
_LINE_PX = 20
_MOST_LINES = 3
_MOST_SIDE_PX = 30_000
_SHORTENED = "…"


def contact_sheet(
    scene: Scene,
    auditions: Sequence[Dressed],
    *,
    captions: Sequence[str],
    each_px: int = 360,
    across: int = 0,
    gap_px: int = 18,
    watch: Watch = QUIET,
) -> _Picture:
    """The same block or quilt in several auditions, each with its caption under it, on white.

    The longer side of every picture is `each_px`. `across` 0 makes the sheet about as wide as high. Captions
    are broken into up to three lines and then shortened.
    Raises: ValueError unless there are auditions and as many captions; FrameError; Cancelled.
    """
    if not auditions or len(captions) != len(auditions):
        raise ValueError(f"{len(auditions)} auditions need as many captions, got {len(captions)}")
    ppi = each_px / max(float(scene.width_in), float(scene.height_in))
    frame = prepare_frame(scene, ppi=ppi)
    columns = min(len(auditions), across if across > 0 else ceil(sqrt(len(auditions))))
    rows = ceil(len(auditions) / columns)
    cell_w, cell_h = frame.width_px + gap_px, frame.height_px + gap_px + _MOST_LINES * _LINE_PX
    _check_side(max(columns * cell_w, rows * cell_h))
    sheet = Image.new("RGB", (columns * cell_w + gap_px, rows * cell_h + gap_px), PAPER_SRGB8)
    pen, cache = ImageDraw.Draw(sheet), PaintCache()
    for number, (audition, caption) in enumerate(zip(auditions, captions, strict=True)):
        watch.at(number / len(auditions))
        left, top = gap_px + number % columns * cell_w, gap_px + number // columns * cell_h
        sheet.paste(Image.fromarray(paint(frame, audition, cache=cache)), (left, top))
        _write(pen, caption, (left, top + frame.height_px + 4), width_px=frame.width_px)
    watch.at(1.0)
    return np.asarray(sheet).copy()


def size_strip(
    swatch: Swatch,
    sizes_in: Sequence[Fraction],
    *,
    ppi: float = 60.0,
    gap_px: int = 18,
) -> _Picture:
    """One print at true scale as squares of several finished sizes, side by side, with the sizes under them.

    Every square begins at the same corner of the cloth, so that what a larger patch adds is seen. A cloth
    that does not repeat is hatched where its photograph ends.
    Raises: ValueError for no sizes or one that is not above 0; FrameError if the strip would be too large.
    """
    if not sizes_in or min(sizes_in) <= 0:
        raise ValueError("give one or more sizes above 0 inches")
    sides = [max(1, round(float(size) * ppi)) for size in sizes_in]
    labels = [f"{inches_text(size)} in" for size in sizes_in]
    font = ImageFont.load_default(_TEXT_PX)
    # A small square is not narrower than its label.
    widths = [max(side, ceil(font.getlength(label))) for side, label in zip(sides, labels, strict=True)]
    wide, high = sum(widths) + gap_px * (len(sides) + 1), max(sides) + 2 * gap_px + _LINE_PX
    _check_side(max(wide, high))
    lefts = gap_px + np.cumsum([0, *(width + gap_px for width in widths[:-1])])
    scene, wear = _squares(swatch, sides, lefts.tolist(), gap_px, size_px=(wide, high), ppi=ppi)
    frame = prepare_frame(scene, ppi=ppi)
    picture = paint(frame, _Strip(wear))
    picture[frame.labels == 0] = PAPER_SRGB8
    sheet = Image.fromarray(picture)
    pen = ImageDraw.Draw(sheet)
    for left, label in zip(lefts, labels, strict=True):
        pen.text((float(left), high - _LINE_PX), label, font=font, anchor="lm", fill=INK_SRGB8)
    return np.asarray(sheet).copy()


@dataclass(frozen=True, slots=True, eq=False)
class _Strip:
    wear: Wear


def _squares(
    swatch: Swatch, sides: list[int], lefts: list[int], top: int, *, size_px: tuple[int, int], ppi: float
) -> tuple[Scene, Wear]:
    """Squares in whole pixels, their feet level, and how they lie on the cloth."""
    count = len(sides)
    tops = top + max(sides) - np.array(sides)
    corners = np.array(
        [
            [(x, y), (x + s, y), (x + s, y + s), (x, y + s)]
            for x, y, s in zip(lefts, tops.tolist(), sides, strict=True)
        ],
        np.float64,
    )
    to_piece = np.tile([1.0, 0.0, 0.0, 0.0], (count, 1))
    to_piece[:, 2] = -np.array(lefts) / ppi
    to_piece[:, 3] = -tops / ppi
    scene = Scene(
        name=swatch.name,
        width_in=size_px[0] / ppi,
        height_in=size_px[1] / ppi,
        numbers=np.arange(1, count + 1, dtype=np.int32),
        roles=("cloth",) * count,
        pieces=np.arange(count),
        stitched=np.zeros(count, bool),
        to_piece=to_piece,
        bent=(),
        points_in=corners.reshape(-1, 2) / ppi,
        ring_first=np.arange(0, 4 * count + 1, 4),
        ring_owner=np.arange(count),
    )
    stay = np.tile([1.0, 0.0, 0.0, 0.0], (count, 1))
    return scene, make_wear(scene.roles, [swatch] * count, stay)


def broken_lines(
    words: str, font: ImageFont.FreeTypeFont | ImageFont.ImageFont, *, width_px: float
) -> list[str]:
    """The words in lines no wider than that; a word that is wider stands alone."""
    lines: list[str] = []
    for word in words.split():
        wider = f"{lines[-1]} {word}" if lines else word
        if lines and font.getlength(wider) <= width_px:
            lines[-1] = wider
        else:
            lines.append(word)
    return lines


def _check_side(side_px: int) -> None:
    if side_px > _MOST_SIDE_PX:
        raise FrameError(
            f"A sheet {side_px} pixels long is too big to draw at once.",
            mend="Ask for smaller pictures, or for fewer of them.",
        )


def _write(pen: ImageDraw.ImageDraw, words: str, at: tuple[int, int], *, width_px: int) -> None:
    font = ImageFont.load_default(_TEXT_PX)
    lines = broken_lines(words, font, width_px=width_px)
    shown = lines[:_MOST_LINES]
    if len(lines) > _MOST_LINES:
        shown[-1] += _SHORTENED
    for number, line in enumerate(shown):
        text = line
        while len(text) > 1 and font.getlength(text) > width_px:
            text = text[: -2 if text.endswith(_SHORTENED) else -1] + _SHORTENED
        pen.text((at[0], at[1] + number * _LINE_PX), text, font=font, fill=INK_SRGB8)
