"""What the command says and shows of the built-in blocks."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from textwrap import fill

from blocks.blockfile import Block
from blocks.lengths import inches_text
from blocks.library import block_names, open_block
from preview.files import save_picture
from ui.contact_sheet import contact_sheet
from ui.looks import look_at_block
from ui.shelf import Shelf
from ui.writing import filled_folder, write_whole

__all__ = ["index_text", "show_blocks"]

_SHEET = "contact-sheet.jpg"
_SIDE_PX = 180
_SHEET_SIDE_PX = 116
_PPI = 96.0
"""Pictures to look at, at no true scale."""


def show_blocks(*, to: str | None, say: Callable[[str], None]) -> None:
    """Prints each built-in block with its size, difficulty, other names and roles; or draws them all."""
    if to is None:
        for name in block_names():
            print("\n".join(_lines(name, open_block(name))))
        return
    shelf, blocks = Shelf(None), [(name, open_block(name)) for name in block_names()]
    with filled_folder(Path(to)) as place:
        small = []
        for name, block in blocks:
            say(f"{name} ...")
            picture = look_at_block(block, shelf=shelf, side_px=_SIDE_PX)
            save_picture(place / f"{_stem(name)}.png", picture, ppi=_PPI)
            small.append((block.name, look_at_block(block, shelf=shelf, side_px=_SHEET_SIDE_PX)))
        save_picture(place / _SHEET, contact_sheet(small, side_px=_SHEET_SIDE_PX), ppi=_PPI)
        write_whole(place / "index.md", index_text(blocks))
    print(
        f"{len(blocks)} blocks are in {to}: a picture each (.png), {_SHEET}, and index.md with what they are."
    )


def _lines(name: str, block: Block) -> list[str]:
    lines = [f"{name}  ({_size(block)} finished, {block.difficulty})"]
    if block.also:
        lines.append(fill(f"also: {', '.join(block.also)}", 96, initial_indent="  ", subsequent_indent="  "))
    lines.append(fill(block.about, 96, initial_indent="  ", subsequent_indent="  "))
    return [*lines, *(f"    {role}: {what}" for role, what in block.roles)]


def index_text(blocks: list[tuple[str, Block]]) -> str:
    """The page of the library in Markdown: the sheet, then a row for each block."""
    lines = [
        "# The built-in blocks",
        "",
        f"{len(blocks)} blocks, each drawn by Seamlight in its own choice of demo cloth. Ask for one by its "
        'name: `seamlight draw "bears paw" --to bears-paw.png`.',
        "",
        f"![All the blocks, small, each over its name]({_SHEET})",
        "",
        "| picture | block | other names | finished | difficulty | what it is |",
        "|---|---|---|---|---|---|",
    ]
    for name, block in blocks:
        cells = (
            f"![{block.name}]({_stem(name)}.png)",
            block.name,
            ", ".join(block.also),
            _size(block),
            block.difficulty,
            block.about,
        )
        lines.append("| " + " | ".join(cell.replace("|", r"\|") for cell in cells) + " |")
    return "\n".join(lines) + "\n"


def _size(block: Block) -> str:
    return f"{inches_text(block.finished_width_in)} x {inches_text(block.finished_height_in)} in"


def _stem(name: str) -> str:
    return name.replace(" ", "-")
