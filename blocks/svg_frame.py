"""The frame of an SVG drawing: which part of its plane the block is, and how large that part finishes.

Source: W3C SVG 2 (2018), sections 8.2 to 8.7.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from blocks.faults import Fault, FaultsError
from blocks.lengths import inches_text
from blocks.svg_shapes import ShapeError, Viewport, inches_of, units_of
from blocks.svg_transforms import Affine, TransformError, moving, scaling
from blocks.svg_tree import Node

__all__ = ["Frame", "frame_of", "viewport_map"]

_SMALLEST_IN, _LARGEST_IN = Fraction(1, 4), Fraction(240)
_SLACK_IN = Fraction(1, 64)
_PARTS = 8
_GRID, _FINEST = 10**6, 10**9
_FIT = 'Fit the page to the drawing, so that the file has a viewBox such as viewBox="0 0 12 12".'


@dataclass(frozen=True, slots=True)
class Frame:
    """The finished size, the map from the drawing's units to inches, and what percentages are of."""

    width_in: Fraction
    height_in: Fraction
    to_inches: Affine
    viewport: Viewport


_Box = tuple[Fraction, Fraction, Fraction, Fraction]


def frame_of(root: Node, *, finished_width_in: Fraction | None) -> Frame:
    """The frame of a whole drawing: its viewBox, or else its width and height, brought to a finished width.

    Without a finished width the drawing's own width counts, where it is a length on paper.
    Raises: FaultsError where the drawing does not say how large it is.
    """
    try:
        left, top, width, height = _box(root) or _own_size(root)
        width_in = _own_width(root) if finished_width_in is None else finished_width_in
    except ShapeError as error:
        raise FaultsError([Fault(f"line {root.line}, svg", error.field, str(error), error.mend)]) from error
    _check_side("width", width_in)
    across = width_in / width
    down = across * _stretch(root, width, height)
    height_in = _height(width_in, down * height)
    _check_side("height", height_in)
    down *= height_in / (down * height)
    try:
        to_inches = scaling(across, down).after(moving(-left, -top))
    except TransformError as error:
        fault = Fault(f"line {root.line}, svg", "viewBox", str(error).rstrip("."), _FIT)
        raise FaultsError([fault]) from error
    return Frame(width_in, height_in, to_inches, Viewport(width, height))


def _check_side(name: str, side_in: Fraction) -> None:
    if not _SMALLEST_IN <= side_in <= _LARGEST_IN:
        message = f"a block cannot finish {inches_text(side_in)} in in {name}"
        mend = f"Give a finished width that makes every side {inches_text(_SMALLEST_IN)} to {_LARGEST_IN} in."
        raise FaultsError([Fault("the drawing", f"finished {name}", message, mend)])


def _box(node: Node) -> _Box | None:
    """The viewBox of an element, none if it has none."""
    written = node.attributes.get("viewBox", "").strip()
    if not written:
        return None
    numbers = [units_of("viewBox", part) for part in re.split(r"[\s,]+", written)]
    if len(numbers) != 4 or numbers[2] <= 0 or numbers[3] <= 0:
        mend = 'Write left, top, width and height: viewBox="0 0 12 12".'
        raise ShapeError("viewBox", f'"{written[:60]}" is not a frame', mend)
    return numbers[0], numbers[1], numbers[2], numbers[3]


def _own_size(root: Node) -> _Box:
    """Width and height in user units, for a drawing without a viewBox."""
    sides = [root.attributes.get(name, "").strip() for name in ("width", "height")]
    if not all(sides) or any(side.endswith("%") for side in sides):
        raise ShapeError("viewBox", "the drawing has neither a viewBox nor a width and height", _FIT)
    width, height = (units_of(name, side) for name, side in zip(("width", "height"), sides, strict=True))
    if width <= 0 or height <= 0:
        raise ShapeError("width", "the drawing has no size", _FIT)
    return Fraction(0), Fraction(0), width, height


def _own_width(root: Node) -> Fraction:
    """The width on paper that the drawing states."""
    written = root.attributes.get("width", "").strip()
    width_in = inches_of("width", written) if written else None
    if width_in is None:
        raise ShapeError(
            "width", "the drawing has no width on paper", "Give the finished width of the block."
        )
    return width_in


def _stretch(root: Node, width: Fraction, height: Fraction) -> Fraction:
    """By how much more the drawing is stretched down than across, which only one setting does."""
    if root.attributes.get("preserveAspectRatio", "").split()[:1] != ["none"]:
        return Fraction(1)
    try:
        _, _, own_width, own_height = _own_size(root)
    except ShapeError:
        return Fraction(1)
    return own_height / own_width * width / height


def _height(width_in: Fraction, height_in: Fraction) -> Fraction:
    """The finished height: a simple part of the width where the drawing is a hair off that."""
    simple_in = (height_in / width_in).limit_denominator(_PARTS) * width_in
    if abs(simple_in - height_in) <= _SLACK_IN:
        return simple_in
    if (height_in * _FINEST).denominator == 1:
        return height_in
    return Fraction(round(height_in * _GRID), _GRID)


def viewport_map(node: Node, outer: Viewport) -> tuple[Affine, Viewport]:
    """How a nested drawing or symbol lies in the one round it, and what its percentages are of.

    It keeps its proportions and lies in the middle of its place, unless it says `none`.
    Raises: ShapeError for sizes that cannot be read.
    """
    x = units_of("x", node.attributes.get("x", "0"), whole=outer.width)
    y = units_of("y", node.attributes.get("y", "0"), whole=outer.height)
    w = units_of("width", node.attributes.get("width", "100%"), whole=outer.width)
    h = units_of("height", node.attributes.get("height", "100%"), whole=outer.height)
    box = _box(node)
    if box is None:
        return moving(x, y), Viewport(w, h)
    left, top, width, height = box
    across, down = w / width, h / height
    align = node.attributes.get("preserveAspectRatio", "xMidYMid").split()
    if align[:1] == ["xMidYMid"] and "slice" not in align:
        across = down = min(across, down)
        x, y = x + (w - across * width) / 2, y + (h - down * height) / 2
    elif align[:1] != ["none"]:
        mend = "Ungroup the nested drawing."
        raise ShapeError("preserveAspectRatio", "only none and xMidYMid are read", mend)
    to_outer = moving(x, y).after(scaling(across, down)).after(moving(-left, -top))
    return to_outer, Viewport(width, height)
