"""A photograph with something known in it becomes a swatch that says how far it can be trusted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from math import sqrt
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from swatches.blur import read_cloth_blur, read_outline_blur
from swatches.card import MOST_KEPT_PPI, CardError, beside_card, check_clear, straight_view
from swatches.card_find import find_card
from swatches.card_plane import CardPlane, find_card_plane
from swatches.chart_aside import CHART_ON_CLOTH, beside_chart
from swatches.clipping import clipped_share
from swatches.cloth_alone import cloth_alone
from swatches.cloth_extent import CLOTH_ENDS, find_cloth
from swatches.crop import Crop, crop_in_px
from swatches.decode import Photo, read_photo
from swatches.density import question_ppi
from swatches.faults import Fault, blur_faults, cloth_faults, light_faults, sheet_faults, tilt_faults
from swatches.finish import Finished, RepeatChoice, finish_cloth
from swatches.keys import content_key, photo_key
from swatches.known_colours import coloured, coloured_in_sheet
from swatches.known_sizes import A4_PAPER, CARD, LETTER_PAPER, KnownSize
from swatches.line_snap import snap_corners
from swatches.paper_find import find_paper, snap_paper
from swatches.references import Card, ColourReference, Paper, PhotoSheet, Reference
from swatches.resampling import map_points, resample_light
from swatches.ruler_scale import RulerTicks, scale_from_ticks
from swatches.scale import (
    CardCorners,
    ShownAcross,
    TwoPoints,
    scale_from_across,
    scale_from_points,
    scale_from_ppi,
)
from swatches.seen_crop import SeenCrop, straight_crop, to_view_px
from swatches.sheet_view import view_sheet
from swatches.swatch import WIDTH_OF_FABRIC_IN, ColourFrom, Swatch, make_swatch

__all__ = ["Measured", "measure_photo"]

_SIZES: dict[str, KnownSize] = {"A4": A4_PAPER, "Letter": LETTER_PAPER}
_MOST_KEPT_PIXELS = 10_000_000
"""A larger piece of cloth is kept at fewer pixels per inch, which bounds memory near 700 MB (ours)."""
_CUT_NOTE = " The cloth ends in the photograph: only what lies inside its edges was used."

Quad = tuple[tuple[float, float], ...]
Light16 = NDArray[np.uint16]
_Straight = tuple[Light16, float, float | None, str, NDArray[np.float64]]
"""Straightened, still as stored; its ppi; how far that may be off and why; the map to the photograph."""


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """A swatch and all that was seen on the way to it."""

    swatch: Swatch
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]
    marks_px: tuple[Quad, ...]
    """What was found in the upright photograph: markers, or the card's corners, for drawing."""
    chart_px: Quad | None
    """The corners of a chart's field of patches in it, round from dark skin."""
    photo: Photo
    finished: Finished


@dataclass(frozen=True, slots=True, eq=False)
class _Cloth:
    """The straightened cloth as light, on its way."""

    cloth_lin: NDArray[np.float32]
    ppi: float
    off: float | None
    scale_note: str
    colour_from: ColourFrom
    colour_note: str
    clipped: float
    faults: tuple[Fault, ...]
    marks_px: tuple[Quad, ...]
    chart_px: Quad | None


