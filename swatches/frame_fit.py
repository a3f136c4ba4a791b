"""Where a piece may lie on cloth of which only a photographed part is known."""

from __future__ import annotations

from dataclasses import dataclass

from swatches.swatch import Swatch

__all__ = ["PhotoFit", "keep_on_photo"]

_SLACK_IN = 1e-6

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class PhotoFit:
    """How far to shift a piece on its cloth, in inches, and whether it then shows known cloth only."""

    dx_in: float
    dy_in: float
    fits: bool


def keep_on_photo(swatch: Swatch, box_in: Box) -> PhotoFit:
    """The shift that brings a piece (left, top, right, bottom on the cloth) onto the photographed part.

    A cloth that repeats is known everywhere: nothing is shifted. Otherwise the place is taken modulo the
    room to spare, so that pieces from different places keep showing different spots where there is
    room, and none is ever mirrored to fill it. A piece larger than the photograph does not fit; it is
    brought to the photograph's near edge in the direction that is too long, and no further.
    """
    if swatch.repeats:
        return PhotoFit(0.0, 0.0, fits=True)
    left, top, right, bottom = box_in
    dx_in, fits_across = _shift(left, right - left, swatch.width_in)
    dy_in, fits_down = _shift(top, bottom - top, swatch.height_in)
    return PhotoFit(dx_in, dy_in, fits=fits_across and fits_down)


def _shift(start_in: float, length_in: float, known_in: float) -> tuple[float, bool]:
    spare_in = known_in - length_in
    if spare_in <= 0:
        return 0.0 - start_in, spare_in >= -_SLACK_IN
    if -_SLACK_IN <= start_in <= spare_in + _SLACK_IN:
        # Already on the photograph: a place the maker chose stays to the last bit.
        return min(max(start_in, 0.0), spare_in) - start_in, True
    return min(start_in % spare_in, spare_in) - start_in, True
