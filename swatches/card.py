"""A photograph with a bank-card-size card in it, straightened: true scale, square to the card."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from swatches.card_plane import CARD_LONG_IN, CardError, CardPlane
from swatches.crop import Box, CropError, largest_beside

__all__ = [
    "CLEAR_OF_CARD_IN",
    "MOST_KEPT_PPI",
    "CardError",
    "StraightView",
    "beside_card",
    "check_clear",
    "straight_view",
]

MOST_KEPT_PPI = 360.0
"""Finer than any print or screen shows cloth; a denser photograph is averaged down to this (ours)."""

_CARDS_AWAY = 2
"""Beyond two card lengths a small error at the card's corners has grown too large (measured)."""
CLEAR_OF_CARD_IN = 0.12
"""Room for the card's shadow and for clicks that are a little off."""
_LEAST_DEPTH = 0.2
_LEVELS = 128


@dataclass(frozen=True, slots=True, eq=False)
class StraightView:
    """The part of a card's plane that the photograph shows, as a picture of the stated size would."""

    plane: CardPlane
    left_in: float
    top_in: float
    width_px: int
    height_px: int
    ppi: float

    @property
    def card_px(self) -> tuple[float, float, float, float]:
        """Where the card lies in this picture: left, top, right, bottom."""
        half_x, half_y = self.plane.card_width_in / 2, self.plane.card_height_in / 2
        return (
            (-half_x - self.left_in) * self.ppi,
            (-half_y - self.top_in) * self.ppi,
            (half_x - self.left_in) * self.ppi,
            (half_y - self.top_in) * self.ppi,
        )


def straight_view(plane: CardPlane) -> StraightView:
    """The frame of the straightened picture, before any pixel is computed."""
    ppi = float(floor(min(plane.ppi, MOST_KEPT_PPI)))
    left, top, right, bottom = _largest_upright(_seen_outline(plane))
    width_px, height_px = floor((right - left) * ppi), floor((bottom - top) * ppi)
    if min(width_px, height_px) < 16:
        raise CardError("Hardly any cloth is seen around the card", mend="Show more cloth around the card.")
    return StraightView(plane, left, top, width_px, height_px, ppi)


def beside_card(view: StraightView) -> Box:
    """The largest part of the view, in whole pixels, that is clear of the card on one of its four sides."""
    clear = CLEAR_OF_CARD_IN * view.ppi
    left, top, right, bottom = view.card_px
    return largest_beside(
        (left - clear, top - clear, right + clear, bottom + clear),
        width_px=view.width_px,
        height_px=view.height_px,
    )


def check_clear(
    view: StraightView, box_px: Box, *, called: str, unit: Literal["px", "in", "seen"] = "px"
) -> None:
    """Refuses a part of the view, in whole pixels, that reaches over the thing of known size.

    Raises: CropError, which says in `unit` where that thing lies, unless it is seen in the photograph.
    """
    left, top, right, bottom = view.card_px
    # A crop may graze the card by a twentieth of an inch: edges are never marked better than that.
    graze = view.ppi / 20
    over_x = box_px[0] < right - graze and box_px[2] > left + graze
    over_y = box_px[1] < bottom - graze and box_px[3] > top + graze
    if over_x and over_y and unit == "seen":
        raise CropError(
            f"The marked piece of cloth reaches over the {called}",
            mend=f"Move its corners to cloth that the {called} does not cover.",
        )
    if over_x and over_y:
        each, digits, word = (1.0, 0, "pixels") if unit == "px" else (view.ppi, 2, "inches")
        x, y, across, down = (f"{side / each:.{digits}f}" for side in view.card_px)
        raise CropError(
            f"The crop reaches over the {called}, which lies from ({x}, {y}) to ({across}, {down}) {word} "
            "in the straightened picture",
            mend=f"Move the crop to cloth that the {called} does not cover.",
        )


def _seen_outline(plane: CardPlane) -> NDArray[np.float64]:
    """The convex part of the plane that the photograph shows, clockwise, within reach of the card.

    Every edge of the photograph is a straight line of the plane, so it is a half-plane to clip with; so
    is the line beneath the camera, beyond which the homography turns inside out.
    """
    reach = _CARDS_AWAY * float(CARD_LONG_IN)
    x, y = plane.card_width_in / 2 + reach, plane.card_height_in / 2 + reach
    outline = np.array([(-x, -y), (x, -y), (x, y), (-x, y)], dtype=np.float64)
    across, down, depth = plane.to_photo / plane.to_photo[2, 2]
    photo_edges = (across, down, plane.width_px * depth - across, plane.height_px * depth - down)
    for inside in (depth - (0, 0, _LEAST_DEPTH), *photo_edges):
        outline = _clip(outline, inside)
    return outline


def _clip(outline: NDArray[np.float64], inside: NDArray[np.float64]) -> NDArray[np.float64]:
    """The part of a convex outline where inside . (x, y, 1) is not negative."""
    kept: list[NDArray[np.float64]] = []
    heights = outline @ inside[:2] + inside[2] if len(outline) else np.empty(0)
    for i in range(len(outline)):
        here, there = heights[i - 1], heights[i]
        if (here >= 0) != (there >= 0):
            kept.append(outline[i - 1] + (outline[i] - outline[i - 1]) * (here / (here - there)))
        if there >= 0:
            kept.append(outline[i])
    return np.array(kept).reshape(-1, 2)


def _largest_upright(outline: NDArray[np.float64]) -> tuple[float, float, float, float]:
    """The largest upright rectangle in a convex outline, to about one per cent of its height."""
    ys = np.linspace(outline[:, 1].min(), outline[:, 1].max(), _LEVELS)
    lefts, rights = _spans(outline, ys)
    left = np.maximum(lefts[:, None], lefts[None, :])
    right = np.minimum(rights[:, None], rights[None, :])
    areas = np.clip(right - left, 0, None) * np.clip(ys[None, :] - ys[:, None], 0, None)
    i, j = np.unravel_index(int(np.argmax(areas)), areas.shape)
    return float(left[i, j]), float(ys[i]), float(right[i, j]), float(ys[j])


def _spans(outline: NDArray[np.float64], ys: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:
    """Where each horizontal line enters and leaves a convex outline."""
    lefts, rights = np.full(len(ys), np.inf), np.full(len(ys), -np.inf)
    for start, end in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        low, high = sorted((start[1], end[1]))
        met = (ys >= low - 1e-12) & (ys <= high + 1e-12)
        rise = end[1] - start[1]
        share = (ys[met] - start[1]) / rise if abs(rise) > 1e-12 else np.zeros(int(met.sum()))
        xs = start[0] + np.clip(share, 0, 1) * (end[0] - start[0])
        lefts[met], rights[met] = np.minimum(lefts[met], xs), np.maximum(rights[met], xs)
    return lefts, rights
