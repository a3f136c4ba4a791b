"""A quilt: blocks in a setting, worked out without repeating what repeats.

Each design is worked out once; the quilt keeps where every repeat lies. Patches and pieces are numbered as if
they were all written out, and are written out only when asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction

from blocks.blockfile import Block
from blocks.cells import Cell, border_cells, on_point_cells, straight_cells
from blocks.designs import Design, design_block, patches_of, pieces_of, spare_notes
from blocks.motion import STAY, Motion, Number, shift, turn
from blocks.polygons import bounds
from blocks.setting import Setting, SettingError, quilt_size
from blocks.values import CutPiece, Draft, Patch

__all__ = ["Quilt", "Repeat", "set_quilt", "write_out"]


@dataclass(frozen=True, slots=True)
class Repeat:
    """One repeat of a design: its cell, which repeat of its design it is, and the numbers it starts at."""

    cell: Cell
    nth: int
    first_patch: int
    """Number of its first patch, from 1."""


@dataclass(frozen=True, slots=True)
class Quilt:
    """A whole quilt top. `view` carries the exact frame of its repeats to the quilt as it hangs."""

    name: str
    setting: Setting
    seam_in: Fraction
    finished_width_in: Number
    finished_height_in: Number
    repeats: tuple[Repeat, ...]
    counts: Mapping[int, int]
    """Repeats of each design, by the design's id."""
    first_piece: Mapping[int, int]
    """The number of each design's first piece, by the design's id."""
    view: Motion
    notes: tuple[str, ...]

    def __len__(self) -> int:
        last = self.repeats[-1]
        return last.first_patch + len(last.cell.design) - 1

    def pieces(self) -> Iterator[CutPiece]:
        """Every piece of cloth, design by design."""
        for design in self.designs():
            yield from pieces_of(design, repeats=self.counts[id(design)], first=self.first_piece[id(design)])

    def designs(self) -> list[Design]:
        """Each design once, in the order of its first repeat."""
        return list({id(repeat.cell.design): repeat.cell.design for repeat in self.repeats}.values())

    def patches(self, repeat: Repeat, *, view: Motion | None = None) -> Iterator[Patch]:
        """The patches of one repeat, as the quilt hangs or in another view of its exact frame."""
        design = repeat.cell.design
        yield from patches_of(
            design,
            nth=repeat.nth,
            repeats=self.counts[id(design)],
            motion=(self.view if view is None else view).after(repeat.cell.motion),
            first_piece=self.first_piece[id(design)],
            first_patch=repeat.first_patch,
        )


def set_quilt(
    setting: Setting, blocks: Mapping[str, Block], *, seam_in: Fraction, name: str = "quilt"
) -> Quilt:
    """The quilt that a setting makes of these blocks.

    Raises: SettingError for incomplete rows, unknown blocks or blocks of different sizes, and whatever
    `design_block` finds wrong with a block.
    """
    setting.check()
    designs = _block_designs(setting, blocks, seam_in)
    block_in = _common_size(setting, designs)
    inner = quilt_size(Setting(setting.rows, setting.on_point, sashing=setting.sashing), block_in=block_in)
    if setting.on_point:
        cells = list(on_point_cells(setting, designs, seam_in=seam_in))
        width, height = setting.across * block_in[0], setting.down * block_in[1]
    else:
        cells = list(straight_cells(setting, designs, seam_in=seam_in))
        width, height = Fraction(inner[0]), Fraction(inner[1])
    cells += border_cells(setting, width=width, height=height, seam_in=seam_in)
    around = sum((border.finished_in for border in setting.borders), Fraction(0))
    size = quilt_size(setting, block_in=block_in)
    view = shift(around, around).after(turn(45) if setting.on_point else STAY)
    return _numbered(name, setting, cells, seam_in=seam_in, size=size, view=view)


def _block_designs(setting: Setting, blocks: Mapping[str, Block], seam_in: Fraction) -> dict[str, Design]:
    parts = [part for row in (*setting.rows, *setting.between) for part in row]
    names = dict.fromkeys(part.of for part in parts)
    unknown = [name for name in names if name not in blocks]
    if unknown:
        raise SettingError(
            f'There is no block "{unknown[0]}" for the setting.', "Name a block that is there."
        )
    return {name: design_block(blocks[name], seam_in=seam_in) for name in names}


def _common_size(setting: Setting, designs: Mapping[str, Design]) -> tuple[Fraction, Fraction]:
    sizes = {name: bounds(design.outline)[2:] for name, design in designs.items()}
    first = next(iter(sizes.values()))
    for name, size in sizes.items():
        if size != first:
            raise SettingError(
                f'The block "{name}" is not the size of "{next(iter(sizes))}".', "Scale one of the blocks."
            )
    turned = any(part.quarters % 2 for row in (*setting.rows, *setting.between) for part in row)
    if first[0] != first[1] and (setting.on_point or turned):
        raise SettingError("The blocks are not square, so they cannot be turned.", "Turn them by 180 only.")
    return Fraction(first[0]), Fraction(first[1])


def _numbered(
    name: str,
    setting: Setting,
    cells: list[Cell],
    *,
    seam_in: Fraction,
    size: tuple[Number, Number],
    view: Motion,
) -> Quilt:
    counts: dict[int, int] = {}
    repeats, number = [], 1
    designs: dict[int, Design] = {}
    for cell in cells:
        key = id(cell.design)
        designs[key] = cell.design
        repeats.append(Repeat(cell, counts.get(key, 0), number))
        counts[key] = counts.get(key, 0) + 1
        number += len(cell.design)
    first_piece, start = {}, 0
    notes: list[str] = []
    for key, design in designs.items():
        first_piece[key] = start
        start += _piece_count(design, counts[key])
        notes += [*design.notes, *spare_notes(design, repeats=counts[key])]
    return Quilt(
        name, setting, seam_in, *size, tuple(repeats), counts, first_piece, view, tuple(dict.fromkeys(notes))
    )


def _piece_count(design: Design, repeats: int) -> int:
    count = repeats * len(design.laid.pieces)
    for batch in design.batches:
        count += -(-design.used[batch.step] * repeats // batch.makes) * len(batch.pieces)
    return count


def write_out(quilt: Quilt) -> Draft:
    """The whole quilt as one draft: every patch with its own piece, for pictures, readings and cutting."""
    wanted = dict.fromkeys(pair for design in quilt.designs() for pair in design.wanted)
    unread = dict.fromkeys(step for design in quilt.designs() for step in design.laid.unread)
    return Draft(
        name=quilt.name,
        finished_width_in=Fraction(quilt.finished_width_in),
        finished_height_in=Fraction(quilt.finished_height_in),
        seam_in=quilt.seam_in,
        pieces=tuple(quilt.pieces()),
        patches=tuple(patch for repeat in quilt.repeats for patch in quilt.patches(repeat)),
        wanted=tuple(wanted),
        unread=tuple(unread),
        notes=quilt.notes,
    )
