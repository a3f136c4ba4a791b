"""Other ways to look at a picture: its values alone, and the lines and numbers of the block."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from blocks.visible import Part, Ring, visible_outlines
from palettes.encodings import lin_to_srgb8, luminance, srgb8_to_lin
from preview.frame import Frame

__all__ = ["lines_view", "side_by_side", "value_view"]

_Picture = NDArray[np.uint8]

_PAPER_SRGB8 = (255, 255, 255)
_INK_SRGB8 = (34, 34, 38)
_STITCHED_SRGB8 = (176, 40, 60)
"""Outlines of appliqué, told apart from seams."""

_LEAST_TEXT_PX = 10
_MOST_TEXT_PX = 40
_SHIFT = 6
"""Binary places of a pixel that OpenCV takes line ends in."""


def value_view(picture_srgb8: _Picture) -> _Picture:
    """The picture as greys of the same lightness L*: what is left when colour is taken away.

    Equal L* is equal luminance, so each grey gives as much light as the colour it stands for.
    """
    grey = lin_to_srgb8(luminance(srgb8_to_lin(picture_srgb8)))
    return np.repeat(grey[..., None], 3, axis=2)


def lines_view(frame: Frame, *, over_srgb8: _Picture | None = None) -> _Picture:
    """The block's seams and appliqué edges with each patch's number, on white or over a picture.

    The numbers are those of the readings. Each stands where its patch is widest, with a light rim, and
    no smaller than can be read: in a very small patch it runs over the outline.
    """
    if over_srgb8 is None:
        shape = (frame.height_px, frame.width_px, 3)
        sheet = np.full(shape, _PAPER_SRGB8, np.uint8)
    else:
        sheet = over_srgb8.copy()
    shown = visible_outlines(frame.draft)
    thickness = max(1, round(frame.ppi / 60))
    for patch, parts in zip(frame.draft.patches, shown, strict=True):
        ink = _STITCHED_SRGB8 if patch.is_applique() else _INK_SRGB8
        for ring in (ring for part in parts for ring in part):
            # OpenCV counts from pixel centres.
            points = _floats(ring) * frame.ppi - (frame.left_px + 0.5, frame.top_px + 0.5)
            fixed = np.rint(points * (1 << _SHIFT)).astype(np.int32)
            cv2.polylines(sheet, [fixed], True, ink, thickness, cv2.LINE_AA, _SHIFT)
    return _numbered(sheet, frame, shown)


def _numbered(sheet: _Picture, frame: Frame, shown: tuple[tuple[Part, ...], ...]) -> _Picture:
    picture = Image.fromarray(sheet)
    pen = ImageDraw.Draw(picture)
    for patch, parts in zip(frame.draft.patches, shown, strict=True):
        if not parts:
            continue
        x_in, y_in, radius_in = _widest_spot(parts)
        text = str(patch.number)
        # A number of n digits is about 0.6 n wide and 0.75 high to its size.
        room_px = 2 * radius_in * frame.ppi / np.hypot(0.6 * len(text), 0.75)
        text_px = float(np.clip(0.8 * room_px, _LEAST_TEXT_PX, min(_MOST_TEXT_PX, max(12.0, frame.ppi / 4))))
        at = (x_in * frame.ppi - frame.left_px, y_in * frame.ppi - frame.top_px)
        font = ImageFont.load_default(text_px)
        pen.text(
            at,
            text,
            font=font,
            anchor="mm",
            fill=_INK_SRGB8,
            stroke_width=max(1, ceil(text_px / 10)),
            stroke_fill=_PAPER_SRGB8,
        )
    return np.asarray(picture).copy()


def _widest_spot(parts: tuple[Part, ...]) -> tuple[float, float, float]:
    """Centre and radius, in inches, of the largest circle that fits in what shows."""
    spots = []
    for outer, *holes in parts:
        shape = shapely.Polygon(_floats(outer), [_floats(hole) for hole in holes])
        radius = shapely.maximum_inscribed_circle(shape, tolerance=1 / 64)
        (x, y), _ = shapely.get_coordinates(radius)
        spots.append((float(shapely.length(radius)), float(x), float(y)))
    radius_in, x_in, y_in = max(spots)
    return x_in, y_in, radius_in


def _floats(ring: Ring) -> NDArray[np.float64]:
    return np.array([(float(x), float(y)) for x, y in ring])


def side_by_side(pictures: Sequence[_Picture], *, captions: Sequence[str] = (), gap_px: int = 16) -> _Picture:
    """The pictures in one row on white, tops level, with a caption under each if there are any."""
    text_px = 16
    height = max(picture.shape[0] for picture in pictures) + (2 * text_px if captions else 0)
    width = sum(picture.shape[1] for picture in pictures) + gap_px * (len(pictures) - 1)
    sheet = Image.new("RGB", (width, height), _PAPER_SRGB8)
    pen, left = ImageDraw.Draw(sheet), 0
    for number, picture in enumerate(pictures):
        sheet.paste(Image.fromarray(picture), (left, 0))
        if captions:
            middle = (left + picture.shape[1] / 2, height - text_px)
            font = ImageFont.load_default(text_px)
            pen.text(middle, captions[number], font=font, anchor="mm", fill=_INK_SRGB8)
        left += picture.shape[1] + gap_px
    return np.asarray(sheet).copy()