def measure_photo(
    path: str | Path,
    *,
    name: str,
    reference: Reference,
    colour: ColourReference | None = None,
    crop: Crop | SeenCrop | None = None,
    repeat: RepeatChoice = "find",
    one_way: bool | None = None,
    width_of_fabric_in: Fraction = WIDTH_OF_FABRIC_IN,
) -> Measured:
    """The swatch, with faults and notes, of cloth photographed beside something known.

    `crop` counts in the straightened picture: the sheet's window, the card's plane, or the photograph;
    one seen in the photograph counts there.
    `colour` is read from the photograph; with the photo sheet a chart improves on its grey steps.
    `one_way`: the maker's own view; otherwise as the picture looks.
    Raises: PhotoError, SheetError, CardError, ScaleError, PointError, ChartError, CropError, SwatchError.
    """
    photo = read_photo(path)
    if isinstance(reference, PhotoSheet):
        cloth = _in_sheet(photo, reference, colour, crop)
    else:
        cloth = _elsewhere(photo, reference, colour, crop)
    finished = finish_cloth(
        cloth.cloth_lin, ppi=cloth.ppi, repeat=repeat, lit_evenly=isinstance(reference, PhotoSheet)
    )
    by_light = () if finished.light is None else light_faults(finished.light)
    faults = (*cloth.faults, *by_light, *cloth_faults(cloth.cloth_lin, ppi=cloth.ppi, clipped=cloth.clipped))
    about = finished.about
    swatch = make_swatch(
        finished.tile_srgb8,
        key=content_key(finished.tile_srgb8, ppi=finished.ppi, name=name.strip()),
        name=name,
        ppi=finished.ppi,
        repeats=finished.wraps,
        scale_note=cloth.scale_note,
        colour_note=" ".join((cloth.colour_note, *photo.notes)),
        width_of_fabric_in=width_of_fabric_in,
        one_way=about.way == "one-way" if one_way is None else one_way,
        kind="solid" if about.word == "plain" else "print",
        scale_off=cloth.off,
        colour_from=cloth.colour_from,
        about=about,
        repeat_in=finished.repeat.steps_in,
        photo=photo_key(path),
    )
    return Measured(swatch, _once(faults), finished.notes, cloth.marks_px, cloth.chart_px, photo, finished)


def _once(faults: tuple[Fault, ...]) -> tuple[Fault, ...]:
    return tuple({fault.name: fault for fault in reversed(faults)}.values())[::-1]


def _in_sheet(
    photo: Photo, sheet: PhotoSheet, colour: ColourReference | None, crop: Crop | SeenCrop | None
) -> _Cloth:
    view = view_sheet(photo.srgb8, bar_mm=sheet.bar_mm, light16=photo.light16)
    found = coloured_in_sheet(photo, view, colour)
    light = found.cloth_lin
    left, top = 0, 0
    if crop is not None:
        high, wide = light.shape[:2]
        cut = straight_crop(crop, to_cloth_px=view.to_cloth_px, width_px=wide, height_px=high)
        left, top, right, bottom = crop_in_px(cut, ppi=view.ppi, width_px=wide, height_px=high)
        light = np.ascontiguousarray(light[top:bottom, left:right])
    chart = None if found.chart_px is None else view.to_cloth_px(found.chart_px) - (left, top)
    printed = "" if sheet.bar_mm == 100.0 else f" Its 100 mm bar measures {sheet.bar_mm:g} mm."
    note = (
        f"Scale: from {len(view.sheet.corners_px)} markers of the photo sheet ({view.sheet.layout.page}), "
        f"good to ±{100 * view.uncertainty:.2f} % if it was printed at true size.{printed} {view.sheet.note}"
    )
    cloth = _Cloth(
        cloth_lin=light,
        ppi=view.ppi,
        off=view.uncertainty,
        scale_note=note.strip(),
        colour_from=found.colour_from,
        colour_note=found.note,
        clipped=view.stored_clipped,
        faults=(*sheet_faults(photo.srgb8, view.sheet, view.light), *found.faults),
        marks_px=tuple(tuple((float(x), float(y)) for x, y in quad) for _, quad in view.sheet.corners_px),
        chart_px=found.chart_px,
    )
    return _clear_of_chart(cloth, chart, cropped=crop is not None)


