"""The outlines that the basic shapes and paths of an SVG drawing have, before anything moves them.

Source: W3C SVG 2 (2018), chapters 9 and 10; CSS Values and Units Level 3, section 6.2 (lengths).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from blocks.curves import Arc, Bezier, ExactPoint, Segment, Stroke
from blocks.lengths import MM_PER_IN
from blocks.paths import EmptyPathError, FarError, PathError, parse_path
from blocks.svg_tree import Node

__all__ = ["PER_UNIT", "SHAPES", "ShapeError", "Viewport", "inches_of", "strokes_of", "units_of"]

PER_UNIT = 1000
"""Strokes come in thousandths of a user unit: path data are read in inches at most a thousand away, and
drawings in small units go further than that."""

_PX_PER_IN = 96
_UNITS_IN: Mapping[str, Fraction] = {
    "px": Fraction(1, _PX_PER_IN),
    "in": Fraction(1),
    "mm": 1 / MM_PER_IN,
    "cm": 10 / MM_PER_IN,
    "q": 1 / MM_PER_IN / 4,
    "pt": Fraction(1, 72),
    "pc": Fraction(1, 6),
}
_LENGTH = re.compile(r"\s*([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,2})?)\s*([A-Za-z]+|%)?\s*", re.ASCII)
_LONGEST_NUMBER = 32
_THOUSANDTH = Fraction(1, PER_UNIT)
_FURTHEST = 1000 * PER_UNIT
_POINTS = re.compile(r"[\d\s.,+eE-]*", re.ASCII)

_RANGE = f"Redraw it within {_FURTHEST:,} units of the corner."


class ShapeError(ValueError):
    """A shape that cannot be drawn: which attribute, why, and the mend."""

    def __init__(self, field: str, why: str, mend: str) -> None:
        self.field = field
        self.mend = mend
        super().__init__(why)


@dataclass(frozen=True, slots=True)
class Viewport:
    """What percentages are of, in user units."""

    width: Fraction
    height: Fraction


def _split(field: str, text: str) -> tuple[Fraction, str]:
    """A number and its unit in small letters."""
    match = _LENGTH.fullmatch(text) if len(text) <= _LONGEST_NUMBER else None
    if match is None:
        mend = f'Write a number of units, such as {field}="12".'
        raise ShapeError(field, f'"{text[:40]}" is not a length', mend)
    return Fraction(match[1]), (match[2] or "").lower()


def inches_of(field: str, text: str) -> Fraction | None:
    """A length on paper in inches; None for pixels, plain numbers and percentages, which have no size.

    Raises: ShapeError for anything that is not a length.
    """
    number, unit = _split(field, text)
    return number * _UNITS_IN[unit] if unit in _UNITS_IN and unit != "px" else None


def units_of(field: str, text: str, *, whole: Fraction | None = None) -> Fraction:
    """A length in user units, of which 96 are an inch; `whole` is what percentages are of.

    Raises: ShapeError for anything that is not a length, or is too long.
    """
    number, unit = _split(field, text)
    if unit == "%" and whole is not None:
        number = number * whole / 100
    elif unit in _UNITS_IN:
        number = number * _UNITS_IN[unit] * _PX_PER_IN
    elif unit:
        raise ShapeError(field, f'"{text[:40]}" has a unit that is not read here', "Write it in px or mm.")
    if abs(number) > _FURTHEST:
        raise ShapeError(field, f"goes more than {_FURTHEST:,} units away", _RANGE)
    return number


def strokes_of(node: Node, viewport: Viewport) -> tuple[Stroke, ...]:
    """The strokes of a shape element, in thousandths of a unit; none if it draws nothing.

    Raises: ShapeError for attributes that cannot be read.
    """
    return SHAPES[node.tag](node, viewport)


def _path(node: Node, _viewport: Viewport) -> tuple[Stroke, ...]:
    try:
        return parse_path(node.attributes.get("d", ""), unit_in=_THOUSANDTH)
    except EmptyPathError:
        return ()
    except FarError as error:
        raise ShapeError("d", f"the path goes more than {_FURTHEST:,} units away", _RANGE) from error
    except PathError as error:
        raise ShapeError("d", f"path data: {error}", "Draw the shape again, with fewer points.") from error


def _polygon(node: Node, _viewport: Viewport) -> tuple[Stroke, ...]:
    data = node.attributes.get("points", "")
    mend = "Write the points as pairs of numbers."
    if not _POINTS.fullmatch(data):
        raise ShapeError("points", "the points cannot be read", mend)
    try:
        return parse_path(f"M {data} {'Z' if node.tag == 'polygon' else ''}", unit_in=_THOUSANDTH)
    except EmptyPathError:
        return ()
    except FarError as error:
        raise ShapeError("points", f"a point is more than {_FURTHEST:,} units away", _RANGE) from error
    except PathError as error:
        if not data.strip():
            return ()
        raise ShapeError("points", "the points cannot be read", mend) from error


def _rect(node: Node, viewport: Viewport) -> tuple[Stroke, ...]:
    x, y = _length(node, "x", viewport.width), _length(node, "y", viewport.height)
    w, h = _length(node, "width", viewport.width), _length(node, "height", viewport.height)
    if w <= 0 or h <= 0:
        return ()
    rx, ry = _radii(node, viewport)
    rx, ry = min(rx, w / 2), min(ry, h / 2)
    if not rx or not ry:
        return (_ring([(x, y), (x + w, y), (x + w, y + h), (x, y + h)]),)
    corners = (
        ((x + w - rx, y), (x + w, y + ry)),
        ((x + w, y + h - ry), (x + w - rx, y + h)),
        ((x + rx, y + h), (x, y + h - ry)),
        ((x, y + ry), (x + rx, y)),
    )
    segments: list[Segment] = []
    before = corners[-1][1]
    for start, end in corners:
        if start != before:
            segments.append(_line(before, start))
        segments.append(_quarter(start, end, rx, ry))
        before = end
    return (_closed(segments),)


def _ellipse(node: Node, viewport: Viewport) -> tuple[Stroke, ...]:
    cx, cy = _length(node, "cx", viewport.width), _length(node, "cy", viewport.height)
    rx, ry = (_length(node, "r", None),) * 2 if node.tag == "circle" else _radii(node, viewport)
    if rx <= 0 or ry <= 0:
        return ()
    spots = [(cx + rx, cy), (cx, cy + ry), (cx - rx, cy), (cx, cy - ry)]
    return (_closed([_quarter(p, q, rx, ry) for p, q in zip(spots, spots[1:] + spots[:1], strict=True)]),)


def _radii(node: Node, viewport: Viewport) -> tuple[Fraction, Fraction]:
    """rx and ry; where only one is given the other is alike."""
    given = [name for name in ("rx", "ry") if node.attributes.get(name, "auto").strip() != "auto"]
    wholes = {"rx": viewport.width, "ry": viewport.height}
    found = {name: max(_length(node, name, wholes[name]), Fraction(0)) for name in given}
    either = next(iter(found.values()), Fraction(0))
    return found.get("rx", either), found.get("ry", either)


def _length(node: Node, field: str, whole: Fraction | None) -> Fraction:
    return units_of(field, node.attributes.get(field, "0"), whole=whole)


def _line(start: ExactPoint, end: ExactPoint) -> Bezier:
    """A straight side, in thousandths of a unit."""
    return Bezier((_small(start), _small(end)))


def _quarter(start: ExactPoint, end: ExactPoint, rx: Fraction, ry: Fraction) -> Arc:
    radii = (rx / PER_UNIT, ry / PER_UNIT)
    return Arc(_small(start), _small(end), radii, Fraction(0), large=False, clockwise=True)


def _small(point: ExactPoint) -> ExactPoint:
    return point[0] / PER_UNIT, point[1] / PER_UNIT


def _ring(spots: list[ExactPoint]) -> Stroke:
    return _closed([_line(p, q) for p, q in zip(spots, spots[1:] + spots[:1], strict=True)])


def _closed(segments: list[Segment]) -> Stroke:
    return Stroke(tuple(segments), closed=True)


SHAPES = {
    "path": _path,
    "polygon": _polygon,
    "polyline": _polygon,
    "rect": _rect,
    "circle": _ellipse,
    "ellipse": _ellipse,
}
"""What draws each element that can be a patch."""
