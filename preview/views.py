"""Other ways to look at a picture: its values alone, and the lines and numbers of the block."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import cv2
import numpy as np
import shapely
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from palettes.encodings import lin_to_srgb8, luminance, srgb8_to_lin
from preview.frame import Frame
from preview.visible import Rings, visible_rings

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
    rings = visible_rings(frame.draft)
    thickness = max(1, round(frame.ppi / 60))
    for patch, of_patch in zip(frame.draft.patches, rings, strict=True):
        ink = _STITCHED_SRGB8 if patch.is_applique() else _INK_SRGB8
        for ring in of_patch:
            # OpenCV counts from pixel centres.
            points = ring * frame.ppi - (frame.left_px + 0.5, frame.top_px + 0.5)
            fixed = np.rint(points * (1 << _SHIFT)).astype(np.int32)
            cv2.polylines(sheet, [fixed], True, ink, thickness, cv2.LINE_AA, _SHIFT)
    return _numbered(sheet, frame, rings)


def _numbered(sheet: _Picture, frame: Frame, rings: tuple[Rings, ...]) -> _Picture:
    picture = Image.fromarray(sheet)
    pen = ImageDraw.Draw(picture)
    for patch, of_patch in zip(frame.draft.patches, rings, strict=True):
        if not of_patch:
            continue
        x_in, y_in, radius_in = _widest_spot(of_patch)
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


def _widest_spot(rings: Rings) -> tuple[float, float, float]:
    """Centre and radius, in inches, of the largest circle that fits in what shows."""
    shape = shapely.union_all([shapely.Polygon(ring) for ring in rings if _is_outer(ring)])
    for hole in (ring for ring in rings if not _is_outer(ring)):
        shape = shapely.difference(shape, shapely.Polygon(hole))
    radius_line = shapely.maximum_inscribed_circle(shape, tolerance=1 / 64)
    (x, y), _ = shapely.get_coordinates(radius_line)
    return float(x), float(y), float(shapely.length(radius_line))


def _is_outer(ring: NDArray[np.float64]) -> bool:
    x, y = ring[:, 0], ring[:, 1]
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0


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
