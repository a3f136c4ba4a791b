"""Settings as they are written: a TOML table of rows, sashing, borders and binding."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any, cast

from blocks.blockfile import BlockFileError
from blocks.faults import Fault
from blocks.fields import Fields
from blocks.setting import Binding, Border, Sashing, Setting, SettingError
from blocks.sourcelines import with_line
from blocks.stepfile import read_part
from blocks.steps import Part

__all__ = ["parse_setting", "read_setting", "setting_faults"]

_KNOWN = (
    *("name", "blocks", "setting", "down", "across", "rows", "between"),
    *("triangles", "sashing", "border", "binding"),
)
_ROWS = 'Write rows = [["star", "star turned 90"], ...], or blocks with down and across.'
_CLOTH = 'Name the cloth by its role, such as cloth = "sash".'


def read_setting(path: Path | str) -> tuple[str, Setting]:
    """The name and setting in a file.

    Raises: BlockFileError for an unreadable file and for every fault in it.
    """
    path = Path(path)
    try:
        return parse_setting(path.read_text(encoding="utf-8"), source=path.name)
    except (OSError, UnicodeDecodeError) as error:
        fault = Fault("the file", "", "cannot be read as text", "Check the file's name and place.")
        raise BlockFileError(str(path), [fault]) from error


def parse_setting(text: str, *, source: str = "setting") -> tuple[str, Setting]:
    """The name and setting that a text describes.

    Raises: BlockFileError with every fault, each with its line where it can be told.
    """
    try:
        table = tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as error:
        fault = Fault("the file", "", f"is not TOML: {error}", "Mend the line named; texts stand in quotes.")
        raise BlockFileError(source, [fault]) from error
    faults, name, setting = setting_faults(table)
    if setting is None:
        raise BlockFileError(source, [with_line(fault, text) for fault in faults])
    return name, setting


def setting_faults(table: Mapping[str, Any]) -> tuple[tuple[Fault, ...], str, Setting | None]:
    """Every fault of a table, the quilt's name, and its setting where there is no fault."""
    faults: list[Fault] = []
    fields = Fields(table, where="the setting", faults=faults)
    name = fields.text("name", mend="Name the quilt.", default="quilt")
    on_point = fields.word("setting", ("straight", "on point"), default="straight") == "on point"
    rows, between = _read_rows(fields, on_point=on_point)
    triangles = fields.text("triangles", mend=_CLOTH) if on_point else ""
    setting = Setting(
        rows=rows,
        on_point=on_point,
        between=between,
        triangle_cloth=triangles,
        sashing=_read_sashing(fields),
        borders=_read_borders(fields),
        binding=_read_binding(fields),
    )
    fields.finish(_KNOWN)
    if not faults:
        try:
            setting.check()
        except SettingError as error:
            fields.fault("rows", str(error).rstrip("."), error.mend)
    return tuple(faults), name, None if faults else setting


_Rows = tuple[tuple[Part, ...], ...]


def _read_rows(fields: Fields, *, on_point: bool) -> tuple[_Rows, _Rows]:
    if fields.has("rows"):
        rows = _listed_rows(fields, "rows")
        between = _listed_rows(fields, "between") if fields.has("between") else ()
        return rows, between
    names = fields.texts("blocks", mend=_ROWS)
    down = fields.take("down", int, mend="Write how many rows: down = 3.")
    across = fields.take("across", int, mend="Write how many blocks in a row: across = 3.")
    if not names or down is None or across is None:
        return (), ()
    if down * across > 10_000 or min(down, across) < 1:
        fields.fault("down", f"{down} rows of {across} blocks will not do", "Ask for 1 to 10,000 blocks.")
        return (), ()
    if not on_point:
        return _alternating(fields, names, down, across), ()
    # On point the first block stands at the edge, and the others take turns in between.
    edge, others = names[:1], names[1:] or names
    return _alternating(fields, edge, down, across), _alternating(fields, others, down - 1, across - 1)


def _alternating(fields: Fields, names: Sequence[str], down: int, across: int) -> _Rows:
    """Blocks taking turns along the rows, each row starting one further on."""
    parts = [read_part(fields, "blocks", name, None) for name in names]
    if across < 1:
        return ((),) * down
    return tuple(tuple(parts[(r + c) % len(parts)] for c in range(across)) for r in range(down))


def _listed_rows(fields: Fields, field: str) -> _Rows:
    listed = fields.take(field, list, mend=_ROWS) or []
    if not all(isinstance(row, list) and all(isinstance(item, str) for item in row) for row in listed):
        fields.fault(field, "is not a list of rows of block names", _ROWS)
        return ()
    return tuple(tuple(read_part(fields, field, item, None) for item in row) for row in listed)


def _table(fields: Fields, field: str) -> Fields | None:
    if not fields.has(field):
        return None
    found = fields.take(field, dict, mend=f"Write it as a table: [{field}].")
    return None if found is None else Fields(found, where=field, faults=fields.faults)


def _read_sashing(fields: Fields) -> Sashing | None:
    inner = _table(fields, "sashing")
    if inner is None:
        return None
    sashing = Sashing(
        cloth=inner.text("cloth", mend=_CLOTH),
        finished_in=inner.length("finished", mend='Write its finished width: finished = "2".'),
        cornerstone=inner.text("cornerstones", mend=_CLOTH, default=""),
        around=bool(inner.take("around", bool, mend="Write around = true or false.", default=False)),
    )
    inner.finish(("cloth", "finished", "cornerstones", "around"))
    return sashing


def _read_borders(fields: Fields) -> tuple[Border, ...]:
    if not fields.has("border"):
        return ()
    borders = []
    for number, table in enumerate(fields.tables("border", mend="Write each border as [[border]]."), start=1):
        inner = Fields(table, where=f"border {number}", faults=fields.faults)
        cloth = inner.text("cloth", mend=_CLOTH)
        width_in = inner.length("finished", mend='Write its finished width: finished = "4".')
        corners = inner.word("corners", ("butted", "mitred"), default="butted")
        borders.append(Border(cloth, width_in, cast(Any, corners)))
        inner.finish(("cloth", "finished", "corners"))
    return tuple(borders)


def _read_binding(fields: Fields) -> Binding | None:
    inner = _table(fields, "binding")
    if inner is None:
        return None
    mend = 'Write its finished width: finished = "1/4".'
    binding = Binding(
        inner.text("cloth", mend=_CLOTH), inner.length("finished", mend=mend, default=Fraction(1, 4))
    )
    inner.finish(("cloth", "finished"))
    return binding
