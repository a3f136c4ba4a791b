"""A setting written out as TOML, such that reading it gives the same setting again."""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction

from blocks.lengths import inches_text, parse_inches
from blocks.setting import Setting
from blocks.steps import Part

__all__ = ["exact_length", "quoted", "setting_lines"]


def setting_lines(name: str, setting: Setting, *, under: str = "") -> list[str]:
    """The lines of a setting file, or of the table `under` of another file."""
    dot = f"{under}." if under else ""
    lines = [f"[{under}]"] if under else []
    lines += [f"name = {quoted(name)}"]
    if setting.on_point:
        lines += ['setting = "on point"', f"triangles = {quoted(setting.triangle_cloth)}"]
    lines += _rows("rows", setting.rows)
    if any(setting.between):
        lines += _rows("between", setting.between)
    sash = setting.sashing
    if sash is not None:
        lines += ["", f"[{dot}sashing]", *_strip(sash.cloth, sash.finished_in)]
        lines += [f"cornerstones = {quoted(sash.cornerstone)}"] if sash.cornerstone else []
        lines += ["around = true"] if sash.around else []
    for border in setting.borders:
        lines += ["", f"[[{dot}border]]", *_strip(border.cloth, border.finished_in)]
        lines += [f"corners = {quoted(border.corners)}"]
    if setting.binding is not None:
        lines += ["", f"[{dot}binding]", *_strip(setting.binding.cloth, setting.binding.finished_in)]
    return lines


def _rows(field: str, rows: tuple[tuple[Part, ...], ...]) -> Iterator[str]:
    yield f"{field} = ["
    for row in rows:
        yield f"  [{', '.join(quoted(_part(part)) for part in row)}],"
    yield "]"


def _part(part: Part) -> str:
    return f"{part.of} turned {90 * part.quarters}" if part.quarters else part.of


def _strip(cloth: str, finished_in: Fraction) -> list[str]:
    return [f"cloth = {quoted(cloth)}", f"finished = {quoted(exact_length(finished_in))}"]


def exact_length(length_in: Fraction) -> str:
    """A length in a form that reads back exactly; off the ruler that is the bare fraction."""
    text = inches_text(length_in)
    return text if parse_inches(text) == length_in else f"{length_in.numerator}/{length_in.denominator}"


def quoted(text: str) -> str:
    """A TOML basic string. JSON escapes the same signs, but for the delete sign, which TOML forbids bare."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
