"""What the command tells of blocks and quilts: the cloth at hand, how edges read, the cutting list."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from cutting.rows import write_csv
from cutting.rules import CuttingRules
from palettes.viewing import Viewing
from preview.cuttings import EdgeCuttings, read_cuttings
from ui.asked import Asked, one_block, pieces_of, split_names
from ui.bench import Worked, roles_of
from ui.binding_part import cutting_list_text, cutting_rows
from ui.colour_words import care_text, mentioned
from ui.doubt_words import cuttings_text, figures_text, with_cuttings
from ui.kind_words import kind_rows, kinds_text
from ui.kinds import read_kinds
from ui.making_notes import noted_draft
from ui.mistakes import Mistake
from ui.orders import Order, fill_order
from ui.reading_words import reading_rows, readings_text
from ui.ruler_words import grid_for, grid_sentences
from ui.shelf import open_shelf
from ui.writing import check_place, csv_text, write_whole

__all__ = ["list_cloths", "show_cutting", "show_readings"]

Say = Callable[[str], None]


def list_cloths(*, stash: str | None) -> None:
    """Prints everything on the shelf, the maker's own cloth first."""
    shelf = open_shelf(stash)
    entries = shelf.entries()
    wide = max(len(entry.name) for entry in entries)
    for entry in entries:
        print(f"{entry.name:{wide}}  {entry.kind:16}  {entry.line}".rstrip())
    if aside := shelf.aside():
        print(f'Taken out, and to be had back with "seamlight put-back": {", ".join(aside)}.')


def show_readings(
    *,
    asked: Asked,
    viewing: Viewing,
    all: bool,
    cuttings: Fraction | None,
    fussy: str | None,
    figures: bool,
    to: str | None,
    say: Say,
) -> None:
    """Prints how every edge of a block, or every kind of edge of a quilt, reads; or writes text or CSV."""
    file = check_place(Path(to), ends=(".txt", ".csv")) if to else None
    if fussy is not None and cuttings is None:
        raise Mistake("--fussy says what stays where it is cut.", mend="Add --cuttings, or leave it out.")
    worked = asked.worked(say=say)
    name = worked.drafted.draft.name
    if worked.drafted.quilt is None:
        say("Reading every edge ...")
        cut = _cuttings(worked, cuttings, fussy=fussy, viewing=viewing)
        readings = worked.readings(viewing=viewing)
        rows = with_cuttings(reading_rows(readings, worked.cloth_of_patches()), cut)
        text = readings_text(name, readings, viewing=viewing, also_unwanted=all) + cuttings_text(cut)
    elif cuttings is not None:
        raise Mistake("Many cuttings are read for one block.", mend="Name one of the quilt's blocks.")
    else:
        say("Reading the edges of the quilt ...")
        kinds = read_kinds(worked, viewing=viewing)
        rows, text = (
            kind_rows(kinds, worked.cloth_of_patches()),
            kinds_text(name, kinds, viewing=viewing, also_unwanted=all),
        )
    caution = mentioned(*worked.cloths.values())
    text += care_text(caution)
    if file is not None and file.suffix.lower() == ".csv":
        for line in caution:
            say(f"Take care: {line}")
        write_whole(file, csv_text(rows))
    else:
        _give(text + (figures_text() if figures else ""), file)


def _cuttings(
    worked: Worked, count: Fraction | None, *, fussy: str | None, viewing: Viewing
) -> tuple[EdgeCuttings, ...]:
    if count is None:
        return ()
    audition = one_block(worked, what="Many cuttings are read")
    still = pieces_of(worked, split_names(fussy, roles_of(worked.drafted), what="role"))
    return read_cuttings(audition, worked.drafted.edges, count=int(count), fussy=still, viewing=viewing)


def show_cutting(*, asked: Asked, ruler: str | None, to: str | None, say: Say) -> None:
    """Prints the cutting list with the notes on the making, or writes it as text or CSV."""
    file = check_place(Path(to), ends=(".txt", ".csv")) if to else None
    order = asked.order()
    rules = CuttingRules.on_ruler(ruler or "1/8 in")
    worked = fill_order(order, asked.shelf(), rules=rules, say=say)
    draft = noted_draft(worked, more=_grid_notes(order, ruler))
    if file is not None and file.suffix.lower() == ".csv":
        write_csv(cutting_rows(worked, rules=rules), file)
    else:
        _give(cutting_list_text(draft, worked, rules=rules), file)


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
