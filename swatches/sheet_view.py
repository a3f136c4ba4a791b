"""The cloth in the window of the photo sheet: straight, at true size, in its own colour."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, prod, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swatches.card import MOST_KEPT_PPI
from swatches.clipping import clipped_share
from swatches.lens_sampling import sample_plane
from swatches.measured_scale import ScaleError
from swatches.sheet_find import FoundSheet, SheetError, find_sheet
from swatches.sheet_light import SheetLight, read_sheet_light

__all__ = ["SheetView", "view_sheet"]

_MM_PER_IN = 25.4
_INSET_MM = 3.0
"""The paper's edge throws a small shadow and cutting strays by a millimetre."""
_PRINTED = (0.9, 1.1)


@dataclass(frozen=True, slots=True, eq=False)
class SheetView:
    """The cloth in the window, as light: 1 is a perfect white."""

    cloth_lin: NDArray[np.float32]
    ppi: float
    uncertainty: float
    sheet: FoundSheet
    light: SheetLight
    stored_clipped: float
    """Share of the cloth at which the camera stored its whitest white in some channel."""
    origin_mm: tuple[float, float]
    """The top left of the cloth on the sheet."""
    per_mm: float

    def to_cloth_px(self, photo_px: ArrayLike) -> NDArray[np.float64]:
        """Where points of the photograph lie, in pixels from the cloth's top left."""
        at_mm = self.sheet.plane.to_plane(np.array(photo_px, dtype=np.float64))
        return np.asarray((at_mm - self.origin_mm) * self.per_mm, dtype=np.float64)


def view_sheet(
    photo_srgb8: NDArray[np.uint8],
    *,
    bar_mm: float = 100.0,
    most_ppi: float = MOST_KEPT_PPI,
    light16: NDArray[np.uint16] | None = None,
) -> SheetView:
    """The cloth that a photograph with the photo sheet shows.

    `bar_mm`: how long the printed 100 mm bar really is, measured with a ruler once for a printer.
    `light16`: the same photograph in 16 bits of linear light, where there is one.
    Raises: SheetError; ScaleError for a bar length that no printer makes of 100 mm.
    """
    if not _PRINTED[0] * 100 <= bar_mm <= _PRINTED[1] * 100:
        raise ScaleError(
            f"The 100 mm bar cannot be {bar_mm:g} mm long", mend="Measure the bar again, in millimetres."
        )
    sheet = find_sheet(photo_srgb8)
    light = read_sheet_light(photo_srgb8, sheet)
    left, top, right, bottom = sheet.layout.window_mm
    origin = (left + _INSET_MM, top + _INSET_MM)
    wide, high = right - left - 2 * _INSET_MM, bottom - top - 2 * _INSET_MM
    stretch = bar_mm / 100
    own_ppi = sqrt(prod(sheet.plane.pixels_per_unit(((left + right) / 2, (top + bottom) / 2))))
    own_ppi *= _MM_PER_IN / stretch
    if own_ppi < 40:
        raise SheetError(
            f"The sheet is seen at {own_ppi:.0f} pixels per inch", mend="Photograph it from nearer."
        )
    ppi = float(floor(min(own_ppi, most_ppi)))
    per_mm = ppi * stretch / _MM_PER_IN
    stored = sample_plane(
        photo_srgb8 if light16 is None else light16,
        sheet.plane,
        origin=origin,
        per_unit=per_mm,
        width_px=floor(wide * per_mm),
        height_px=floor(high * per_mm),
    )
    return SheetView(
        cloth_lin=light.cloth_light(stored, origin_mm=origin, per_mm=per_mm),
        ppi=ppi,
        uncertainty=sheet.uncertainty if bar_mm == 100.0 else max(sheet.uncertainty, 0.003),
        sheet=sheet,
        light=light,
        stored_clipped=clipped_share(stored, ppi=ppi),
        origin_mm=origin,
        per_mm=per_mm,
    )
