"""Pictures of a worked block, view by view, and of a single cloth."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from blocks.blockfile import Block, parse_block
from preview.frame import Frame, prepare_frame
from preview.keeping import PaintCache
from preview.render import paint
from preview.views import lines_view, value_view
from swatches.swatch import Swatch
from ui.bench import Worked, draft, roles_of, work_out
from ui.first_choice import first_choice
from ui.shelf import Shelf

__all__ = ["look", "look_at_block", "look_at_cloth"]

_CLOTH_SIDE_IN = Fraction(3)
_PIECE = """
name = "a piece of cloth"
finished = "{side}"
[[step]]
name = "piece"
make = "square"
finished = "{side}"
cloth = "cloth"
"""


def look(
    worked: Worked, *, view: str, ppi: float, frame: Frame | None = None, cache: PaintCache | None = None
) -> NDArray[np.uint8]:
    """The block or quilt as the view shows it, (height, width, 3) sRGB; `frame` is one prepared earlier."""
    frame = frame or prepare_frame(worked.drafted.scene, ppi=ppi)
    match view:
        case "colour":
            return paint(frame, worked.audition, cache=cache)
        case "value":
            return value_view(paint(frame, worked.audition, cache=cache))
        case "numbered":
            return lines_view(frame, over_srgb8=paint(frame, worked.audition, cache=cache))
        case "lines":
            return lines_view(frame)
        case _:
            raise ValueError(f"no view {view!r}")


def look_at_cloth(swatch: Swatch, *, side_px: int) -> NDArray[np.uint8]:
    """A square of the cloth: three inches of it, or as much as the photograph shows.

    All cloths are seen at one scale, so a large print looks large beside a small one.
    """
    side_in = _CLOTH_SIDE_IN
    if not swatch.repeats:
        side_in = min(side_in, Fraction(min(swatch.width_in, swatch.height_in)).limit_denominator(64))
    piece = draft(parse_block(_PIECE.format(side=side_in), source="a piece of cloth"), seam_in=Fraction(0))
    worked = work_out(piece, roles={"cloth": swatch})
    return look(worked, view="colour", ppi=side_px / float(side_in))


def look_at_block(block: Block, *, shelf: Shelf, side_px: int) -> NDArray[np.uint8]:
    """A small picture of a block in our own first choice of cloth, its longer side as long as asked."""
    drafted = draft(block, seam_in=Fraction(1, 4))
    chosen = first_choice(block.name, roles_of(drafted))
    worked = work_out(drafted, roles={role: shelf.find(name) for role, name in chosen.items()})
    longer_in = float(max(block.finished_width_in, block.finished_height_in))
    return look(worked, view="colour", ppi=side_px / longer_in)
