"""A canvas that goes on for ever: shapes are laid on it one over another, each in one flat ink.

Cotton is printed so: a few inks, flat, with hard edges. The canvas keeps, for every sixteenth of a
pixel, the number of the ink on top; what a pixel shows is the mean of its sixteen parts, taken in linear
light. A shape that leaves the tile on one side comes in again on the other.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.demo.colours import ink_lin
from swatches.demo.outlines import Outline

__all__ = ["PPI", "Canvas", "blank", "pixels"]

PPI = 150
"""Pixels per inch of every demo cloth: two pixels for each thread of a good quilting cotton."""

_PARTS = 4
_SHIFT = 4
_STEPS = 2**_SHIFT
"""OpenCV takes corners in whole steps, so many to a part."""

_FILL_GROWS_PARTS = 0.5
"""OpenCV paints every part that a polygon's edge touches, half a part too much all round."""


def pixels(length_in: Fraction) -> int:
    """The whole number of pixels in a repeat. Raises: ValueError if the repeat is no whole number."""
    count = length_in * PPI
    if count.denominator != 1:
        raise ValueError(f"{length_in} in at {PPI} pixels an inch is not a whole number of pixels")
    return int(count)


@dataclass(slots=True)
class Canvas:
    """One repeat being drawn: `parts` holds ink numbers, four by four to a pixel; `inks` their names."""

    parts: NDArray[np.uint8]
    inks: dict[str, int] = field(default_factory=dict)

    def fill(self, outline_in: Outline, ink: str) -> None:
        """Lay one closed shape, wherever on the endless cloth it is."""
        parts = _shrink(outline_in * (_PARTS * PPI), _FILL_GROWS_PARTS) - (0.5 + 0.5j)
        corners = np.rint(np.stack([parts.real, parts.imag], axis=1) * _STEPS).astype(np.int32)
        number = self.inks.setdefault(ink, len(self.inks))
        rows, columns = self.parts.shape
        (left, top), (right, bottom) = corners.min(axis=0).tolist(), corners.max(axis=0).tolist()
        for across in _laps(left, right, columns * _STEPS):
            for down in _laps(top, bottom, rows * _STEPS):
                moved = corners + np.array([across, down], np.int32) if across or down else corners
                cv2.fillPoly(self.parts, [moved], number, cv2.LINE_8, _SHIFT)

    def shares(self, ground: str) -> NDArray[np.float32]:
        """The share of every pixel that is covered by anything but the ground, 0 to 1, (H, W)."""
        covered = np.not_equal(self.parts, np.uint8(self.inks[ground])).view(np.uint8)
        covered *= np.uint8(255)
        rows, columns = (side // _PARTS for side in self.parts.shape)
        shares = cv2.resize(covered, (columns, rows), interpolation=cv2.INTER_AREA)
        return np.divide(shares, 255, dtype=np.float32)

    def light(self) -> NDArray[np.float32]:
        """The print in linear light, (H, W, 3): every pixel the mean of its sixteen parts."""
        inks = np.array([ink_lin(name) for name in self.inks], np.float32)
        rows, columns = (side // _PARTS for side in self.parts.shape)
        # Four parts side by side read as one number: alike across when it is a byte four times over.
        quads = self.parts.view(np.uint32)
        first = quads[::_PARTS]
        alike = first == (first & np.uint32(255)) * np.uint32(0x01010101)
        for row in range(1, _PARTS):
            alike &= quads[row::_PARTS] == first
        lin = inks.take(self.parts[::_PARTS, ::_PARTS], axis=0)
        mixed = np.flatnonzero(~alike)
        blocks = self.parts.reshape(rows, _PARTS, columns, _PARTS)[mixed // columns, :, mixed % columns]
        total = np.zeros((len(mixed), 3), np.float32)
        for part in blocks.reshape(len(mixed), _PARTS * _PARTS).T:
            total += inks.take(part, axis=0)
        lin.reshape(-1, 3)[mixed] = total / _PARTS**2
        return lin


def blank(repeat_in: tuple[Fraction, Fraction], ground: str) -> Canvas:
    """A canvas of one repeat (width, height), all in the ground's ink."""
    width, height = (pixels(side) * _PARTS for side in repeat_in)
    return Canvas(np.zeros((height, width), np.uint8), {ground: 0})


def _laps(least: int, most: int, period: int) -> range:
    """Every multiple of the period by which a stretch must be moved to touch the tile, or come next to it."""
    least, most = least - _STEPS, most + _STEPS
    return range(-(most // period) * period, (-least // period + 2) * period, period)


def _shrink(outline: Outline, by: float) -> Outline:
    """The outline with every corner moved inwards, along the mean normal of its two edges."""
    ring = np.concatenate([outline[-1:], outline, outline[:1]])
    along = ring[2:] - ring[:-2]
    twice_area = float(np.vdot(ring[:-1], ring[1:]).imag)
    step = by * (1j if twice_area > 0 else -1j)
    shrunk: Outline = outline + step * along / np.maximum(np.abs(along), 1e-9)
    return shrunk
