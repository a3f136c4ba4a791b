"""The cutting list as rows for spreadsheets and programs: CSV and JSON files, written whole or not at all."""

from __future__ import annotations

import csv
import io
import json
import os
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, fields
from fractions import Fraction
from pathlib import Path

from blocks.lengths import inches_text, to_mm
from blocks.values import Draft
from cutting.cutlist import CutLine
from cutting.listing import Section, gather
from cutting.plan import ClothPlan
from cutting.rules import grid_text, is_metric

__all__ = ["SheetRow", "sheet_rows", "write_csv", "write_json"]


@dataclass(frozen=True, slots=True)
class SheetRow:
    """One line of the cutting list. `unit` says what cut_width and cut_height are in: "in" or "mm"."""

    cloth: str
    cloth_name: str
    letter: str
    role: str
    kind: str
    quantity: int
    cut_width: str
    cut_height: str
    unit: str
    rounded_up: bool
    exact_width_in: float
    exact_height_in: float
    finished: str
    steps: str
    pieces: str


def sheet_rows(
    draft: Draft, plans: Sequence[ClothPlan], *, names: Mapping[str, str] | None = None
) -> tuple[SheetRow, ...]:
    """Every line of the list, in the order and with the letters of the printed one.

    Raises: CountMismatchError if the plans were made for another block.
    """
    sections = gather(draft, plans, names=names)
    return tuple(_row(section, letter, line) for section in sections for letter, line in section.lines)


def write_csv(rows: Sequence[SheetRow], path: Path) -> None:
    """The rows as a CSV file with a heading line, UTF-8.

    Texts that a spreadsheet would take for a formula get an apostrophe in front.
    """
    text = io.StringIO()
    writer = csv.DictWriter(text, [field.name for field in fields(SheetRow)], lineterminator="\r\n")
    writer.writeheader()
    writer.writerows({name: _plain(value) for name, value in asdict(row).items()} for row in rows)
    _write_whole(path, text.getvalue())


def write_json(
    draft: Draft, plans: Sequence[ClothPlan], path: Path, *, names: Mapping[str, str] | None = None
) -> None:
    """The list as a JSON file: the block, then for each cloth what to buy and its rows.

    Raises: CountMismatchError if the plans were made for another block.
    """
    sections = gather(draft, plans, names=names)
    whole = {
        "block": draft.name,
        "blocks": plans[0].blocks if plans else 0,
        "finished_in": [str(draft.finished_width_in), str(draft.finished_height_in)],
        "seam_allowance_in": str(draft.seam_in),
        "cloths": [_cloth(section) for section in sections],
        "notes": list(draft.notes),
    }
    _write_whole(path, json.dumps(whole, indent=2, ensure_ascii=False) + "\n")


def _cloth(section: Section) -> dict[str, object]:
    plan = section.plan
    return {
        "cloth": plan.cloth,
        "cloth_name": section.name,
        "buy_yards": str(plan.yards),
        "buy_metres": float(plan.metres),
        "needed_length_in": str(plan.length_in),
        "spare_length_in": str(plan.spare_length_in),
        "width_of_fabric_in": str(plan.width_of_fabric_in),
        "usable_width_in": str(plan.usable_in),
        "rounded_up_to": grid_text(plan.rules.grid_in),
        "bias_squares_in": [str(placed.square.side_in) for placed in plan.squares],
        "warnings": list(plan.warnings),
        "rows": [asdict(_row(section, letter, line)) for letter, line in section.lines],
    }


def _row(section: Section, letter: str, line: CutLine) -> SheetRow:
    metric = is_metric(section.plan.rules.grid_in)
    return SheetRow(
        cloth=section.plan.cloth,
        cloth_name=section.name,
        letter=letter,
        role=line.role,
        kind=line.kind,
        quantity=line.quantity,
        cut_width=_on_ruler(line.rounded_width_in, metric=metric),
        cut_height=_on_ruler(line.rounded_height_in, metric=metric),
        unit="mm" if metric else "in",
        rounded_up=line.is_rounded(),
        exact_width_in=round(float(line.cut_width_in), 6),
        exact_height_in=round(float(line.cut_height_in), 6),
        finished=line.finished,
        steps=", ".join(line.steps),
        pieces=" ".join(str(piece) for piece in line.pieces),
    )


def _on_ruler(length_in: Fraction, *, metric: bool) -> str:
    return f"{float(to_mm(length_in)):g}" if metric else inches_text(length_in)


def _plain(value: object) -> object:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return f"'{value}"
    return value


def _write_whole(path: Path, text: str) -> None:
    """The text in a file of that name, put there in one step so that none is ever half-written."""
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        beside.write_text(text, encoding="utf-8", newline="")
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
