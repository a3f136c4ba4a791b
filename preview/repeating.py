"""The repeats of a quilt's design as columns: where each lies, which pieces it takes, how they turned."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from blocks.designs import Design, patches_of
from blocks.motion import STAY, Motion
from blocks.quilt import Quilt
from blocks.values import Bend, Draft

__all__ = ["Turns", "compose", "invert", "row_of", "slot_rows"]

_Floats = NDArray[np.float64]
_Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Turns:
    """All repeats of one design. A motion is a row (cos, sin, dx, dy), as in blocks.motion."""

    quilt: Quilt
    design: Design
    motions: _Floats
    """(repeats, 4): from the design's own frame to the quilt as it hangs."""
    nth: _Ints
    first_owner: _Ints

    @staticmethod
    def of(quilt: Quilt, design: Design) -> Turns:
        """The repeats of a design of the quilt, in the quilt's order."""
        repeats = [repeat for repeat in quilt.repeats if repeat.cell.design is design]
        return Turns(
            quilt,
            design,
            np.array([row_of(quilt.view.after(repeat.cell.motion)) for repeat in repeats]),
            np.array([repeat.nth for repeat in repeats], np.int64),
            np.array([repeat.first_patch - 1 for repeat in repeats], np.int64),
        )

    def alone(self) -> Draft:
        """One repeat in its own frame, patches numbered from 1."""
        patches = patches_of(self.design, nth=0, repeats=1, motion=STAY, first_piece=0, first_patch=1)
        seam = self.quilt.seam_in
        # Nothing that is asked of this draft depends on its size.
        return Draft(self.design.name, Fraction(1), Fraction(1), seam, (), tuple(patches))


def row_of(motion: Motion) -> tuple[float, float, float, float]:
    """A motion as floats: cos, sin, dx, dy."""
    return float(motion.cos), float(motion.sin), float(motion.dx_in), float(motion.dy_in)


def compose(second: _Floats, first: _Floats) -> _Floats:
    """Rows of the motions that do `first` and then `second`; either may be one row for all."""
    c, s, dx, dy = np.moveaxis(second, -1, 0)
    d, t, x, y = np.moveaxis(first, -1, 0)
    rows = (c * d - s * t, s * d + c * t, c * x - s * y + dx, s * x + c * y + dy)
    return np.stack(np.broadcast_arrays(*rows), axis=-1)


def invert(rows: _Floats) -> _Floats:
    """Rows of the motions that undo these."""
    c, s, dx, dy = np.moveaxis(rows, -1, 0)
    return np.stack([c, -s, -(c * dx + s * dy), s * dx - c * dy], axis=-1)


def slot_rows(quilt: Quilt, design: Design, turns: Turns) -> tuple[_Ints, _Floats]:
    """For every repeat and patch of a design: its piece (repeats, patches), and the way to it (.., 4).

    The same as the patches of `Quilt.patches`, but the exact work is done once for each slot of a batch.
    """
    count = quilt.counts[id(design)]
    back = invert(turns.motions)
    pieces = np.zeros((len(turns.nth), len(design)), np.int64)
    rows = np.tile([1.0, 0.0, 0.0, 0.0], (len(turns.nth), len(design), 1))
    start, starts = quilt.first_piece[id(design)], {}
    for batch in design.batches:
        starts[batch.step] = start
        start += -(-design.used[batch.step] * count // batch.makes) * len(batch.pieces)
    for i, patch in enumerate(design.placed):
        batch, undo = patch.batch, patch.motion.inverse()
        making, slot = np.divmod(turns.nth * design.used[batch.step] + patch.occurrence, batch.makes)
        index = np.array([index for index, _ in patch.leaf.slots], np.int64)
        table = np.array([row_of(to_piece.after(undo)) for _, to_piece in patch.leaf.slots])
        pieces[:, i] = starts[batch.step] + making * len(batch.pieces) + index[slot]
        rows[:, i] = compose(table[slot], back)
    for i, shape in enumerate(design.laid.patches, start=len(design.placed)):
        pieces[:, i] = start + turns.nth * len(design.laid.pieces) + shape.piece
        if not isinstance(shape.to_piece, Bend):
            rows[:, i] = compose(np.array(row_of(shape.to_piece)), back)
    return pieces, rows
