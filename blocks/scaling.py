"""Blocks drawn again at another size, and which sizes a maker's ruler can follow."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass, replace
from fractions import Fraction
from math import ceil, floor, gcd, lcm
from typing import Any, TypeVar

from blocks.blockfile import Block
from blocks.lengths import inches_text

__all__ = ["GridReport", "ScaleError", "check_grid", "scale_block"]

_KEPT = ("turn_under_in", "start_tuck_in", "end_tuck_in", "base_tuck_in")
"""Allowances stay what the maker's hands need, whatever the size of the block."""

_Written = TypeVar("_Written")


class ScaleError(ValueError):
    """A size that a block cannot be drawn at."""

    mend = "Give a finished width of at least 1/4 in and at most 20 ft."


@dataclass(frozen=True, slots=True)
class GridReport:
    """Which finished lengths of a block miss a ruler's marks, and the block sizes near it that miss none."""

    grid_in: Fraction
    off: tuple[tuple[str, Fraction], ...]
    """Step and finished length, each once."""
    below_in: Fraction | None
    """The nearest smaller finished width of the block on which every length lands; None if there is none."""
    above_in: Fraction

    def sentence(self) -> str:
        """The report as one sentence; "" where every length lands."""
        if not self.off:
            return ""
        step, length_in = self.off[0]
        sizes = [inches_text(size) for size in (self.below_in, self.above_in) if size]
        return (
            f"{len(self.off)} lengths miss the {inches_text(self.grid_in)} in marks, such as "
            f"{inches_text(length_in)} in in step {step!r}; at {' or '.join(sizes)} in wide all land on them."
        )


def scale_block(block: Block, *, width_in: Fraction) -> Block:
    """The same block at another finished width; its height follows, allowances stay.

    Raises: ScaleError for an absurd size.
    """
    if not Fraction(1, 4) <= width_in <= 240:
        raise ScaleError(f"A block {inches_text(width_in)} in wide cannot be made.")
    return _scaled(block, width_in / block.finished_width_in)


def _scaled(written: _Written, factor: Fraction) -> _Written:
    """Every length in a value multiplied; degrees and allowances kept."""
    found: Any = written
    if isinstance(found, Fraction):
        found = found * factor
    elif isinstance(found, tuple):
        found = tuple(_scaled(item, factor) for item in found)
    elif is_dataclass(found) and not isinstance(found, type):
        names = [
            field.name
            for field in fields(found)
            if not field.name.endswith("_deg") and field.name not in _KEPT
        ]
        found = replace(found, **{name: _scaled(getattr(found, name), factor) for name in names})
    return found  # type: ignore[no-any-return]


def check_grid(block: Block, *, grid_in: Fraction) -> GridReport:
    """How the block's finished lengths lie on a ruler, and the nearest sizes that do.

    Lengths of templates and appliqué are drawn, not ruled, and do not count.
    """
    lengths = list(dict.fromkeys(_ruled_lengths(block)))
    off = tuple((step, length_in) for step, length_in in lengths if (length_in / grid_in).denominator != 1)
    common = _common_part([length_in for _, length_in in lengths])
    pitch_in = block.finished_width_in * grid_in / common
    steps = block.finished_width_in / pitch_in
    below_in, above_in = floor(steps) * pitch_in, ceil(steps) * pitch_in
    return GridReport(grid_in, off, below_in or None, above_in)


def _ruled_lengths(block: Block) -> Iterator[tuple[str, Fraction]]:
    yield block.name, block.finished_width_in
    yield block.name, block.finished_height_in
    for step in block.steps:
        if hasattr(step, "shapes"):
            continue
        for length_in in _lengths_in(step):
            yield step.name, length_in


def _lengths_in(written: Any) -> Iterator[Fraction]:
    if isinstance(written, Fraction):
        yield written
    elif isinstance(written, tuple):
        for item in written:
            yield from _lengths_in(item)
    elif is_dataclass(written):
        for field in fields(written):
            yield from _lengths_in(getattr(written, field.name))


def _common_part(lengths: list[Fraction]) -> Fraction:
    """The largest length of which all are whole multiples."""
    unit = lcm(*(length.denominator for length in lengths))
    return Fraction(gcd(*(int(length * unit) for length in lengths)), unit)
