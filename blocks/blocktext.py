"""A block written out as a block file, such that reading it gives the same block again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise
from typing import Any

from blocks.applique import Applique
from blocks.blockfile import Block, BlockFileError, parse_block
from blocks.curves import Bezier, ExactPoint, Stroke
from blocks.pathtext import length_text, path_text, path_unit
from blocks.repeats import ONCE, Repeat
from blocks.shapes import Circle, Outline, Pointed
from blocks.stems import Stem
from blocks.steps import (
    FlippedCorners,
    LogCabin,
    Made,
    Mirrored,
    Outlined,
    Part,
    Rectangle,
    Shape,
    Step,
    StripSet,
    Triangles,
)

__all__ = ["BlockTextError", "block_text"]

_Field = tuple[str, Any]


class BlockTextError(ValueError):
    """A block that a block file cannot say exactly."""

    def __init__(self, message: str, mend: str) -> None:
        self.mend = mend
        super().__init__(message)


_LOSS = "Write units that are only mirrored as two steps, and names without outer blanks."


class _Raw(str):
    """Text that is TOML already."""

    __slots__ = ()


def block_text(block: Block) -> str:
    """The block as the text of a block file; `parse_block` of it equals the block.

    Raises: BlockTextError for the rare block that cannot be written without loss.
    """
    text = "\n".join(_lines(block))
    try:
        same = parse_block(text) == block
    except BlockFileError as error:
        fault = error.faults[0]
        raise BlockTextError(f"{block.name!r} cannot be written: {fault}", fault.mend) from error
    if not same:
        raise BlockTextError(f"{block.name!r} cannot be written without loss.", _LOSS)
    return text


def _lines(block: Block) -> Iterator[str]:
    top: list[_Field] = [("name", block.name), ("finished", _size(block))]
    top += [("about", block.about)] if block.about else []
    top += [("difficulty", block.difficulty)]
    top += [("also", block.also)] if block.also else []
    yield from _fields(top)
    yield from ("", "[roles]")
    yield from _fields([(_key(role), purpose) for role, purpose in block.roles])
    for step in block.steps:
        yield from ("", "[[step]]")
        yield from _fields([("name", step.name), *_step(step)])
    for item in block.applique:
        yield from ("", "[[applique]]")
        yield from _fields(_applique(item))
    for one, other, reads in block.wanted:
        yield from ("", "[[reading]]")
        yield from _fields([("roles", (one, other)), ("wanted", reads)])
    yield ""


def _fields(fields: Iterable[_Field]) -> Iterator[str]:
    for key, value in fields:
        yield f"{key} = {_value(value)}"


def _value(value: Any) -> str:
    """A value in TOML; lists of tables and of lists take a line for each item."""
    if isinstance(value, _Raw):
        return value
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{key} = {_value(inner)}" for key, inner in value.items()) + " }"
    if any(isinstance(item, dict | tuple) for item in value):
        return "\n".join(["[", *(f"  {_value(item)}," for item in value), "]"])
    return f"[{', '.join(map(_value, value))}]"


def _quoted(text: str) -> str:
    """A text as a TOML basic string. Source: TOML 1.0.0, section String."""
    signs = []
    for sign in text:
        if sign in '"\\':
            signs.append(f"\\{sign}")
        elif sign < " " or sign == "\x7f":
            signs.append(f"\\u{ord(sign):04x}")
        else:
            signs.append(sign)
    return f'"{"".join(signs)}"'


def _key(role: str) -> str:
    return role if role.isascii() and role.replace("-", "").replace("_", "").isalnum() else _quoted(role)


def _size(sized: Block | Rectangle | FlippedCorners | Triangles | Outlined) -> str:
    """Finished width and height, the width alone of a square."""
    if isinstance(sized, Block):
        return _sides(sized.finished_width_in, sized.finished_height_in)
    return _sides(sized.width_in, sized.height_in)


def _sides(width_in: Fraction, height_in: Fraction) -> str:
    width = length_text(width_in)
    return width if width_in == height_in else f"{width} x {length_text(height_in)}"


def _step(step: Step) -> list[_Field]:
    if isinstance(step, Rectangle):
        kind = "square" if step.width_in == step.height_in else "rectangle"
        return [("make", kind), ("finished", _size(step)), ("cloth", step.cloth)]
    if isinstance(step, FlippedCorners):
        base = ("base", step.base) if step.base else ("cloth", step.cloth)
        corners = [
            {"at": corner.at, "finished": length_text(corner.finished_in), "cloth": corner.cloth}
            for corner in step.corners
        ]
        return [("make", "flipped corners"), ("finished", _size(step)), base, ("corners", corners)]
    if isinstance(step, Triangles):
        fields = [("make", step.kind), ("finished", _size(step)), ("cloths", step.cloths)]
        return [*fields, ("method", step.method)]
    if isinstance(step, StripSet):
        strips = [{"cloth": cloth, "finished": length_text(width_in)} for cloth, width_in in step.strips]
        return [("make", "strip set"), ("segment", length_text(step.segment_in)), ("strips", strips)]
    if isinstance(step, LogCabin):
        return _log_cabin(step)
    if isinstance(step, Outlined):
        return _outlined(step)
    if isinstance(step, Mirrored):
        return [("make", "mirrored"), ("of", step.of)]
    return _made(step)


def _log_cabin(step: LogCabin) -> list[_Field]:
    return [
        ("make", "log cabin"),
        ("centre", _sides(step.centre_width_in, step.centre_height_in)),
        ("cloth", step.centre),
        ("log", length_text(step.log_in)),
        ("logs", step.logs),
        ("order", step.order),
    ]


def _outlined(step: Outlined) -> list[_Field]:
    unit_in = path_unit(shape.outline for shape in step.shapes)
    patches = [_patch(step, shape, unit_in) for shape in step.shapes]
    return [("make", step.kind), ("finished", _size(step)), *_unit(unit_in), ("patches", patches)]


def _patch(step: Outlined, shape: Shape, unit_in: Fraction) -> dict[str, Any]:
    patch: dict[str, Any] = {"cloth": shape.cloth, "path": _path(step.name, shape.outline, unit_in)}
    return patch | ({"grain": _degrees(shape.grain_deg)} if shape.grain_deg else {})


def _path(name: str, stroke: Stroke, unit_in: Fraction) -> str:
    text = path_text(stroke, unit_in=unit_in)
    if text is None:
        mend = "Draw it with numbers of at most twenty decimals."
        raise BlockTextError(f"{name!r} has an outline that cannot be written without loss.", mend)
    return text


def _unit(unit_in: Fraction) -> list[_Field]:
    return [] if unit_in == 1 else [("unit", length_text(unit_in))]


def _made(step: Made) -> list[_Field]:
    if step.kind == "turned":
        part = step.rows[0][0]
        return [("make", "turned"), ("of", part.of), ("by", 90 * part.quarters)]
    if step.kind == "rows":
        return [("make", "rows"), ("of", tuple(tuple(map(_part, row)) for row in step.rows))]
    parts = step.rows[0] if step.kind == "row" else tuple(row[0] for row in step.rows)
    return [("make", step.kind), ("of", tuple(map(_part, parts)))]


def _part(part: Part) -> str:
    return f"{part.of} turned {90 * part.quarters}" if part.quarters else part.of


def _applique(item: Applique) -> list[_Field]:
    kind, fields = _shape(item)
    told: list[_Field] = [("name", item.name), ("shape", kind), ("cloth", item.cloth), *fields]
    if item.repeat != ONCE:
        told.append(("repeat", _repeat(item.repeat)))
    told.append(("turn_under", length_text(item.turn_under_in)))
    if item.grain != "with the shape":
        told.append(("grain", item.grain))
    if not item.reads:
        told.append(("reading", "not wanted"))
    return told


def _shape(item: Applique) -> tuple[str, list[_Field]]:
    shape = item.shape
    if isinstance(shape, Stem):
        unit_in = path_unit([shape.centre])
        fields = [("path", _path(item.name, shape.centre, unit_in)), *_unit(unit_in)]
        tucks = [("start_tuck", shape.start_tuck_in), ("end_tuck", shape.end_tuck_in)]
        fields += [("width", length_text(shape.width_in)), *_tucks(tucks), ("fold", shape.fold)]
        return "stem", fields
    if isinstance(shape, Outline):
        stroke = _closed(shape.points)
        unit_in = path_unit([stroke])
        return "outline", [("path", _path(item.name, stroke, unit_in)), *_unit(unit_in)]
    if isinstance(shape, Circle):
        return "circle", [("at", _place(shape.at)), ("across", length_text(shape.across_in))]
    return shape.kind, _pointed(shape)


def _pointed(shape: Pointed) -> list[_Field]:
    return [
        ("at", _place(shape.at)),
        ("length", length_text(shape.length_in)),
        ("width", length_text(shape.width_in)),
        ("turn", _degrees(shape.turn_deg)),
        *_tucks([("base_tuck", shape.base_tuck_in)]),
    ]


def _tucks(tucks: Iterable[tuple[str, Fraction]]) -> list[_Field]:
    return [(field, length_text(length_in)) for field, length_in in tucks if length_in]


def _closed(points: tuple[ExactPoint, ...]) -> Stroke:
    return Stroke(tuple(Bezier(side) for side in pairwise((*points, points[0]))), closed=True)


def _repeat(repeat: Repeat) -> dict[str, Any]:
    told: dict[str, Any] = {"turns": repeat.turns}
    told |= {"about": _place(repeat.about)} if repeat.about is not None else {}
    return told | ({"mirrored": True} if repeat.mirrored else {})


def _place(at: ExactPoint) -> str:
    return f"{length_text(at[0])}, {length_text(at[1])}"


def _degrees(deg: Fraction) -> int | float:
    return int(deg) if deg.denominator == 1 else float(deg)
