"""Exact polygon arithmetic on cloth: areas, half-plane cuts and offsets of finished shapes."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from shapely.geometry import JOIN_STYLE, Polygon

from blocks.motion import Number, Point

__all__ = [
    "OutlineError",
    "add_allowance",
    "area",
    "bounds",
    "clockwise",
    "cut_away",
    "rectangle",
]


class OutlineError(ValueError):
    """An outline that cannot be a patch of cloth."""

    mend = "Draw one closed outline that does not cross or touch itself and has some area."


def area(outline: Sequence[Point]) -> Number:
    """Area of a closed outline, square inches, exact for exact corners; positive when clockwise as seen."""
    ahead = (*outline[1:], outline[0])
    return sum((x * v - u * y for (x, y), (u, v) in zip(outline, ahead, strict=True)), Fraction(0)) / 2


def clockwise(outline: Sequence[Point]) -> tuple[Point, ...]:
    """The same outline, its corners clockwise as seen."""
    return tuple(outline) if area(outline) >= 0 else tuple(reversed(outline))


def rectangle(width_in: Number, height_in: Number) -> tuple[Point, ...]:
    """A rectangle from the origin, clockwise as seen."""
    nought = Fraction(0)
    return ((nought, nought), (width_in, nought), (width_in, height_in), (nought, height_in))


def bounds(outline: Sequence[Point]) -> tuple[Number, Number, Number, Number]:
    """Left, top, right and bottom of an outline."""
    xs, ys = [x for x, _ in outline], [y for _, y in outline]
    return min(xs), min(ys), max(xs), max(ys)


def cut_away(outline: Sequence[Point], start: Point, end: Point) -> tuple[Point, ...]:
    """What is left of a convex outline on the right hand of a line walked from start to end.

    Exact for exact corners. Empty if nothing with area is left.
    Source: Sutherland and Hodgman 1974, one clip edge.
    """
    (sx, sy), (ex, ey) = start, end
    sides = [(ex - sx) * (y - sy) - (ey - sy) * (x - sx) for x, y in outline]
    kept: list[Point] = []
    for i, point in enumerate(outline):
        j = (i + 1) % len(outline)
        if sides[i] >= 0:
            kept.append(point)
        if (sides[i] > 0 and sides[j] < 0) or (sides[i] < 0 and sides[j] > 0):
            part = sides[i] / (sides[i] - sides[j])
            (px, py), (qx, qy) = point, outline[j]
            kept.append((px + part * (qx - px), py + part * (qy - py)))
    return tuple(kept) if len(kept) >= 3 and area(kept) > 0 else ()


def add_allowance(outline: Sequence[Point], *, seam_in: Fraction) -> tuple[Point, ...]:
    """The cutting outline of a finished shape: every edge moved out by the seam allowance, corners mitred.

    Tips sharper than about 29 degrees are blunted, as makers trim them. Floats.
    Raises: OutlineError if the outline crosses itself.
    """
    shape = Polygon([(float(x), float(y)) for x, y in outline])
    if not shape.is_valid or shape.area == 0:
        raise OutlineError("The outline crosses itself or has no area.")
    if not seam_in:
        return tuple(outline)
    grown = shape.buffer(float(seam_in), join_style=JOIN_STYLE.mitre, mitre_limit=4.0)
    return clockwise([(float(x), float(y)) for x, y in grown.exterior.coords[:-1]])
