"""The edges of a block marked by how they read, and the stretches where they are lost."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from palettes.reading import Word
from preview.frame import Frame
from preview.pens import Badge, Pen, draw_badges, draw_lines, paper_for
from preview.readings import EdgeReading
from preview.walking import stretches_of

__all__ = ["SEAM_LOOKS", "lost_view", "seams_view"]

_Picture = NDArray[np.uint8]

SEAM_LOOKS = MappingProxyType(
    {
        "clear": ((0, 114, 178), "a thin unbroken blue line"),
        "soft": ((230, 159, 0), "orange dashes"),
        "lost": ((213, 94, 0), "thick vermilion dots"),
    }
)
"""Colour and words for each reading. Three colours of Okabe and Ito's set, which people with any colour
vision tell apart; line, dashes and dots say the same without colour, and so does the badge's shape.
Source: Okabe and Ito (2008), "Color Universal Design", https://jfly.uni-koeln.de/color/."""

_UNWANTED_SRGB8 = (150, 150, 155)


def _pen(word: Word, unit_px: float) -> Pen:
    ink = SEAM_LOOKS[word][0]
    if word == "clear":
        return Pen(ink, 2 * unit_px, rim_px=unit_px)
    if word == "soft":
        return Pen(ink, 3 * unit_px, (7 * unit_px, 5 * unit_px), rim_px=unit_px)
    # So short that round ends make dots of them.
    return Pen(ink, 5 * unit_px, (0.5 * unit_px, 8 * unit_px), rim_px=unit_px)


def seams_view(
    frame: Frame, readings: Sequence[EdgeReading], *, over_srgb8: _Picture | None = None
) -> _Picture:
    """Every edge that should read, marked by its word; the rest as thin grey lines.

    Soft and lost edges are numbered by their place in `readings`, from 1: discs for soft, squares for
    lost ones. The numbers stand in the middle of the longest stretch of the edge.
    """
    sheet = paper_for(frame, over_srgb8)
    unit_px = max(1.0, frame.ppi / 60)
    badges = []
    for reading in readings:
        if not reading.wanted:
            draw_lines(sheet, frame, _whole(reading), Pen(_UNWANTED_SRGB8, 1))
    for word in ("clear", "soft", "lost"):
        for number, reading in enumerate(readings, start=1):
            if reading.wanted and reading.word == word:
                lines = _whole(reading)
                draw_lines(sheet, frame, lines, _pen(word, unit_px))
                if word != "clear":
                    x, y = _middle(lines)
                    badges.append(Badge(x, y, str(number), SEAM_LOOKS[word][0], square=word == "lost"))
    return draw_badges(sheet, frame, badges, text_px=max(11.0, min(22.0, frame.ppi / 6)))


def lost_view(frame: Frame, readings: Sequence[EdgeReading], *, over_srgb8: _Picture) -> _Picture:
    """The picture with a broken line along every stretch where an edge that should read is lost."""
    sheet = paper_for(frame, over_srgb8)
    pen = _pen("lost", max(1.0, frame.ppi / 60))
    for reading in readings:
        if reading.wanted:
            draw_lines(sheet, frame, reading.lost_stretches, pen)
    return sheet


def _whole(reading: EdgeReading) -> tuple[tuple[tuple[float, float], ...], ...]:
    return stretches_of(reading.walk, np.ones(len(reading.walk.points_in), bool))


def _middle(lines: Sequence[Sequence[tuple[float, float]]]) -> tuple[float, float]:
    longest = max(
        (np.asarray(line) for line in lines), key=lambda line: np.hypot(*np.diff(line, axis=0).T).sum()
    )
    at = np.append(0.0, np.cumsum(np.hypot(*np.diff(longest, axis=0).T)))
    return float(np.interp(at[-1] / 2, at, longest[:, 0])), float(np.interp(at[-1] / 2, at, longest[:, 1]))
