"""What the command does with a drawing from a drawing program: a block file that can be mended by hand."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from blocks.blocktext import block_text
from blocks.lengths import parse_inches
from blocks.svg_in import DEFAULT_TOLERANCE_IN, read_svg
from cutting.rules import size_text
from ui.bench import draft
from ui.mistakes import Mistake
from ui.ruler_words import grid_for
from ui.writing import check_place, write_whole

__all__ = ["block_from_drawing"]


def block_from_drawing(
    *,
    drawing: str,
    to: str,
    width: Fraction | None,
    name: str | None,
    on_top: str,
    roles: str,
    tolerance: str | None,
) -> None:
    """Writes the block that an SVG drawing shows as a block file, once it is sure to fit together.

    Raises: SvgError with every fault of the drawing, each with its place.
    """
    file = check_place(Path(to), ends=(".toml",))
    if Path(drawing).suffix.lower() != ".svg":
        raise Mistake(f"{drawing} is no SVG drawing.", mend="Save the drawing as plain SVG.")
    block = read_svg(
        Path(drawing),
        finished_width_in=width,
        name=name or "",
        over="applique" if on_top == "applique" else "fault",
        roles_from="fills" if roles == "fills" else "names",
        tolerance_in=DEFAULT_TOLERANCE_IN if tolerance is None else parse_inches(tolerance),
    )
    drafted = draft(block, seam_in=Fraction(1, 4))
    write_whole(file, block_text(block))
    size = size_text(block.finished_width_in, block.finished_height_in, grid_in=grid_for(None, width))
    print(f"{file}: {block.name}, {size} finished, {len(drafted.draft.patches)} patches.")
    print("Roles: " + ", ".join(role for role, _ in block.roles))
