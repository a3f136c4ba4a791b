"""A block worked out in full: units made, patches tiled and checked, pieces counted, appliqué laid on."""

from __future__ import annotations

from fractions import Fraction

from blocks.blockfile import Block
from blocks.designs import design_block, draft_of
from blocks.values import Draft

__all__ = ["DEFAULT_SEAM_IN", "draft_block"]

DEFAULT_SEAM_IN = Fraction(1, 4)
"""Common practice, no source: a quarter of an inch."""


def draft_block(block: Block, *, seam_in: Fraction = DEFAULT_SEAM_IN) -> Draft:
    """The block's pieces, its finished patches and the maps between them.

    Raises: MisfitError where units do not fit or the block does not come out at its size, TilingError
    where template outlines leave gaps, OutlineError and the appliqué's own errors for impossible shapes.
    """
    return draft_of(
        design_block(block, seam_in=seam_in),
        seam_in=seam_in,
        width_in=block.finished_width_in,
        height_in=block.finished_height_in,
    )
