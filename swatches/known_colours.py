"""The cloth in its own colours, by a chart, a grey card or white paper in the photograph."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin16_of_srgb8
from swatches.chart import ChartColour, fit_chart, patches_to_px, read_chart
from swatches.chart_colours import COLUMNS, ROWS
from swatches.chart_find import Corners, find_chart, from_dark_skin
from swatches.clicks import check_inside
from swatches.decode import Photo
from swatches.faults import Fault
from swatches.grey_curve import gains_from_grey
from swatches.references import Chart, ColourReference, GreyCard, WhitePaper
from swatches.resampling import map_points
from swatches.sheet_view import SheetView
from swatches.swatch import ColourFrom

__all__ = ["Coloured", "coloured", "coloured_in_sheet"]

_SPOT_PX = 7
_DOUBTED = 2.5
"""CIEDE2000. In even light the patches of a sound chart stay within 1.7 of their colours; from here to where
it is refused, cloth in the light beside it comes to 6.8 from its colour, 4.7 at best (benchmarks.chart)."""

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class Coloured:
    """The cloth's light, 1 being a perfect white, and where its colours come from."""

    cloth_lin: NDArray[np.float32]
    colour_from: ColourFrom
    note: str
    faults: tuple[Fault, ...] = ()
    chart_px: Corners | None = None
    """Where the chart lies in the photograph, round from dark skin."""


def coloured(photo: Photo, stored_lin16: NDArray[np.uint16], colour: ColourReference | None) -> Coloured:
    """The straightened cloth, still as the camera stored it, in the colours that the reference gives it.

    Raises: PointError; ChartError.
    """
    if isinstance(colour, Chart):
        corners, how = _chart_corners(photo, colour)
        fitted = fit_chart(read_chart(photo.srgb8, corners), edition=colour.edition)
        note = f"{_chart_note(colour)} They hold where the cloth lies in the same light.{how}"
        return Coloured(fitted.light_of(stored_lin16), "chart", note, _chart_faults(fitted), corners)
    if colour is None:
        light = stored_lin16.astype(np.float32) / np.float32(65535)
        return Coloured(light, "not measured", "Colours as the camera gave them, not measured.")
    check_inside(colour.point_px, width_px=photo.srgb8.shape[1], height_px=photo.srgb8.shape[0])
    curve = gains_from_grey(_spot_lin(photo.srgb8, colour.point_px), reflectance=colour.reflectance)
    light = curve.light_of(stored_lin16)
    if isinstance(colour, GreyCard):
        return Coloured(light, "grey card", "Colours: brought to a grey card in the photograph.")
    assert isinstance(colour, WhitePaper)
    return Coloured(light, "white paper", "Colours: brought to white paper in the photograph.")


def coloured_in_sheet(photo: Photo, view: SheetView, colour: ColourReference | None) -> Coloured:
    """The cloth in the photo sheet's window: by its grey steps, and by a chart if there is one.

    The sheet's light and curve come first, so that the chart is read as if its light were even.
    Raises: PointError; ChartError.
    """
    if not isinstance(colour, Chart):
        note = "Colours: measured against the photo sheet's grey steps and paper."
        if colour is not None:
            note += " They tell more than the one place that was marked, which was not used."
        return Coloured(view.cloth_lin, "grey steps", note)
    corners, how = _chart_corners(photo, colour)
    fitted = fit_chart(_lit_evenly(photo, view, corners), edition=colour.edition)
    light = fitted.light_of(np.round(np.clip(view.cloth_lin, 0, 1) * 65535).astype(np.uint16))
    note = f"{_chart_note(colour)} The photo sheet's paper evened out the light.{how}"
    return Coloured(light, "chart", note, _chart_faults(fitted), corners)


def _chart_corners(photo: Photo, chart: Chart) -> tuple[Corners, str]:
    if chart.corners_px is not None:
        return from_dark_skin(photo.srgb8, chart.corners_px), ""
    how = " The chart was found by itself: look whether its outline is right."
    return find_chart(photo.srgb8).corners_px, how


def _lit_evenly(photo: Photo, view: SheetView, corners: Corners) -> Floats:
    """What the camera stored of the patches, with the sheet's curve and the light on each taken off."""
    stored = np.round(read_chart(photo.srgb8, corners) * 65535).astype(np.uint16)
    middles = np.array([[i % COLUMNS + 0.5, i // COLUMNS + 0.5] for i in range(COLUMNS * ROWS)])
    # Beyond the paper's edge nothing is known of the light: what it is at the edge is the best guess.
    at_mm = view.sheet.plane.to_plane(map_points(patches_to_px(corners), middles))
    at_mm = np.clip(at_mm, 0, view.sheet.layout.paper_mm)
    seen = [
        view.light.cloth_light(patch[None, None], origin_mm=(float(x) - 0.5, float(y) - 0.5), per_mm=1.0)
        for patch, (x, y) in zip(stored, at_mm, strict=True)
    ]
    return np.clip(np.array(seen, dtype=np.float64).reshape(-1, 3), 0, 1)


def _chart_note(chart: Chart) -> str:
    made = "since" if chart.edition == "after 2014" else "before"
    return f"Colours: measured against a 24-patch chart (made {made} November 2014)."


def _chart_faults(fitted: ChartColour) -> tuple[Fault, ...]:
    if fitted.misfit <= _DOUBTED:
        return ()
    return (
        Fault(
            "chart in doubt",
            f"The chart's patches stay {fitted.misfit:.1f} steps of colour difference from their own "
            "colours, where 2 is the most in even light: part of it lies in shadow, or it is faded, soiled "
            "or printed at home.",
            "Lay it flat beside the cloth, in the same even light, and photograph again.",
        ),
    )


def _spot_lin(photo: NDArray[np.uint8], point: tuple[float, float]) -> Floats:
    x, y = int(point[0]), int(point[1])
    part = photo[max(y - _SPOT_PX, 0) : y + _SPOT_PX + 1, max(x - _SPOT_PX, 0) : x + _SPOT_PX + 1]
    light = lin16_of_srgb8()[part].reshape(-1, 3)
    return np.asarray(np.median(light, axis=0) / 65535, dtype=np.float64)
