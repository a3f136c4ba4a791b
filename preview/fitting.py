"""Moves a piece onto the photographed part of a cloth whose repeat is not known."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion, shift
from blocks.values import CutBias, CutPiece, CutRectangle, Patch
from preview.cloth_maps import piece_points
from swatches.swatch import Swatch

__all__ = ["fit_on_photo"]

_SLACK_IN = 1e-6

_Box = tuple[NDArray[np.float64], NDArray[np.float64]]


def fit_on_photo(place: Motion, *, cloth: Swatch, piece: CutPiece, patch: Patch) -> tuple[Motion, bool]:
    """The place itself where the cloth repeats, else moved so that the patch lies on the photograph.

    The whole cut piece is kept on the photograph if it fits, else what shows of it; pieces from different
    places on the bolt keep to different places as far as there is room. The second value is False if
    even the finished patch is bigger than the photograph; it is then centred on it.
    """
    if cloth.repeats:
        return place, True
    photo = np.array([cloth.width_in, cloth.height_in])
    finished = _box(place, piece_points(patch, _floats(patch.outline)))
    cut = _box(place, _cut_corners(piece))
    moves, fits = [], True
    for axis in (0, 1):
        boxes = [(low[axis], high[axis]) for low, high in (cut, finished)]
        fitting = [box for box in boxes if box[1] - box[0] <= photo[axis] + _SLACK_IN]
        low, high = fitting[0] if fitting else boxes[1]
        room = photo[axis] - (high - low)
        fits = fits and bool(fitting)
        moves.append(_into(low, room) - low if fitting else room / 2 - low)
    if not any(moves):
        return place, fits
    return shift(float(moves[0]), float(moves[1])).after(place), fits


def _into(low: float, room: float) -> float:
    if -_SLACK_IN <= low <= room + _SLACK_IN:
        return low
    return low % room if room > _SLACK_IN else 0.0


def _box(place: Motion, points: NDArray[np.float64]) -> _Box:
    c, s = float(place.cos), float(place.sin)
    x = c * points[:, 0] - s * points[:, 1] + float(place.dx_in)
    y = s * points[:, 0] + c * points[:, 1] + float(place.dy_in)
    return np.array([x.min(), y.min()]), np.array([x.max(), y.max()])


def _cut_corners(piece: CutPiece) -> NDArray[np.float64]:
    shape = piece.shape
    if isinstance(shape, CutRectangle):
        width_in, height_in = float(shape.width_in), float(shape.height_in)
    elif isinstance(shape, CutBias):
        width_in, height_in = shape.length_in, float(shape.width_in)
    else:
        return _floats(shape.outline)
    return np.array([(0.0, 0.0), (width_in, 0.0), (width_in, height_in), (0.0, height_in)])


def _floats(points: tuple[tuple[object, object], ...]) -> NDArray[np.float64]:
    return np.array([(float(x), float(y)) for x, y in points])  # type: ignore[arg-type]