def _elsewhere(
    photo: Photo, reference: Reference, colour: ColourReference | None, crop: Crop | SeenCrop | None
) -> _Cloth:
    marks: tuple[Quad, ...] = ()
    outline = None
    if isinstance(reference, Card | Paper | CardCorners):
        straight, marks, plane, ends = _beside_thing(photo, reference, crop)
        seen = (*ends, *tilt_faults(plane.tilt_deg))
        outline = read_outline_blur(photo.srgb8, plane)
    else:
        straight, along_deg, ends = _square_on(photo, reference, crop)
        seen = (*ends, *tilt_faults(ruler_deg=along_deg))
    stored, ppi, off, note, to_photo = straight
    found = coloured(photo, stored, colour)
    blurred = blur_faults(outline, None if outline else read_cloth_blur(found.cloth_lin, ppi=ppi))
    cloth = _Cloth(
        cloth_lin=found.cloth_lin,
        ppi=ppi,
        off=off,
        scale_note=note,
        colour_from=found.colour_from,
        colour_note=found.note,
        clipped=clipped_share(stored, ppi=ppi),
        faults=(*seen, *blurred, *found.faults),
        marks_px=marks,
        chart_px=found.chart_px,
    )
    chart = (
        None
        if found.chart_px is None
        else map_points(np.asarray(np.linalg.inv(to_photo), np.float64), np.array(found.chart_px))
    )
    return _clear_of_chart(cloth, chart, cropped=crop is not None)


def _clear_of_chart(cloth: _Cloth, chart: NDArray[np.float64] | None, *, cropped: bool) -> _Cloth:
    """The cloth without the chart that lies on it: the largest piece beside it, unless the maker cropped."""
    if chart is None:
        return cloth
    high, wide = cloth.cloth_lin.shape[:2]
    box = beside_chart(chart.tolist(), width_px=wide, height_px=high)
    if box is None:
        return cloth
    left, top, right, bottom = box
    if cropped or min(right - left, bottom - top) < cloth.ppi:
        return replace(cloth, faults=(*cloth.faults, CHART_ON_CLOTH))
    beside = np.ascontiguousarray(cloth.cloth_lin[top:bottom, left:right])
    note = f"{cloth.colour_note} The largest piece of cloth beside the chart was used."
    return replace(cloth, cloth_lin=beside, colour_note=note)


def _beside_thing(
    photo: Photo, reference: Card | Paper | CardCorners, crop: Crop | SeenCrop | None
) -> tuple[_Straight, tuple[Quad, ...], CardPlane, tuple[Fault, ...]]:
    thing = _SIZES[reference.page] if isinstance(reference, Paper) else CARD
    corners: Quad | None = reference.corners_px
    marked: Literal["by edges", "by hand"] = "by hand"
    how = ""
    if corners is None:
        paper = isinstance(reference, Paper)
        found = find_paper(photo.srgb8, thing=thing) if paper else find_card(photo.srgb8)
        corners, marked = found.corners_px, "by edges"
        how = f" The {thing.called} was found by itself: look whether its outline is right."
    elif not isinstance(reference, CardCorners) and not reference.exact:
        snapped = _at_edges(photo, corners, thing=thing)
        if snapped is not None:
            corners, marked = snapped, "by edges"
            how = " The marked corners were moved to the edges found beside them."
    rows, columns = photo.srgb8.shape[:2]
    plane = find_card_plane(corners, width_px=columns, height_px=rows, thing=thing, marked=marked)
    view = straight_view(plane)
    ends: tuple[Fault, ...] = ()
    if crop is None:
        extent = find_cloth(photo.srgb8, view)
        if extent.box_px is not None:
            how += _CUT_NOTE
        elif extent.ends == "doubtful":
            ends = (CLOTH_ENDS,)
        left, top, right, bottom = extent.box_px or beside_card(view)
        if min(right - left, bottom - top) < view.ppi:
            raise CardError(
                f"Less than an inch of cloth is seen beside the {thing.called}",
                mend="Show more cloth beside it, or give a crop.",
            )
    else:
        wide, high = view.width_px, view.height_px
        cut = straight_crop(crop, to_cloth_px=to_view_px(view), width_px=wide, height_px=high)
        unit = "seen" if isinstance(crop, SeenCrop) else crop.unit
        left, top, right, bottom = crop_in_px(cut, ppi=view.ppi, width_px=wide, height_px=high)
        check_clear(view, (left, top, right, bottom), called=thing.called, unit=unit)
    x, y = view.left_in + left / view.ppi, view.top_in + top / view.ppi
    share = _kept_share(right - left, bottom - top)
    ppi = view.ppi * share
    to_photo = plane.to_photo @ np.array([[1 / ppi, 0, x], [0, 1 / ppi, y], [0, 0, 1]])
    stored = resample_light(
        _finest(photo),
        to_photo,
        width_px=int((right - left) * share),
        height_px=int((bottom - top) * share),
    )
    note = plane.note + how + _kept_note(ppi, share)
    return (stored, ppi, plane.uncertainty, note, to_photo), (tuple(corners),), plane, ends


