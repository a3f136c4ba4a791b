"""The one door through which a photograph becomes a swatch."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from swatches.card import MOST_KEPT_PPI, CardError, StraightView, beside_card, cut_view, straight_view
from swatches.card_plane import find_card_plane
from swatches.crop import Crop, CropError, crop_in_px
from swatches.decode import Photo, read_photo
from swatches.keys import content_key
from swatches.resampling import resample
from swatches.scale import (
    CardCorners,
    MeasuredScale,
    Scale,
    TwoPoints,
    TypedPpi,
    scale_from_points,
    scale_from_ppi,
)
from swatches.swatch import WIDTH_OF_FABRIC_IN, Swatch, make_swatch

__all__ = ["swatch_from_photo"]

_NOT_MEASURED = "Colours as the camera gave them, not measured."
# A photograph a little denser than wanted is left alone: resampling would cost more than it saves.
_WORTH_REDUCING = 1.25


def swatch_from_photo(
    path: str | Path,
    *,
    name: str,
    scale: Scale,
    crop: Crop | None = None,
    width_of_fabric_in: Fraction = WIDTH_OF_FABRIC_IN,
    one_way: bool = False,
) -> Swatch:
    """A swatch of the photographed cloth, of which only the photographed part is known.

    Points and crops count in the upright photograph; with a card, the crop counts in the straightened
    picture that straighten_card shows, and without a crop the largest part beside the card is taken.
    A photograph much denser than MOST_KEPT_PPI is averaged down to it.
    Raises: PhotoError, ScaleError, PointError, CardError, CropError or SwatchError, each with its mend.
    """
    photo = read_photo(path)
    if isinstance(scale, CardCorners):
        tile, ppi, scale_note, off = _beside_card(photo, scale, crop)
    else:
        tile, ppi, scale_note, off = _square_on(photo, scale, crop)
    return make_swatch(
        tile,
        key=content_key(tile, ppi=ppi, name=name.strip()),
        name=name,
        ppi=ppi,
        repeats=False,
        scale_note=scale_note,
        colour_note=" ".join((_NOT_MEASURED, *photo.notes)),
        width_of_fabric_in=width_of_fabric_in,
        one_way=one_way,
        scale_off=off,
        colour_from="not measured",
    )


def _square_on(
    photo: Photo, scale: TypedPpi | TwoPoints, crop: Crop | None
) -> tuple[NDArray[np.uint8], float, str, float | None]:
    """The cropped photograph as it is, reduced where it is much denser than anyone can use."""
    rows, columns = photo.srgb8.shape[:2]
    measured = _measured(photo, scale)
    left, top, right, bottom = 0, 0, columns, rows
    if crop is not None:
        left, top, right, bottom = crop_in_px(crop, ppi=measured.ppi, width_px=columns, height_px=rows)
    kept_ppi = measured.ppi
    if kept_ppi > MOST_KEPT_PPI * _WORTH_REDUCING:
        kept_ppi = MOST_KEPT_PPI
    elif crop is None:
        return photo.srgb8, kept_ppi, measured.note, measured.off
    factor = measured.ppi / kept_ppi
    tile = resample(
        photo.srgb8,
        np.array([[factor, 0, left], [0, factor, top], [0, 0, 1]]),
        width_px=int((right - left) / factor),
        height_px=int((bottom - top) / factor),
    )
    return tile, kept_ppi, measured.note, measured.off


def _measured(photo: Photo, scale: TypedPpi | TwoPoints) -> MeasuredScale:
    rows, columns = photo.srgb8.shape[:2]
    if isinstance(scale, TwoPoints):
        return scale_from_points(scale, width_px=columns, height_px=rows)
    measured = scale_from_ppi(scale.ppi)
    if photo.ppi_hint is not None and abs(photo.ppi_hint / measured.ppi - 1) > 0.01:
        return MeasuredScale(measured.ppi, f"{measured.note} {photo.density_note}")
    return measured


def _beside_card(
    photo: Photo, scale: CardCorners, crop: Crop | None
) -> tuple[NDArray[np.uint8], float, str, float | None]:
    rows, columns = photo.srgb8.shape[:2]
    plane = find_card_plane(scale.corners_px, width_px=columns, height_px=rows)
    view = straight_view(plane)
    note = plane.note
    if crop is None:
        box = beside_card(view)
        note += " No crop was given: the largest part beside the card was taken."
        if min(box[2] - box[0], box[3] - box[1]) < view.ppi:
            raise CardError(
                "Less than an inch of cloth is seen beside the card",
                mend="Show more cloth beside the card, or give a crop.",
            )
    else:
        box = crop_in_px(crop, ppi=view.ppi, width_px=view.width_px, height_px=view.height_px)
        _check_clear_of_card(view, box)
    return cut_view(photo.srgb8, view, box_px=box), view.ppi, note, plane.uncertainty


def _check_clear_of_card(view: StraightView, box: tuple[int, int, int, int]) -> None:
    left, top, right, bottom = view.card_px
    # A crop may graze the card by a twentieth of an inch: edges are never marked better than that.
    graze = view.ppi / 20
    if box[0] < right - graze and box[2] > left + graze and box[1] < bottom - graze and box[3] > top + graze:
        raise CropError(
            "The crop reaches over the card, which lies from "
            f"({left:.0f}, {top:.0f}) to ({right:.0f}, {bottom:.0f}) in the straightened picture",
            mend="Move the crop to cloth that the card does not cover.",
        )
