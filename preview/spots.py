"""Where in each patch a number or a mark has most room."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from preview.scene import Scene

__all__ = ["Spot", "regions_of", "spot_in", "spots_of"]


@dataclass(frozen=True, slots=True)
class Spot:
    """The largest circle that fits in what shows of a patch, in inches."""

    x_in: float
    y_in: float
    radius_in: float


def regions_of(scene: Scene, *, owners: NDArray[np.int64] | None = None) -> dict[int, BaseGeometry]:
    """What shows of each patch (of these owners only, if given); hidden ones are left out."""
    wanted = None if owners is None else set(owners.tolist())
    outers: dict[int, list[shapely.Polygon]] = {}
    holes: dict[int, list[shapely.Polygon]] = {}
    for ring, owner in enumerate(scene.ring_owner.tolist()):
        if wanted is not None and owner not in wanted:
            continue
        points = scene.points_in[scene.ring_first[ring] : scene.ring_first[ring + 1]]
        if len(points) < 3:
            continue
        x, y = points.T
        # With y running down, a clockwise ring bounds from outside.
        outside = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) > 0
        (outers if outside else holes).setdefault(owner, []).append(shapely.Polygon(points))
    found: dict[int, BaseGeometry] = {}
    for owner, parts in outers.items():
        whole = shapely.union_all(shapely.make_valid(parts))
        cut = shapely.union_all(shapely.make_valid(holes.get(owner, [])))
        found[owner] = whole.difference(cut)
    return found


def spots_of(scene: Scene, *, owners: NDArray[np.int64] | None = None) -> dict[int, Spot]:
    """The roomiest spot of each patch that shows, by owner."""
    return {owner: spot_in(region) for owner, region in regions_of(scene, owners=owners).items()}


def spot_in(region: BaseGeometry) -> Spot:
    """The largest circle in a region."""
    x, y = shapely.get_coordinates(shapely.point_on_surface(region))[0]
    best = Spot(float(x), float(y), 0.0)
    for part in shapely.get_parts(region):
        if part.area > 0 and part.geom_type == "Polygon":
            line = shapely.maximum_inscribed_circle(part, tolerance=max(1e-6, part.length / 400))
            radius = float(shapely.length(line))
            if radius > best.radius_in:
                x, y = shapely.get_coordinates(line)[0]
                best = Spot(float(x), float(y), radius)
    return best
