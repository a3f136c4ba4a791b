"""Other ways to look at a picture: the lines and numbers of the block, and pictures side by side."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFont

from preview.frame import Frame
from preview.spots import spots_of
from preview.views_value import value_view

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


def lines_view(frame: Frame, *, over_srgb8: _Picture | None = None) -> _Picture:
    """The seams and appliqué edges with each patch's number, on white or over a picture of the frame.

    The numbers are those of the readings. Each stands where its patch is widest, with a light rim, and
    no smaller than can be read: in a very small patch it runs over the outline. In a picture so small that
    every number would, as of a whole quilt, they are left out.
    """
    if over_srgb8 is None:
        sheet = np.full((frame.height_px, frame.width_px, 3), _PAPER_SRGB8, np.uint8)
    else:
        sheet = over_srgb8.copy()
    scene = frame.scene
    thickness = max(1, round(frame.ppi / 60))
    # OpenCV counts from pixel centres.
    points = scene.points_in * frame.ppi - (frame.left_px + 0.5, frame.top_px + 0.5)
    fixed = np.rint(points * (1 << _SHIFT)).astype(np.int32)
    for stitched, ink in ((False, _INK_SRGB8), (True, _STITCHED_SRGB8)):
        rings = np.flatnonzero(
            (scene.stitched[scene.ring_owner] == stitched) & frame.present[scene.ring_owner]
        )
        lines = [fixed[scene.ring_first[ring] : scene.ring_first[ring + 1]] for ring in rings]
        cv2.polylines(sheet, lines, True, ink, thickness, cv2.LINE_AA, _SHIFT)
    return _numbered(sheet, frame)


def _numbered(sheet: _Picture, frame: Frame) -> _Picture:
    owners = np.flatnonzero(frame.present)
    each_px = np.sqrt(frame.width_px * frame.height_px / max(1, len(owners)))
    if len(owners) > 1 and each_px < _LEAST_TEXT_PX:
        return sheet
    picture = Image.fromarray(sheet)
    pen = ImageDraw.Draw(picture)
    for owner, spot in spots_of(frame.scene, owners=owners).items():
        text = str(frame.scene.numbers[owner])
        # A number of n digits is about 0.6 n wide and 0.75 high to its size.
        room_px = 2 * spot.radius_in * frame.ppi / np.hypot(0.6 * len(text), 0.75)
        text_px = float(np.clip(0.8 * room_px, _LEAST_TEXT_PX, min(_MOST_TEXT_PX, max(12.0, frame.ppi / 4))))
        pen.text(
            (spot.x_in * frame.ppi - frame.left_px, spot.y_in * frame.ppi - frame.top_px),
            text,
            font=ImageFont.load_default(text_px),
            anchor="mm",
            fill=_INK_SRGB8,
            stroke_width=max(1, ceil(text_px / 10)),
            stroke_fill=_PAPER_SRGB8,
        )
    return np.asarray(picture).copy()


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
