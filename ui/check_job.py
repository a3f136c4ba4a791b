"""What the command says of a block, a quilt or an audition before any cloth is cut."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from textwrap import fill

from blocks.blocktext import block_text
from cutting.rules import size_text
from ui.asked import read_methods
from ui.bench import Drafted, roles_of
from ui.making_notes import making_notes
from ui.mistakes import Mistake
from ui.orders import Order, Wishes, draft_order, take_order
from ui.ruler_words import grid_for, grid_sentences
from ui.setting_words import quilt_sentence, setting_sentence
from ui.writing import check_place, write_whole

__all__ = ["check_block"]

_WIDE = 100


def check_block(
    *,
    block: str,
    seam: Fraction | None,
    width: Fraction | None,
    method: Sequence[str] | None,
    ruler: str | None,
    to: str | None,
) -> None:
    """Prints what a file makes, how it lies on the ruler, and notes on the making; a faulty one raises.

    With `to`, the block as it now is, scaled and made as asked, is written as a block file.
    """
    file = check_place(Path(to), ends=(".toml",)) if to else None
    order = take_order(block, (), wishes=Wishes(seam, width, read_methods(method)))
    drafted = draft_order(order)
    if file is not None and order.making.setting is not None:
        raise Mistake("A setting is no block.", mend="Name a block to write with --to.")
    grid_in = grid_for(ruler, order.width_in, order.seam_in)
    print("\n".join(_lines(order, drafted, grid_in=grid_in)))
    off = grid_sentences(order.making.blocks.values(), grid_in=grid_in) if ruler or order.width_in else ()
    for note in (*off, *making_notes(drafted)):
        print(fill(f"Note: {note}", _WIDE, subsequent_indent="  ", break_on_hyphens=False))
    if file is not None:
        write_whole(file, block_text(order.making.block()))
        print(f"{file}: the block as a block file")


def _lines(order: Order, drafted: Drafted, *, grid_in: Fraction) -> list[str]:
    found = drafted.draft
    size = size_text(found.finished_width_in, found.finished_height_in, grid_in=grid_in)
    applique = sum(patch.is_applique() for patch in found.patches)
    counts = (
        f"{len(found.patches)} patches ({applique} of them appliqué) from {len(found.pieces)} cut pieces; "
        f"{len(drafted.edges)} edges, {sum(edge.wanted for edge in drafted.edges)} of which should read."
    )
    roles = "Roles: " + ", ".join(roles_of(drafted))
    if drafted.quilt is None:
        return [f"{found.name}: {size} finished; {counts}", roles]
    setting = drafted.quilt.setting
    blocks = Counter(part.of for row in (*setting.rows, *setting.between) for part in row)
    sizes = {
        name: size_text(block.finished_width_in, block.finished_height_in, grid_in=grid_in)
        for name, block in order.making.blocks.items()
    }
    return [
        f"{found.name}: {setting_sentence(setting)}",
        quilt_sentence(drafted.quilt, grid_in=grid_in),
        *(f"{name}: {count} blocks of {sizes[name]} finished." for name, count in blocks.items()),
        counts,
        roles,
    ]