def _at_edges(photo: Photo, corners: Quad, *, thing: KnownSize) -> Quad | None:
    """The corners where edges cross beside marked ones; None where no edges are plain."""
    if thing is not CARD:
        sheet = snap_paper(photo.srgb8, corners, thing=thing)
        if sheet is not None:
            return tuple((float(x), float(y)) for x, y in sheet)
    snapped = snap_corners(photo.srgb8, corners)
    return snapped.corners_px if snapped.plain else None


def _square_on(
    photo: Photo, reference: Reference, crop: Crop | SeenCrop | None
) -> tuple[_Straight, float | None, tuple[Fault, ...]]:
    rows, columns = photo.srgb8.shape[:2]
    cut = None
    if crop is not None:
        cut = straight_crop(crop, to_cloth_px=lambda at: at, width_px=columns, height_px=rows)
    if isinstance(reference, ShownAcross):
        in_px = cut is not None and cut.unit == "px"
        scale = scale_from_across(
            reference, width_px=float(cut.right - cut.left) if cut and in_px else columns
        )
        note = scale.note
    elif isinstance(reference, TwoPoints):
        scale = scale_from_points(reference, width_px=columns, height_px=rows)
        note = scale.note
    elif isinstance(reference, RulerTicks):
        scale = scale_from_ticks(photo.srgb8, reference)
        note = scale.note
    else:
        assert not isinstance(reference, PhotoSheet | Card | Paper | CardCorners)
        scale = scale_from_ppi(reference.ppi)
        note = f"{scale.note} {question_ppi(reference.ppi)} {photo.density_note}"
    left, top, right, bottom = 0, 0, columns, rows
    ends: tuple[Fault, ...] = ()
    if cut is None:
        box, ends = cloth_alone(photo.srgb8, reference, ppi=scale.ppi)
        if box is not None:
            left, top, right, bottom = box
            note += _CUT_NOTE
    else:
        left, top, right, bottom = crop_in_px(cut, ppi=scale.ppi, width_px=columns, height_px=rows)
    ppi = min(scale.ppi, MOST_KEPT_PPI)
    share = _kept_share((right - left) * ppi / scale.ppi, (bottom - top) * ppi / scale.ppi)
    ppi *= share
    note += _kept_note(ppi, share)
    factor = scale.ppi / ppi
    to_photo = np.array([[factor, 0, left], [0, factor, top], [0, 0, 1]])
    stored = resample_light(
        _finest(photo),
        to_photo,
        width_px=int((right - left) / factor),
        height_px=int((bottom - top) / factor),
    )
    return (stored, ppi, scale.off, " ".join(note.split()), to_photo), scale.tilt_deg, ends


def _kept_share(width_px: float, height_px: float) -> float:
    """How many of its pixels per inch a piece of cloth keeps, as a share."""
    return min(1.0, sqrt(_MOST_KEPT_PIXELS / (width_px * height_px)))


def _kept_note(ppi: float, share: float) -> str:
    return (
        f" So large a piece is kept at {ppi:.0f} pixels per inch: crop it to keep more." if share < 1 else ""
    )


def _finest(photo: Photo) -> NDArray[np.uint8] | NDArray[np.uint16]:
    return photo.srgb8 if photo.light16 is None else photo.light16
