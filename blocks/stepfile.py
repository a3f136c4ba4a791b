"""The steps of a block file, read one table at a time into the steps of `blocks.steps`."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from fractions import Fraction
from typing import Any, cast

from blocks.curves import Stroke
from blocks.faults import Fault
from blocks.fields import Fields
from blocks.paths import PathError, parse_path
from blocks.steps import (
    CORNERS,
    Corner,
    CornerName,
    FlippedCorners,
    LogCabin,
    Made,
    Method,
    Mirrored,
    Outlined,
    Part,
    Rectangle,
    Shape,
    Step,
    StripSet,
    Triangles,
)

__all__ = ["KINDS", "read_part", "read_step"]

_SIZE = 'Write the finished size, such as finished = "4 x 2".'
_CLOTH = 'Name the cloth by its role, such as cloth = "background".'
_CLOTHS = 'Name the cloths by their roles, such as cloths = ["petal", "background"].'
_PARTS = 'List earlier steps, such as of = ["goose", "corner turned 90"].'
_GRAIN = "Write the grain in degrees clockwise from upright, from -360 to 360."
_COMMON = ("name", "make")
_UNIT = 'Write what one unit of the paths stands for, such as unit = "1 mm"; without it they are in inches.'

_METHODS: dict[str, tuple[str, ...]] = {
    "half-square triangle": ("two at a time", "four at a time", "eight at a time"),
    "quarter-square triangle": ("two at a time", "cut twice"),
    "flying geese": ("one at a time", "four from one square"),
    "square in a square": ("cut twice", "flipped corners"),
}


def read_step(
    table: Mapping[str, Any], *, number: int, earlier: Sequence[str], faults: list[Fault]
) -> Step | None:
    """The step a table describes; None (with faults) where not even its kind is known.

    `earlier` names the steps before it; only those may be used as parts.
    """
    name = str(table.get("name", "")).strip()
    fields = Fields(table, where=f"step {number}" + (f" ({name})" if name else ""), faults=faults)
    name = fields.text("name", mend='Give every step a name, such as name = "goose".')
    _check_name(fields, name, earlier)
    count = len(faults)
    kind = fields.word("make", tuple(KINDS))
    if len(faults) > count:
        return None
    known, reader = KINDS[kind]
    step = reader(fields, name, kind, earlier)
    fields.finish((*_COMMON, *known))
    return step


def _check_name(fields: Fields, name: str, earlier: Sequence[str]) -> None:
    if name in earlier:
        fields.fault("name", f'"{name}" is used by an earlier step', "Give every step its own name.")
    if ":" in name or re.search(r" turned \d+$", name):
        fields.fault("name", f'"{name}" looks like a turned unit', 'Leave ":" and "turned 90" out of names.')


def _rectangle(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    width_in, height_in = fields.size("finished", mend=_SIZE)
    if kind == "square" and width_in != height_in:
        fields.fault("finished", "is not square", 'Write make = "rectangle", or one side only.')
    return Rectangle(name, width_in, height_in, fields.text("cloth", mend=_CLOTH))


def _flipped(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    width_in, height_in = fields.size("finished", mend=_SIZE)
    base = cloth = ""
    if fields.has("base"):
        base = _earlier(fields, "base", fields.text("base", mend=_PARTS), earlier)
    else:
        cloth = fields.text("cloth", mend='Name the base: cloth = "petal", or base = "an earlier step".')
    mend = 'Write corners = [{ at = "top left", finished = "2", cloth = "background" }].'
    corners = []
    for i, table in enumerate(fields.tables("corners", mend=mend), start=1):
        inner = Fields(table, where=f"{fields.where}, corner {i}", faults=fields.faults)
        at = inner.word("at", CORNERS)
        side_in = inner.length("finished", mend=mend)
        if side_in > min(width_in, height_in):
            inner.fault("finished", "is larger than the base", "Make the corner no larger than the base.")
            side_in = min(width_in, height_in)
        corners.append(Corner(cast(Any, at), inner.text("cloth", mend=_CLOTH), side_in))
        inner.finish(("at", "finished", "cloth"))
    if len({corner.at for corner in corners}) < len(corners):
        fields.fault("corners", "names one corner twice", "Flip a second square over a new step's base.")
    return FlippedCorners(name, width_in, height_in, cloth, base, tuple(corners))


def _triangles(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    width_in, height_in = fields.size("finished", mend=_SIZE)
    cloths = fields.texts("cloths", mend=_CLOTHS)
    numbers = (2, 4) if kind == "quarter-square triangle" else (2,)
    if len(cloths) not in numbers:
        fields.fault("cloths", f"lists {len(cloths)} cloths", f"List {' or '.join(map(str, numbers))}.")
        cloths = (cloths * 2 + ["?", "?"])[:2]
    methods = _METHODS[kind]
    usual = "cut twice" if len(cloths) == 4 else methods[0]
    method = fields.word("method", methods, default=usual)
    if kind == "quarter-square triangle" and (len(cloths) == 4) != (method == "cut twice"):
        fields.fault("method", f"{method!r} does not go with {len(cloths)} cloths", "Leave the method out.")
        method = usual
    if kind == "flying geese":
        if width_in != 2 * height_in:
            fields.fault("finished", "is not twice as wide as high", 'Write finished = "4 x 2", say.')
            height_in = width_in / 2
        if method == "one at a time":
            return _flip_all(name, width_in, height_in, CORNERS[:2], height_in, cloths)
    elif width_in != height_in:
        fields.fault("finished", "is not square", "Write one side only.")
        height_in = width_in
    if method == "flipped corners":
        return _flip_all(name, width_in, height_in, CORNERS, width_in / 2, cloths)
    return Triangles(name, cast(Any, kind), width_in, height_in, tuple(cloths), cast(Method, method))


def _flip_all(
    name: str,
    width_in: Fraction,
    height_in: Fraction,
    where: Sequence[CornerName],
    side_in: Fraction,
    cloths: Sequence[str],
) -> Step:
    """The second cloth flipped over corners of the first: a goose, or a square on its point."""
    corners = tuple(Corner(at, cloths[1], side_in) for at in where)
    return FlippedCorners(name, width_in, height_in, cloths[0], "", corners)


def _strip_set(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    segment_in = fields.length("segment", mend='Write the finished length cut across it: segment = "2".')
    mend = 'Write strips = [{ cloth = "petal", finished = "2" }, ...], top strip first.'
    strips = []
    for i, table in enumerate(fields.tables("strips", mend=mend), start=1):
        inner = Fields(table, where=f"{fields.where}, strip {i}", faults=fields.faults)
        strips.append((inner.text("cloth", mend=_CLOTH), inner.length("finished", mend=mend)))
        inner.finish(("cloth", "finished"))
    return StripSet(name, segment_in, tuple(strips))


def _log_cabin(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    width_in, height_in = fields.size("centre", mend='Write the finished centre: centre = "2".')
    cloth = fields.text("cloth", mend=_CLOTH)
    log_in = fields.length("log", mend='Write the finished width of a log: log = "1".')
    logs = fields.texts("logs", mend="List the logs' cloths in sewing order.")
    order = fields.word("order", ("round", "opposite"), default="round")
    return LogCabin(name, width_in, height_in, cloth, log_in, tuple(logs), cast(Any, order))


def _outlined(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    width_in, height_in = fields.size("finished", mend=_SIZE)
    unit_in = fields.length("unit", mend=_UNIT, default=Fraction(1))
    mend = 'Write patches = [{ cloth = "petal", path = "M 0 0 L 3 0 L 0 3 Z" }, ...].'
    shapes = []
    for i, table in enumerate(fields.tables("patches", mend=mend), start=1):
        inner = Fields(table, where=f"{fields.where}, patch {i}", faults=fields.faults)
        grain = inner.take("grain", (int, float), mend=_GRAIN, default=0)
        if not -360 <= grain <= 360:
            inner.fault("grain", f"{grain!r} is not a turn", _GRAIN)
            grain = 0
        cloth = inner.text("cloth", mend=_CLOTH)
        if outline := _outline(inner, unit_in, mend=mend):
            shapes.append(Shape(cloth, outline, Fraction(grain)))
        inner.finish(("cloth", "path", "grain"))
    return Outlined(name, width_in, height_in, tuple(shapes), cast(Any, kind))


def _outline(fields: Fields, unit_in: Fraction, *, mend: str) -> Stroke | None:
    path = fields.text("path", mend=mend)
    if not path:
        return None
    try:
        strokes = parse_path(path, unit_in=unit_in)
    except PathError as error:
        fields.fault("path", str(error).rstrip("."), error.mend)
        return None
    if len(strokes) != 1:
        fields.fault("path", f"draws {len(strokes)} outlines", "Draw one closed outline for each patch.")
        return None
    return strokes[0]


def _made(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    if kind == "turned":
        part = fields.text("of", mend='Name an earlier step: of = "goose".')
        by = fields.take("by", int, mend="Write by = 90, 180 or 270 (clockwise).")
        if by is not None and by not in (90, 180, 270):
            fields.fault("by", f"{by} is no quarter turn", "Write 90, 180 or 270 (clockwise).")
            by = 0
        rows = [[Part(_earlier(fields, "of", part, earlier), (by or 0) // 90)]]
    elif kind == "rows":
        listed = fields.take("of", list, mend='Write rows of steps: of = [["a", "b"], ["c", "d"]].') or []
        if not all(isinstance(row, list) and row for row in listed):
            fields.fault("of", "is not a list of rows", 'Write of = [["a", "b"], ["c", "d"]].')
            listed = [row for row in listed if isinstance(row, list)]
        rows = [[read_part(fields, "of", str(item), earlier) for item in row] for row in listed]
    else:
        parts = [read_part(fields, "of", item, earlier) for item in fields.texts("of", mend=_PARTS)]
        rows = [parts] if kind == "row" else [[part] for part in parts]
    return Made(name, tuple(tuple(row) for row in rows), cast(Any, kind))


def _mirrored(fields: Fields, name: str, kind: str, earlier: Sequence[str]) -> Step:
    part = fields.text("of", mend='Name an earlier step: of = "left petal".')
    return Mirrored(name, _earlier(fields, "of", part, earlier))


def read_part(fields: Fields, field: str, written: str, earlier: Sequence[str] | None) -> Part:
    """A part as written: "goose" or "goose turned 90"; `earlier` names what there is, if known yet."""
    match = re.fullmatch(r"(.+) turned (\d+)", written.strip())
    name, deg = (match[1], int(match[2])) if match else (written.strip(), 0)
    if deg not in (0, 90, 180, 270):
        fields.fault(field, f'"{written}" is no quarter turn', "Turn units by 90, 180 or 270 (clockwise).")
    if earlier is not None:
        _earlier(fields, field, name, earlier)
    return Part(name, deg // 90 % 4)


def _earlier(fields: Fields, field: str, name: str, earlier: Sequence[str]) -> str:
    if name and name not in earlier:
        mend = "Write the step it needs above it."
        fields.fault(field, f'there is no earlier step "{name}"', mend)
    return name


_Reader = Callable[[Fields, str, str, Sequence[str]], Step]
_TRIANGLE_FIELDS = ("finished", "cloths", "method")

KINDS: dict[str, tuple[tuple[str, ...], _Reader]] = {
    "rectangle": (("finished", "cloth"), _rectangle),
    "square": (("finished", "cloth"), _rectangle),
    "flipped corners": (("finished", "cloth", "base", "corners"), _flipped),
    "half-square triangle": (_TRIANGLE_FIELDS, _triangles),
    "quarter-square triangle": (_TRIANGLE_FIELDS, _triangles),
    "flying geese": (_TRIANGLE_FIELDS, _triangles),
    "square in a square": (_TRIANGLE_FIELDS, _triangles),
    "strip set": (("segment", "strips"), _strip_set),
    "log cabin": (("centre", "cloth", "log", "logs", "order"), _log_cabin),
    "template": (("finished", "unit", "patches"), _outlined),
    "foundation": (("finished", "unit", "patches"), _outlined),
    "row": (("of",), _made),
    "column": (("of",), _made),
    "rows": (("of",), _made),
    "turned": (("of", "by"), _made),
    "mirrored": (("of",), _mirrored),
}
"""Every kind of unit: the fields it takes beside name and make, and what reads them."""
