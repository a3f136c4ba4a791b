"""What the command does with blocks and quilts: draw them, read their seams, list their cutting."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path

from blocks.svg_out import line_drawing
from cutting.rows import sheet_rows, write_csv
from cutting.rules import CuttingRules
from cutting.sheet import cutting_text
from preview.bands import save_in_bands
from preview.files import save_png
from preview.frame import whole_px
from ui.audition_file import audition_text
from ui.bench import Worked
from ui.binding_part import binding_rows
from ui.kind_words import kind_rows, kinds_text
from ui.kinds import read_kinds
from ui.looks import look
from ui.making_notes import noted_draft
from ui.mistakes import Mistake
from ui.orders import Order, Wishes, fill_order, take_order, written_order
from ui.reading_words import reading_rows, readings_text
from ui.ruler_words import grid_for, grid_sentences
from ui.shelf import open_shelf
from ui.writing import check_place, csv_text, write_whole

__all__ = ["draw_picture", "list_cloths", "read_methods", "show_cutting", "show_readings"]

Say = Callable[[str], None]

_MOST_AT_ONCE_PX = 40_000_000
"""Larger pictures in cloth are drawn and written a band at a time."""


def list_cloths(*, stash: str | None) -> None:
    """Prints everything on the shelf, the maker's own cloth first."""
    entries = open_shelf(stash).entries()
    wide = max(len(entry.name) for entry in entries)
    for entry in entries:
        print(f"{entry.name:{wide}}  {entry.kind:16}  {entry.line}".rstrip())


def read_methods(words: Sequence[str] | None) -> tuple[tuple[str, str], ...]:
    """Steps and methods from words such as corner="four at a time".

    Raises: Mistake for words of another form.
    """
    pairs = []
    for word in words or ():
        step, sign, method = (part.strip() for part in word.partition("="))
        if not sign or not step or not method:
            raise Mistake(f'"{word}" gives no method to a step.', mend='Write it as corner="four at a time".')
        pairs.append((step, method))
    return tuple(pairs)


def draw_picture(
    *,
    block: str,
    cloths: Sequence[str],
    to: str,
    view: str,
    ppi: Fraction,
    seam: Fraction | None,
    width: Fraction | None,
    method: Sequence[str] | None,
    upright: bool,
    keep: str | None,
    stash: str | None,
    say: Say,
) -> None:
    """Draws into a PNG of true size, or the lines into an SVG; with `keep`, also writes an audition file."""
    picture_file = check_place(Path(to), ends=(".png", ".svg"))
    svg = picture_file.suffix.lower() == ".svg"
    if svg and view != "lines":
        raise Mistake(
            "Only the lines can be written as an SVG drawing.", mend="Add --view lines, or write a .png."
        )
    kept_file = check_place(Path(keep), ends=(".toml",)) if keep else None
    order = take_order(block, cloths, wishes=_wishes(seam, width, method, upright))
    worked = fill_order(order, open_shelf(stash), say=say)
    say("Drawing ...")
    if svg:
        write_whole(picture_file, line_drawing(worked.drafted.draft))
        told = "a drawing in inches, with the role and number of each patch"
    else:
        _save(worked, picture_file, view=view, ppi=float(ppi))
        across, down = whole_px(worked.drafted.scene, ppi=float(ppi))
        told = f"{across} x {down} pixels at {float(ppi):g} per inch"
    if kept_file:
        write_whole(kept_file, audition_text(written_order(order, worked, beside=kept_file.parent)))
    print(f"{picture_file}: {told}")


def _save(worked: Worked, file: Path, *, view: str, ppi: float) -> None:
    across, down = whole_px(worked.drafted.scene, ppi=ppi)
    if view == "colour" and across * down > _MOST_AT_ONCE_PX:
        save_in_bands(file, worked.drafted.scene, worked.audition, ppi=ppi)
    else:
        save_png(file, look(worked, view=view, ppi=ppi), ppi=ppi)


def _wishes(
    seam: Fraction | None, width: Fraction | None, method: Sequence[str] | None, upright: bool
) -> Wishes:
    return Wishes(seam, width, read_methods(method), upright)


def show_readings(
    *,
    block: str,
    cloths: Sequence[str],
    seam: Fraction | None,
    width: Fraction | None,
    method: Sequence[str] | None,
    upright: bool,
    all: bool,
    to: str | None,
    stash: str | None,
    say: Say,
) -> None:
    """Prints how every edge of a block, or every kind of edge of a quilt, reads; or writes text or CSV."""
    file = check_place(Path(to), ends=(".txt", ".csv")) if to else None
    order = take_order(block, cloths, wishes=_wishes(seam, width, method, upright))
    worked = fill_order(order, open_shelf(stash), say=say)
    name = worked.drafted.draft.name
    if worked.drafted.quilt is None:
        say("Reading every edge ...")
        readings = worked.readings()
        rows, text = reading_rows(readings), readings_text(name, readings, also_unwanted=all)
    else:
        say("Reading the edges of the quilt ...")
        kinds = read_kinds(worked)
        rows, text = kind_rows(kinds), kinds_text(name, kinds, also_unwanted=all)
    if file is not None and file.suffix.lower() == ".csv":
        write_whole(file, csv_text(rows))
    else:
        _give(text, file)


def show_cutting(
    *,
    block: str,
    cloths: Sequence[str],
    seam: Fraction | None,
    width: Fraction | None,
    method: Sequence[str] | None,
    upright: bool,
    ruler: str | None,
    to: str | None,
    stash: str | None,
    say: Say,
) -> None:
    """Prints the cutting list with the notes on the making, or writes it as text or CSV."""
    file = check_place(Path(to), ends=(".txt", ".csv")) if to else None
    order = take_order(block, cloths, wishes=_wishes(seam, width, method, upright))
    rules = CuttingRules.on_ruler(ruler or "1/8 in")
    worked = fill_order(order, open_shelf(stash), rules=rules, say=say)
    draft = noted_draft(worked, more=_grid_notes(order, ruler))
    if file is not None and file.suffix.lower() == ".csv":
        rows = sheet_rows(draft, worked.plans, names=worked.cloth_names())
        write_csv((*rows, *binding_rows(worked, rules=rules)), file)
    else:
        quilt = worked.drafted.quilt is not None
        _give(cutting_text(draft, worked.plans, names=worked.cloth_names(), whole_quilt=quilt), file)


def _grid_notes(order: Order, ruler: str | None) -> tuple[str, ...]:
    """Lengths that miss the ruler's marks, if the maker named a ruler or another size."""
    if ruler is None and order.width_in is None:
        return ()
    grid_in = grid_for(ruler, order.width_in, order.seam_in)
    return grid_sentences(order.making.blocks.values(), grid_in=grid_in)


def _give(text: str, file: Path | None) -> None:
    if file is None:
        print(text, end="")
    else:
        write_whole(file, text)
