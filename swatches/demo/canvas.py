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

    @property
    def width_in(self) -> float:
        """Width of the repeat in inches."""
        return int(self.parts.shape[1]) / (_PARTS * PPI)

    @property
    def height_in(self) -> float:
        """Height of the repeat in inches."""
        return int(self.parts.shape[0]) / (_PARTS * PPI)

    def fill(self, outline_in: Outline, ink: str) -> None:
        """Lay one closed shape, wherever on the endless cloth it is."""
        parts = _shrink(outline_in * (_PARTS * PPI), _FILL_GROWS_PARTS) - (0.5 + 0.5j)
        number = self.inks.setdefault(ink, len(self.inks))
        rows, columns = self.parts.shape
        for right in _laps(parts.real, columns):
            for down in _laps(parts.imag, rows):
                moved = np.stack([parts.real + right, parts.imag + down], axis=1)
                corners = np.rint(moved * 2**_SHIFT).astype(np.int32)
                cv2.fillPoly(self.parts, [corners], number, cv2.LINE_8, _SHIFT)

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


def _laps(coordinates: NDArray[np.floating], period: int) -> range:
    """Every multiple of the period by which a shape must be moved to touch the tile."""
    least, most = float(coordinates.min()) - 1, float(coordinates.max()) + 1
    return range(-int(most // period) * period, (int(-least // period) + 2) * period, period)


def _shrink(outline: Outline, by: float) -> Outline:
    """The outline with every corner moved inwards, along the mean normal of its two edges."""
    ring = np.concatenate([outline[-1:], outline, outline[:1]])
    along = ring[2:] - ring[:-2]
    twice_area = float(np.vdot(ring[:-1], ring[1:]).imag)
    step = by * (1j if twice_area > 0 else -1j)
    shrunk: Outline = outline + step * along / np.maximum(np.abs(along), 1e-9)
    return shrunk
