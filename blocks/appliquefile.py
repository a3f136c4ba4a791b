"""The appliqué of a block file: one table a shape, read with every fault in it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any, cast

from shapely.geometry import Polygon
from shapely.validation import explain_validity

from blocks.copies import Applique, Grain
from blocks.curves import CurveError, ExactPoint, Stroke, flatten
from blocks.faults import Fault, FaultsError
from blocks.fields import Fields
from blocks.lengths import LengthError, parse_inches
from blocks.paths import PathError, parse_path
from blocks.polygons import area
from blocks.repeats import ONCE, Repeat
from blocks.shapes import Circle, Outline, Pointed
from blocks.stems import FOLDS, Fold, Stem, stem_faults
from blocks.strips import overlaps_itself

__all__ = ["applique_faults", "parse_applique"]

_SHAPES = ("stem", "leaf", "petal", "circle", "outline")
_GRAINS = ("with the shape", "with the block")
_COMMON = ("name", "shape", "cloth", "turn_under", "grain", "reading", "repeat")
_MOST_TURNS = 72
_MOST_DEG = 360
_SMALLEST_IN2 = 0.001

_PLACE = 'Write a place as "6, 4 1/2": inches across, a comma, inches down.'
_WIDE = 'Write the finished width, such as width = "1/4".'
_UNIT = 'Write what one unit of the path stands for, such as unit = "1 mm"; without it it is in inches.'
_TUCK = 'Write how far it goes under, such as "1/4", or leave it out where that end is turned under.'


def parse_applique(table: Mapping[str, Any], *, where: str) -> Applique:
    """The shape that a table describes.

    Raises: FaultsError with every fault of the table.
    """
    faults, item = applique_faults(table, where=where)
    if item is None:
        raise FaultsError(faults)
    return item


def applique_faults(table: Mapping[str, Any], *, where: str) -> tuple[tuple[Fault, ...], Applique | None]:
    """Every fault of a table, and the shape it describes where there is none."""
    fields = Fields(table, where=where, faults=[])
    name = fields.text("name", mend='Give the shape a name, such as name = "left stem".')
    kind = fields.word("shape", _SHAPES)
    cloth = fields.text("cloth", mend='Name the cloth by its role, such as cloth = "stem".')
    mend = 'Write the allowance to turn under, such as turn_under = "3/16".'
    turn_under_in = fields.length("turn_under", mend=mend, default=Fraction(3, 16))
    grain = fields.word("grain", _GRAINS, default=_GRAINS[0])
    reads = fields.word("reading", ("wanted", "not wanted"), default="wanted") == "wanted"
    repeat = _read_repeat(fields)
    if any(fault.field == "shape" for fault in fields.faults):
        return tuple(fields.faults), None
    known, shape = _read_shape(fields, kind)
    fields.finish((*_COMMON, *known))
    if fields.faults or shape is None:
        return tuple(fields.faults), None
    item = Applique(name, cloth, shape, repeat, turn_under_in, cast(Grain, grain), reads, where)
    faults = _shape_faults(shape, where)
    return faults, None if faults else item


def _read_shape(
    fields: Fields, kind: str
) -> tuple[tuple[str, ...], Stem | Pointed | Circle | Outline | None]:
    """The fields that the kind of shape knows, and the shape if it could be read."""
    if kind == "stem":
        return _read_stem(fields)
    if kind == "outline":
        stroke = _read_path(fields, mend='Write path = "M 4 4 C 4 2 7 2 7 4 Z", closed by Z.')
        return ("path", "unit"), None if stroke is None else _closed(fields, stroke)
    at = _point(fields, "at")
    if kind == "circle":
        return ("at", "across"), Circle(at, fields.length("across", mend='Write across = "3/4".'))
    length_in = fields.length("length", mend='Write the finished length, such as length = "2".')
    width_in = fields.length("width", mend=_WIDE)
    turn_deg = _degrees(fields, "turn")
    tuck_in = fields.length("base_tuck", mend=_TUCK, default=Fraction(0))
    if tuck_in >= length_in:
        fields.fault("base_tuck", "is as long as the shape itself", "Make it shorter than the shape.")
    known = ("at", "length", "width", "turn", "base_tuck")
    return known, Pointed("leaf" if kind == "leaf" else "petal", at, length_in, width_in, turn_deg, tuck_in)


def _read_stem(fields: Fields) -> tuple[tuple[str, ...], Stem | None]:
    width_in = fields.length("width", mend=_WIDE)
    start_in = fields.length("start_tuck", mend=_TUCK, default=Fraction(0))
    end_in = fields.length("end_tuck", mend=_TUCK, default=Fraction(0))
    fold = fields.word("fold", tuple(FOLDS), default="two edges to the middle")
    stroke = _read_path(fields, mend='Write its centre line: path = "M 2 10 C 2 7 5 6 6 3".')
    known = ("path", "unit", "width", "start_tuck", "end_tuck", "fold")
    stem = None if stroke is None else Stem(stroke, width_in, start_in, end_in, cast(Fold, fold))
    return known, stem


def _read_path(fields: Fields, *, mend: str) -> Stroke | None:
    """The one stroke of a path, none after a fault."""
    text = fields.text("path", mend=mend)
    unit_in = fields.length("unit", mend=_UNIT, default=Fraction(1))
    if not text:
        return None
    try:
        strokes = parse_path(text, unit_in=unit_in)
        flatten(strokes[0])
    except PathError as error:
        fields.fault("path", str(error), error.mend)
        return None
    except CurveError as error:
        fields.fault("path", str(error).rstrip("."), error.mend)
        return None
    if len(strokes) > 1:
        fields.fault(
            "path", f"it draws {len(strokes)} separate lines", "Write one M only; make a shape of each."
        )
        return None
    return strokes[0]


def _closed(fields: Fields, stroke: Stroke) -> Outline | None:
    points = flatten(stroke)
    if not stroke.closed and points[0] != points[-1]:
        fields.fault("path", "the outline is open", "End the path with Z.")
        return None
    points = points if stroke.closed else points[:-1]
    if len(points) < 3:
        fields.fault("path", "the outline has no area", "Draw at least three corners, or a curve.")
        return None
    return Outline(points if area(points) > 0 else points[::-1])


def _shape_faults(shape: Stem | Pointed | Circle | Outline, where: str) -> tuple[Fault, ...]:
    """What keeps a shape that could be read from being cut and sewn."""
    if isinstance(shape, Stem):
        faults = stem_faults(shape, where=where)
        if not faults and overlaps_itself(shape):
            mend = "Write it as two stems, one over the other, or draw the turns further apart."
            faults = (Fault(where, "path", "the stem crosses or touches itself", mend),)
        return faults
    if isinstance(shape, Outline):
        polygon = Polygon([(float(x), float(y)) for x, y in shape.points])
        if polygon.convex_hull.area < _SMALLEST_IN2:
            return (Fault(where, "path", "the outline has no area", "Draw it larger than a thread."),)
        if not polygon.is_valid:
            told = explain_validity(polygon).partition("[")[2].rstrip("]")
            spot = ", ".join(f"{float(number):.2f}" for number in told.split()[:2])
            mend = "Draw it so that it does not cross or touch itself, or write it as two shapes."
            return (Fault(where, "path", f"the outline crosses or touches itself near {spot}", mend),)
    return ()


def _read_repeat(fields: Fields) -> Repeat:
    table = fields.take("repeat", dict, mend='Write repeat = { turns = 4, about = "6, 6" }.', default={})
    if not table:
        return ONCE
    inner = Fields(table, where=fields.where, faults=[])
    mend = f"Write turns = 4, or another whole number from 1 to {_MOST_TURNS}."
    turns = inner.take("turns", int, mend=mend, default=1)
    if not 1 <= turns <= _MOST_TURNS:
        inner.fault("turns", f"{turns} copies cannot be made", mend)
        turns = 1
    about = _point(inner, "about") if inner.has("about") else None
    mirrored = inner.take("mirrored", bool, mend="Write mirrored = true, or leave it out.", default=False)
    inner.finish(("turns", "about", "mirrored"))
    fields.faults += [replace(fault, field=f"repeat.{fault.field}") for fault in inner.faults]
    return Repeat(turns, about, mirrored)


def _point(fields: Fields, field: str) -> ExactPoint:
    parts = fields.text(field, mend=_PLACE).split(",")
    if len(parts) != 2:
        if parts != [""]:
            fields.fault(field, f'"{",".join(parts)}" is not a place in the block', _PLACE)
        return Fraction(0), Fraction(0)
    try:
        return parse_inches(parts[0]), parse_inches(parts[1])
    except LengthError as error:
        fields.fault(field, str(error).rstrip("."), _PLACE)
    return Fraction(0), Fraction(0)


def _degrees(fields: Fields, field: str) -> Fraction:
    mend = f"Write {field} = 45, or another number of degrees from -{_MOST_DEG} to {_MOST_DEG}, clockwise."
    found = fields.take(field, (int, float), mend=mend, default=0)
    if not -_MOST_DEG <= found <= _MOST_DEG:
        fields.fault(field, f"{found!r} is not a turn", mend)
        return Fraction(0)
    return Fraction(str(found))
