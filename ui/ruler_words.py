"""Which units to speak to a maker in, and whether a block's lengths fall on the marks of a ruler."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from blocks.blockfile import Block
from blocks.lengths import to_mm
from blocks.scaling import GridReport, check_grid
from cutting.rules import GRIDS_IN, grid_text, length_text

__all__ = ["grid_for", "grid_sentence", "grid_sentences"]


def grid_for(ruler: str | None, *lengths_in: Fraction | None) -> Fraction:
    """The marks to speak in: the ruler's; without one, millimetres where a length was given in them."""
    if ruler is not None:
        return GRIDS_IN[ruler]
    metric = any(length is not None and _is_metric(length) for length in lengths_in)
    return GRIDS_IN["1 mm"] if metric else GRIDS_IN["1/8 in"]


def _is_metric(length_in: Fraction) -> bool:
    return 64 % length_in.denominator != 0 and (10 * to_mm(length_in)).denominator == 1


def grid_sentences(blocks: Iterable[Block], *, grid_in: Fraction) -> tuple[str, ...]:
    """For each block whose lengths miss the marks of the ruler, by how many and which sizes would not."""
    return tuple(
        f"{block.name}: {sentence}"
        for block in blocks
        if (sentence := grid_sentence(check_grid(block, grid_in=grid_in)))
    )


def grid_sentence(report: GridReport) -> str:
    """The report in the ruler's own units; "" where every length lands."""
    if not report.off:
        return ""
    step, length_in = report.off[0]
    near = [length_text(size, grid_in=report.grid_in) for size in (report.below_in, report.above_in) if size]
    many = "1 length misses" if len(report.off) == 1 else f"{len(report.off)} lengths miss"
    return (
        f"{many} the marks of a {grid_text(report.grid_in)} ruler, such as "
        f'{length_text(length_in, grid_in=report.grid_in)} in the step "{step}"; '
        f"{' or '.join(near)} wide, every length lands on a mark."
    )
