"""Lines, dashes, arrows and numbers drawn on a picture of a frame, from inches of the block."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from preview.frame import Frame

__all__ = ["INK_SRGB8", "PAPER_SRGB8", "Badge", "Pen", "dashes", "draw_badges", "draw_lines", "paper_for"]

_Picture = NDArray[np.uint8]
_Line = NDArray[np.float64]
Colour = tuple[int, int, int]

PAPER_SRGB8: Colour = (255, 255, 255)
INK_SRGB8: Colour = (34, 34, 38)

_SHIFT = 6
"""Binary places of a pixel that OpenCV takes line ends in."""


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn. Dashes are (drawn, left out) in pixels; () for a line without gaps."""

    ink_srgb8: Colour
    width_px: float
    dash_px: tuple[float, float] | tuple[()] = ()
    rim_px: float = 0.0
    """A light rim on either side, so that the line shows on any cloth."""


@dataclass(frozen=True, slots=True)
class Badge:
    """A number in a disc, or in a square, at a place in inches of the block."""

    x_in: float
    y_in: float
    text: str
    ink_srgb8: Colour
    square: bool = False


def paper_for(frame: Frame, over_srgb8: _Picture | None) -> _Picture:
    """A white sheet of the frame's size, or a copy of the picture to draw on.

    Raises: ValueError if the picture is not of the frame's size.
    """
    shape = (frame.height_px, frame.width_px, 3)
    if over_srgb8 is None:
        return np.full(shape, PAPER_SRGB8, np.uint8)
    if over_srgb8.shape != shape:
        raise ValueError(f"the picture is {over_srgb8.shape}, the frame {shape}")
    return over_srgb8.copy()


def draw_lines(
    sheet: _Picture, frame: Frame, lines_in: Iterable[Sequence[Sequence[float]]], pen: Pen
) -> None:
    """Draws lines of block points onto the sheet."""
    # OpenCV counts from pixel centres.
    off = np.array([frame.left_px + 0.5, frame.top_px + 0.5])
    whole = [np.asarray(line, np.float64) * frame.ppi - off for line in lines_in]
    drawn = [part for line in whole for part in dashes(line, pen.dash_px)] if pen.dash_px else whole
    fixed = [np.rint(line * (1 << _SHIFT)).astype(np.int32) for line in drawn if len(line) > 1]
    width = max(1, round(pen.width_px))
    if pen.rim_px:
        cv2.polylines(sheet, fixed, False, PAPER_SRGB8, width + 2 * ceil(pen.rim_px), cv2.LINE_AA, _SHIFT)
    cv2.polylines(sheet, fixed, False, pen.ink_srgb8, width, cv2.LINE_AA, _SHIFT)


def dashes(line: _Line, dash: tuple[float, float] | tuple[()]) -> list[_Line]:
    """A line cut into dashes, evenly stretched so that it begins and ends with one."""
    if not dash:
        return [line]
    gaps = np.hypot(*np.diff(line, axis=0).T)
    at = np.append(0.0, np.cumsum(gaps))
    length = float(at[-1])
    drawn, left_out = dash
    count = max(1, round((length + left_out) / (drawn + left_out)))
    if count == 1 or length == 0:
        return [line]
    scale = length / (count * (drawn + left_out) - left_out)
    parts = []
    for k in range(count):
        start = k * (drawn + left_out) * scale
        end = min(start + drawn * scale, length)
        inner = line[(at > start) & (at < end)]
        ends = [[np.interp(d, at, line[:, 0]), np.interp(d, at, line[:, 1])] for d in (start, end)]
        parts.append(np.vstack([ends[:1], inner, ends[1:]]))
    return parts


def draw_badges(sheet: _Picture, frame: Frame, badges: Iterable[Badge], *, text_px: float) -> _Picture:
    """The sheet with the badges on it."""
    picture = Image.fromarray(sheet)
    pen = ImageDraw.Draw(picture)
    font = ImageFont.load_default(text_px)
    for badge in badges:
        x, y = badge.x_in * frame.ppi - frame.left_px, badge.y_in * frame.ppi - frame.top_px
        half = (text_px * (0.5 + 0.3 * len(badge.text))) / 2 + 2
        box = (x - half, y - half, x + half, y + half)
        draw = pen.rectangle if badge.square else pen.ellipse
        draw(box, fill=PAPER_SRGB8, outline=badge.ink_srgb8, width=max(1, round(text_px / 7)))
        pen.text((x, y), badge.text, font=font, anchor="mm", fill=INK_SRGB8)
    return np.asarray(picture).copy()
