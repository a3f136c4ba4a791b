"""What of each patch shows: its outline less the appliqué that lies on it."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from blocks.values import Draft, Patch

__all__ = ["Rings", "visible_rings"]

Rings = tuple[NDArray[np.float64], ...]
"""Closed boundaries in block inches, (n, 2) each: outer ones clockwise as seen, holes the other way."""


def visible_rings(draft: Draft) -> tuple[Rings, ...]:
    """The boundaries of what shows of each patch, in the order of `draft.patches`; empty where hidden.

    True cutting, not blending layer over layer: where a leaf's edge falls on a seam, pixels belong to
    three patches, and only their true areas mix to the right colour there.
    """
    shapes = [shapely.Polygon([(float(x), float(y)) for x, y in patch.outline]) for patch in draft.patches]
    upper = [i for i, patch in enumerate(draft.patches) if patch.is_applique()]
    for i in upper:
        # A self-touching outline becomes the parts it encloses.
        shapes[i] = shapes[i] if shapes[i].is_valid else shapely.make_valid(shapes[i])
    tree = shapely.STRtree([shapes[i] for i in upper])
    rings = []
    for patch, shape in zip(draft.patches, shapes, strict=True):
        near = [upper[hit] for hit in tree.query(shape)] if upper else []
        above = [shapes[i] for i in near if _lies_over(draft.patches[i], patch)]
        seen = shapely.difference(shape, shapely.union_all(above)) if above else shape
        rings.append(_to_rings(seen))
    return tuple(rings)


def _lies_over(upper: Patch, lower: Patch) -> bool:
    return (upper.layer, upper.number) > (lower.layer, lower.number)


def _to_rings(shape: shapely.Geometry) -> Rings:
    rings: list[NDArray[np.float64]] = []
    # Twice: a collection may hold multipolygons beside stray lines and points.
    for part in shapely.get_parts(shapely.get_parts(shape)):
        if part.geom_type == "Polygon" and not part.is_empty:
            rings.append(_directed(part.exterior, clockwise=True))
            rings.extend(_directed(hole, clockwise=False) for hole in part.interiors)
    return tuple(rings)


def _directed(ring: shapely.LinearRing, *, clockwise: bool) -> NDArray[np.float64]:
    points = shapely.get_coordinates(ring)[:-1]
    x, y = points[:, 0], points[:, 1]
    # The shoelace sum is positive for a clockwise ring when y runs down.
    is_clockwise = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0
    return np.ascontiguousarray(points if is_clockwise == clockwise else points[::-1])
