"""Flipped corners: squares sewn over the corners of a base along their diagonal and folded outwards.

Laying the square face down is a mirror image, folding it over its seam is another; two mirror images make a
quarter turn, and that is how its print arrives (Motion, never a mirror).
"""

from __future__ import annotations

from fractions import Fraction

from blocks.motion import Motion, Point
from blocks.polygons import cut_away
from blocks.steps import Corner, FlippedCorners
from blocks.units import Batch, BatchPiece, Covered, Leaf, LeafPatch, Unit
from blocks.values import CutRectangle

__all__ = ["flip_corners"]


def flip_corners(step: FlippedCorners, *, base: Unit, seam_in: Fraction) -> Covered:
    """The unit with its corners flipped on; a later corner lies on top of an earlier one."""
    lines = tuple(_seam_line(corner, step) for corner in step.corners)
    patches = []
    for i, corner in enumerate(step.corners):
        outline = _triangle(corner, step)
        for start, end in lines[i + 1 :]:
            outline = cut_away(outline, start, end) if outline else ()
        if outline:
            patches.append(LeafPatch(corner.cloth, outline, ((i, _to_square(corner, step, seam_in)),)))
    pieces = tuple(BatchPiece(corner.cloth, _cut_square(corner, seam_in)) for corner in step.corners)
    corners = Leaf(step.width_in, step.height_in, Batch(step.name, 1, pieces), tuple(patches))
    return Covered(step.width_in, step.height_in, base, lines, corners)


def _cut_square(corner: Corner, seam_in: Fraction) -> CutRectangle:
    side_in = corner.finished_in + 2 * seam_in
    return CutRectangle(side_in, side_in)


def _origin(corner: Corner, step: FlippedCorners) -> tuple[Fraction, Fraction]:
    """The top left of the finished corner square, in the unit."""
    x = Fraction(0) if "left" in corner.at else step.width_in - corner.finished_in
    y = Fraction(0) if "top" in corner.at else step.height_in - corner.finished_in
    return x, y


def _rising(corner: Corner) -> bool:
    """Whether the corner's seam runs from bottom left to top right."""
    return corner.at in ("top left", "bottom right")


def _seam_line(corner: Corner, step: FlippedCorners) -> tuple[Point, Point]:
    """The seam, walked with the base on the right hand."""
    (x, y), f = _origin(corner, step), corner.finished_in
    start, end = ((x, y + f), (x + f, y)) if _rising(corner) else ((x, y), (x + f, y + f))
    tip_x, tip_y = _tip(corner, step)
    tip_on_right = (end[0] - x) * (tip_y - start[1]) - (end[1] - start[1]) * (tip_x - x) > 0
    return (end, start) if tip_on_right else (start, end)


def _tip(corner: Corner, step: FlippedCorners) -> Point:
    """The right-angled corner of the finished triangle: the unit's own corner."""
    return (
        Fraction(0) if "left" in corner.at else step.width_in,
        Fraction(0) if "top" in corner.at else step.height_in,
    )


def _triangle(corner: Corner, step: FlippedCorners) -> tuple[Point, ...]:
    start, end = _seam_line(corner, step)
    return (end, start, _tip(corner, step))


def _to_square(corner: Corner, step: FlippedCorners, seam_in: Fraction) -> Motion:
    """From the unit to the cut square.

    Finished point (x, y) of the corner square of side f: folding back over the seam x + y = f gives
    (f - y, f - x), or (y, x) over the seam x = y; turning the square face up again, left for right,
    gives (f - x', y'). Allowances shift both by the seam.
    """
    (x0, y0), f = _origin(corner, step), corner.finished_in
    one = Fraction(1)
    if _rising(corner):
        return Motion(Fraction(0), -one, seam_in - y0, f + x0 + seam_in)
    return Motion(Fraction(0), one, f + y0 + seam_in, seam_in - x0)
