"""Where on the cloth a point of the block lies: block point -> cut-piece point -> cloth point."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion
from blocks.values import Bend, Patch

__all__ = ["affine_of", "along_bend", "cloth_points", "piece_points"]

_Floats = NDArray[np.float64]

_FINE_IN = 1 / 64
"""Spacing to which a centre line is refined; with directions interpolated between, the map is smooth."""
_STEPS = 4
"""Newton steps along the centre line. Each squares the error, and a start within half a strip's width of
a curve that a strip can follow is close enough for four to reach rounding."""


def cloth_points(patch: Patch, place: Motion, points_in: _Floats) -> _Floats:
    """The cloth points, in inches on the bolt, under (n, 2) block points of a patch."""
    if isinstance(patch.to_piece, Bend):
        return _move(place, piece_points(patch, points_in))
    return _move(place.after(patch.to_piece), points_in)


def piece_points(patch: Patch, points_in: _Floats) -> _Floats:
    """The points of the cut piece under (n, 2) block points of a patch, in inches."""
    if isinstance(patch.to_piece, Bend):
        return along_bend(patch.to_piece, points_in)
    return _move(patch.to_piece, points_in)


def affine_of(patch: Patch, place: Motion) -> Motion | None:
    """The one motion from block to cloth, or None for a bent strip."""
    return None if isinstance(patch.to_piece, Bend) else place.after(patch.to_piece)


def _move(motion: Motion, points_in: _Floats) -> _Floats:
    c, s = float(motion.cos), float(motion.sin)
    x, y = points_in[:, 0], points_in[:, 1]
    return np.column_stack([c * x - s * y + float(motion.dx_in), s * x + c * y + float(motion.dy_in)])


def along_bend(bend: Bend, points_in: _Floats) -> _Floats:
    """Strip points under (n, 2) block points: distance along the strip, and across it from its left edge.

    The foot of each point on the centre line is found where the line's direction, interpolated along it,
    is square to the point: no folds at the corners of the flattened curve. Beyond the ends the strip
    runs straight on.
    """
    centre, at = _refined(np.array(bend.centre, dtype=np.float64))
    step = np.gradient(centre, at, axis=0)
    heading = step / np.hypot(step[:, 0], step[:, 1])[:, None]
    along = _nearest(centre, at, points_in)
    for _ in range(_STEPS):
        foot, ahead = _interpolate(at, centre, along), _interpolate(at, heading, along)
        off = points_in - foot
        bend_rate = _interpolate(at, np.gradient(heading, at, axis=0), along)
        # Newton on (point - foot) . heading = 0: the slope is 1 less the curvature times the offset.
        slope = np.maximum(np.sum(ahead * ahead, axis=1) - np.sum(off * bend_rate, axis=1), 0.25)
        along = np.clip(along + np.sum(off * ahead, axis=1) / slope, 0.0, at[-1])
    foot, ahead = _interpolate(at, centre, along), _interpolate(at, heading, along)
    ahead /= np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    off = points_in - foot
    along = along + np.sum(off * ahead, axis=1)
    # To the right of the heading, with y running down: the heading turned a quarter clockwise.
    across = off[:, 1] * ahead[:, 0] - off[:, 0] * ahead[:, 1]
    return np.column_stack([bend.start_in + along, bend.middle_in + across])


def _interpolate(at: _Floats, rows: _Floats, along: _Floats) -> _Floats:
    return np.column_stack([np.interp(along, at, rows[:, 0]), np.interp(along, at, rows[:, 1])])


def _refined(centre: _Floats) -> tuple[_Floats, _Floats]:
    """The centre line rounded by a cubic through its points, finely spaced; and the distance along it."""
    kept = np.append(True, np.any(np.diff(centre, axis=0) != 0, axis=1))
    centre = centre[kept]
    gaps = np.hypot(*np.diff(centre, axis=0).T)
    at = np.append(0.0, np.cumsum(gaps))
    slope = np.gradient(centre, at, axis=0, edge_order=2 if len(centre) > 2 else 1)
    fine = np.linspace(0, at[-1], int(at[-1] / _FINE_IN) + 2)
    which = np.clip(np.searchsorted(at, fine, side="right") - 1, 0, len(gaps) - 1)
    gap = gaps[which][:, None]
    t = ((fine - at[which]) / gaps[which])[:, None]
    # Cubic Hermite: values and slopes at both ends of each gap.
    line = (
        (2 * t**3 - 3 * t**2 + 1) * centre[which]
        + (t**3 - 2 * t**2 + t) * gap * slope[which]
        + (3 * t**2 - 2 * t**3) * centre[which + 1]
        + (t**3 - t**2) * gap * slope[which + 1]
    )
    return line, np.append(0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T)))


def _nearest(centre: _Floats, at: _Floats, points_in: _Floats, *, batch: int = 16384) -> _Floats:
    """Distance along the line to the nearest of its points, from every eighth of them: a start for Newton."""
    middle = centre.mean(axis=0)
    coarse, coarse_at = centre[::8] - middle, at[::8]
    best = np.empty(len(points_in))
    for start in range(0, len(points_in), batch):
        part = (points_in[start : start + batch] - middle).astype(np.float32)
        # |p - c|^2 less the part that is the same for every c.
        away = np.sum(coarse**2, axis=1).astype(np.float32) - 2 * (part @ coarse.T.astype(np.float32))
        best[start : start + batch] = coarse_at[np.argmin(away, axis=1)]
    return best
