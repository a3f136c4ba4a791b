"""What the command does with blocks: draw them, read their seams, list their cutting, check them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path
from textwrap import fill

from blocks.lengths import inches_text
from blocks.library import block_names, open_block
from cutting.rows import sheet_rows, write_csv
from cutting.rules import CuttingRules
from cutting.sheet import cutting_text
from preview.files import save_png
from ui.audition_file import audition_text
from ui.bench import Worked, draft, roles_of
from ui.looks import look
from ui.orders import fill_order, find_block, take_order, written_order
from ui.reading_words import reading_rows, readings_text
from ui.shelf import open_shelf
from ui.writing import check_place, csv_text, write_whole

__all__ = ["check_block", "draw_picture", "list_blocks", "list_cloths", "show_cutting", "show_readings"]

Say = Callable[[str], None]


def list_blocks() -> None:
    """Prints each built-in block with its size and roles."""
    for name in block_names():
        block = open_block(name)
        size = f"{inches_text(block.finished_width_in)} x {inches_text(block.finished_height_in)} in"
        print(f"{name}  ({size} finished, {block.difficulty})")
        print(fill(block.about, 96, initial_indent="  ", subsequent_indent="  "))
        for role, what in block.roles:
            print(f"    {role}: {what}")


def list_cloths(*, stash: str | None) -> None:
    """Prints everything on the shelf, the maker's own cloth first."""
    entries = open_shelf(stash).entries()
    wide = max(len(entry.name) for entry in entries)
    for entry in entries:
        print(f"{entry.name:{wide}}  {entry.kind:16}  {entry.line}".rstrip())


def draw_picture(
    *,
    block: str,
    cloths: Sequence[str],
    to: str,
    view: str,
    ppi: Fraction,
    seam: Fraction | None,
    keep: str | None,
    stash: str | None,
    say: Say,
) -> None:
    """Draws the block into a PNG of true size; with `keep`, also writes the choice as an audition file."""
    picture_file = check_place(Path(to), ends=(".png",))
    kept_file = check_place(Path(keep), ends=(".toml",)) if keep else None
    order = take_order(block, cloths, seam_in=seam)
    worked = fill_order(order, open_shelf(stash), say=say)
    say("Drawing ...")
    picture = look(worked, view=view, ppi=float(ppi))
    save_png(picture_file, picture, ppi=float(ppi))
    if kept_file:
        write_whole(kept_file, audition_text(written_order(order, worked, beside=kept_file.parent)))
    height, width = picture.shape[:2]
    print(f"{picture_file}: {width} x {height} pixels at {float(ppi):g} per inch")


def show_readings(
    *,
    block: str,
    cloths: Sequence[str],
    seam: Fraction | None,
    all: bool,
    to: str | None,
    stash: str | None,
    say: Say,
) -> None:
    """Prints how every edge reads, or writes it as text or CSV."""
    file = check_place(Path(to), ends=(".txt", ".csv")) if to else None
    worked = fill_order(take_order(block, cloths, seam_in=seam), open_shelf(stash), say=say)
    say("Reading every edge ...")
    readings = worked.readings()
    if file is not None and file.suffix.lower() == ".csv":
        write_whole(file, csv_text(reading_rows(readings)))
    else:
        _give(readings_text(worked.drafted.draft.name, readings, also_unwanted=all), file)


def show_cutting(
    *,
    block: str,
    cloths: Sequence[str],
    seam: Fraction | None,
    ruler: str,
    to: str | None,
    stash: str | None,
    say: Say,
) -> None:
    """Prints the cutting list, or writes it as text or CSV."""
    file = check_place(Path(to), ends=(".txt", ".csv")) if to else None
    order = take_order(block, cloths, seam_in=seam)
    worked = fill_order(order, open_shelf(stash), rules=CuttingRules.on_ruler(ruler), say=say)
    if file is not None and file.suffix.lower() == ".csv":
        write_csv(sheet_rows(worked.drafted.draft, worked.plans, names=worked.cloth_names()), file)
    else:
        _give(_cutting(worked), file)


def check_block(*, block: str, seam: Fraction | None) -> None:
    """Prints what a block file makes; a faulty one raises with every fault named."""
    drafted = draft(find_block(block), seam_in=Fraction(1, 4) if seam is None else seam)
    found = drafted.draft
    size = f"{inches_text(found.finished_width_in)} x {inches_text(found.finished_height_in)} in"
    applique = sum(patch.is_applique() for patch in found.patches)
    print(
        f"{found.name}: {size} finished; {len(found.patches)} patches ({applique} of them appliqué) from "
        f"{len(found.pieces)} cut pieces; {len(drafted.edges)} edges, "
        f"{sum(edge.wanted for edge in drafted.edges)} of which should read."
    )
    print("Roles: " + ", ".join(roles_of(drafted)))
    for note in found.notes:
        print(f"Note: {note}")


def _cutting(worked: Worked) -> str:
    return cutting_text(worked.drafted.draft, worked.plans, names=worked.cloth_names())


def _give(text: str, file: Path | None) -> None:
    if file is None:
        print(text, end="")
    else:
        write_whole(file, text)
