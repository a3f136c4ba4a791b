"""How blocks are set into a quilt: as it is written down, and its size."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, sqrt
from typing import Literal

from blocks.lengths import inches_text
from blocks.motion import Number
from blocks.steps import Part

__all__ = ["Binding", "Border", "Sashing", "Setting", "SettingError", "blocks_for_size", "quilt_size"]


class SettingError(ValueError):
    """A setting that cannot be sewn; says what is wrong and how to mend it."""

    def __init__(self, message: str, mend: str) -> None:
        self.mend = mend
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class Sashing:
    """Strips between the blocks, and round them when `around`; with cornerstones where strips would cross."""

    cloth: str
    finished_in: Fraction
    cornerstone: str = ""
    """The cloth of the cornerstones; "" for sashing that runs through in rows."""
    around: bool = False


@dataclass(frozen=True, slots=True)
class Border:
    """A border all round: butted (sides first, then top and bottom) or mitred at the corners."""

    cloth: str
    finished_in: Fraction
    corners: Literal["butted", "mitred"] = "butted"


@dataclass(frozen=True, slots=True)
class Binding:
    """A double-fold binding; it covers the outer seam allowance and adds nothing to the finished size."""

    cloth: str
    finished_in: Fraction = Fraction(1, 4)


@dataclass(frozen=True, slots=True)
class Setting:
    """Blocks in rows, straight or on point, with what lies between and around them."""

    rows: tuple[tuple[Part, ...], ...]
    """The blocks by name and quarter turns; on point, the rows whose blocks touch the left and right side."""
    on_point: bool = False
    between: tuple[tuple[Part, ...], ...] = ()
    """On point: the blocks that fill in between, one row and one column fewer."""
    triangle_cloth: str = ""
    """On point: the cloth of the setting and corner triangles."""
    sashing: Sashing | None = None
    borders: tuple[Border, ...] = ()
    binding: Binding | None = None

    @property
    def down(self) -> int:
        """Number of rows."""
        return len(self.rows)

    @property
    def across(self) -> int:
        """Number of blocks in a row."""
        return len(self.rows[0])

    def check(self) -> None:
        """Nothing, if the rows are complete and go together.

        Raises: SettingError.
        """
        if not self.rows or not self.rows[0] or any(len(row) != self.across for row in self.rows):
            raise SettingError(
                "The rows of blocks are not all equally long.", "Give every row as many blocks."
            )
        if self.down * self.across > 10_000:
            raise SettingError("That is more than 10,000 blocks.", "Ask for fewer rows or columns.")
        if not self.on_point:
            if self.between:
                raise SettingError("Only an on-point setting has blocks in between.", "Leave them out.")
            return
        if not self.triangle_cloth:
            raise SettingError("The setting triangles have no cloth.", "Name the cloth of the triangles.")
        if self.sashing is not None:
            raise SettingError(
                "Sashing is not laid in an on-point setting.", "Leave out the one or the other."
            )
        wanted = (self.down - 1, self.across - 1)
        if len(self.between) != wanted[0] or any(len(row) != wanted[1] for row in self.between):
            raise SettingError(
                "The blocks in between do not fill the gaps.",
                f"Give {wanted[0]} rows of {wanted[1]} blocks in between.",
            )


def quilt_size(setting: Setting, *, block_in: tuple[Fraction, Fraction]) -> tuple[Number, Number]:
    """Finished width and height of the quilt; floats on point, where a block's diagonal counts.

    Source: plane geometry; on point m x n blocks B measure n B sqrt 2 by m B sqrt 2.
    """
    width: Number
    height: Number
    if setting.on_point:
        width = setting.across * float(block_in[0]) * sqrt(2)
        height = setting.down * float(block_in[1]) * sqrt(2)
    else:
        strips = 0 if setting.sashing is None else (1 if setting.sashing.around else -1)
        sash_in = setting.sashing.finished_in if setting.sashing else Fraction(0)
        width = setting.across * block_in[0] + (setting.across + strips) * sash_in
        height = setting.down * block_in[1] + (setting.down + strips) * sash_in
    edge_in = 2 * sum((border.finished_in for border in setting.borders), Fraction(0))
    return width + edge_in, height + edge_in


def blocks_for_size(
    wanted_in: tuple[Fraction, Fraction],
    *,
    block_in: Fraction,
    sashing_in: Fraction = Fraction(0),
    around: bool = False,
    borders_in: Fraction = Fraction(0),
    on_point: bool = False,
) -> tuple[int, int]:
    """The fewest blocks across and down whose quilt is no smaller than wanted; at least one each way.

    `borders_in` is the width of all borders on one side together.
    Raises: SettingError if a block is nothing or the borders alone are larger than the quilt.
    """
    if block_in <= 0:
        raise SettingError("The block has no size.", "Give the block's finished size.")
    if min(wanted_in) <= 2 * borders_in:
        raise SettingError(
            f"The borders take up all of {inches_text(min(wanted_in))} in.", "Ask for narrower borders."
        )
    step = float(block_in) * sqrt(2) if on_point else block_in + sashing_in
    extra = Fraction(0) if on_point else (sashing_in if around else -sashing_in)
    across, down = (max(1, ceil((side - 2 * borders_in - extra) / step - 1e-9)) for side in wanted_in)
    return across, down
