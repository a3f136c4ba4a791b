"""Which painted shapes of a drawing are patches, what role each has, and which of them lie on top."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import hypot
from typing import Literal

from shapely import STRtree

from blocks.curves import CurveError, ExactPoint, Stroke, flatten
from blocks.faults import Fault, FaultsError
from blocks.misfits import region_of, thick_parts
from blocks.svg_drawing import Drawn

__all__ = ["DrawnPatch", "RoleFrom", "patches_of", "split_layers"]

RoleFrom = Literal["names", "fills"]

_LONGEST_NAME = 80
_MOST_POINTS = 60_000
_MOST_PATCHES = 2_000
_SPECK_IN2 = 1e-6


@dataclass(frozen=True, slots=True)
class DrawnPatch:
    """One closed outline of a drawing, in inches as drawn."""

    where: str
    role: str
    outline: tuple[ExactPoint, ...]

    def __str__(self) -> str:
        return f"{self.role} ({self.where})"


def patches_of(
    shapes: Sequence[Drawn], *, roles_from: RoleFrom, tolerance_in: Fraction
) -> tuple[DrawnPatch, ...]:
    """The patches of a drawing in the order of painting.

    Where anything is filled, only filled shapes are patches; in a line drawing every shape with a line is.
    Raises: FaultsError with every shape that ought to be a patch and cannot.
    """
    some_filled = any(shape.fill != "none" for shape in shapes)
    faults: list[Fault] = []
    patches: list[DrawnPatch] = []
    points = 0
    for shape in shapes:
        if shape.fill == "none" if some_filled else not shape.has_line:
            continue
        outlines = list(_outlines(shape, float(tolerance_in), faults))
        points += sum(map(len, outlines))
        if points > _MOST_POINTS or len(patches) + len(outlines) > _MOST_PATCHES:
            message = f"the drawing has more than {_MOST_PATCHES:,} patches or {_MOST_POINTS:,} points"
            faults.append(Fault(shape.where, "", message, "Draw one block, with simpler curves."))
            break
        role = _role(shape, roles_from, faults)
        patches += [DrawnPatch(shape.where, role, outline) for outline in outlines]
    if not patches and not faults:
        message = "has no closed shapes; lines, text and pictures are not patches"
        faults.append(Fault("the drawing", "", message, "Draw each patch as a closed, filled shape."))
    if faults:
        raise FaultsError(faults)
    return tuple(patches)


def _role(shape: Drawn, roles_from: RoleFrom, faults: list[Fault]) -> str:
    """The maker's own name for a shape, or its fill: shapes of one fill are of one cloth."""
    fill = f"fill {shape.fill.removeprefix('paint ')}" if shape.fill != "none" else ""
    names = (shape.name, fill) if roles_from == "names" else (fill, shape.name)
    role = next(filter(None, (*names, shape.group)), "fill none")
    if len(role) > _LONGEST_NAME:
        message = f"its name has {len(role)} signs"
        faults.append(Fault(shape.where, "", message, f"Give it a name of at most {_LONGEST_NAME}."))
    return role[:_LONGEST_NAME].strip()


def _outlines(shape: Drawn, tolerance_in: float, faults: list[Fault]) -> Iterable[tuple[ExactPoint, ...]]:
    """The closed outlines of a shape; faults for open ones, and for one inside another."""
    found: list[tuple[ExactPoint, ...]] = []
    for stroke in shape.strokes:
        try:
            outline = _outline(stroke, tolerance_in)
        except CurveError as error:
            faults.append(Fault(shape.where, "", str(error).rstrip("."), error.mend))
            continue
        if outline is None:
            x, y = (float(number) for number in stroke.segments[-1].end)
            message = f"its outline is open at {x:.2f}, {y:.2f} in from the top left"
            faults.append(Fault(shape.where, "", message, "Close the path, or take its fill away."))
        elif len(outline) > 2:
            found.append(outline)
    if _is_nested(found):
        mend = "Break the path apart; draw what lies in the hole as a shape of its own, and on top."
        faults.append(Fault(shape.where, "", "one of its outlines lies inside another", mend))
        return ()
    return found


def _is_nested(outlines: Sequence[Sequence[ExactPoint]]) -> bool:
    regions = [region_of(outline) for outline in outlines]
    tree = STRtree(regions)
    return any(
        region.intersection(regions[hit]).area > _SPECK_IN2
        for i, region in enumerate(regions)
        for hit in tree.query(region, predicate="intersects")
        if hit > i
    )


def _outline(stroke: Stroke, tolerance_in: float) -> tuple[ExactPoint, ...] | None:
    """The corners of a stroke without the last one that closes it; None if it is open."""
    points = flatten(stroke)
    if stroke.closed or len(points) < 3:
        return points
    (px, py), (qx, qy) = points[0], points[-1]
    if hypot(float(qx - px), float(qy - py)) > tolerance_in:
        return None
    return points[:-1]


def split_layers(
    patches: Sequence[DrawnPatch], *, tolerance_in: Fraction
) -> tuple[tuple[DrawnPatch, ...], tuple[DrawnPatch, ...]]:
    """The pieced ground, and the shapes drawn later that lie over it.

    Raises: FaultsError with every patch of the ground that is drawn on top of a shape that lies over it.
    """
    thin_in = float(tolerance_in)
    regions = [region_of(patch.outline) for patch in patches]
    tree = STRtree(regions)
    over: set[int] = set()
    faults: list[Fault] = []
    for i, region in enumerate(regions):
        earlier = sorted(int(hit) for hit in tree.query(region, predicate="intersects") if hit < i)
        earlier.sort(key=over.__contains__)  # the ground first
        beneath = (k for k in earlier if thick_parts(region.intersection(regions[k]), thin_in=thin_in))
        first = next(beneath, None)
        if first in over:
            message = f"it is drawn after {patches[first]}, which lies over it"
            faults.append(Fault(patches[i].where, "", message, "Send the patches of the ground to the back."))
        elif first is not None:
            over.add(i)
    if faults:
        raise FaultsError(faults)
    ground = tuple(patch for i, patch in enumerate(patches) if i not in over)
    return ground, tuple(patches[i] for i in sorted(over))
