"""A block worked out in full: units made, patches tiled and checked, pieces counted, appliqué laid on."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from blocks.applique import lay_applique
from blocks.blockfile import Block
from blocks.lengths import inches_text
from blocks.motion import STAY
from blocks.pieced import MisfitError, make_units
from blocks.polygons import rectangle
from blocks.tiling import check_tiling
from blocks.units import Batch, BatchPiece, PlacedPatch, Unit, lay_unit
from blocks.values import CutOutline, CutPiece, CutRectangle, Draft, Patch
from blocks.versions import mirror_notes

__all__ = ["DEFAULT_SEAM_IN", "draft_block"]

DEFAULT_SEAM_IN = Fraction(1, 4)
"""Common practice, no source: a quarter of an inch."""


def draft_block(block: Block, *, seam_in: Fraction = DEFAULT_SEAM_IN) -> Draft:
    """The block's pieces, its finished patches and the maps between them.

    Raises: MisfitError where units do not fit or the block does not come out at its size, TilingError
    where template outlines leave gaps, OutlineError and the appliqué's own errors for impossible shapes.
    """
    units = make_units(block.steps, seam_in=seam_in)
    whole = _whole_block(block, units)
    placed = tuple(lay_unit(whole, STAY, made={}))
    ground = rectangle(block.finished_width_in, block.finished_height_in)
    check_tiling([patch.outline for patch in placed], block=ground, step=block.steps[-1].name)
    pieces, patches, notes = _count_pieces(placed)
    laid = lay_applique(
        block.applique,
        ground=ground,
        first_piece=len(pieces),
        first_patch=len(patches) + 1,
        seam_in=seam_in,
    )
    return Draft(
        name=block.name,
        finished_width_in=block.finished_width_in,
        finished_height_in=block.finished_height_in,
        seam_in=seam_in,
        pieces=(*pieces, *laid.pieces),
        patches=(*patches, *laid.patches),
        wanted=block.wanted,
        unread=laid.unread,
        notes=(*mirror_notes(units, whole), *notes, *laid.notes),
    )


def _whole_block(block: Block, units: dict[str, Unit]) -> Unit:
    last = block.steps[-1].name
    whole = units[last]
    if (whole.width_in, whole.height_in) != (block.finished_width_in, block.finished_height_in):
        raise MisfitError(
            last,
            f"the block comes out {inches_text(whole.width_in)} x {inches_text(whole.height_in)} in, but "
            f"{inches_text(block.finished_width_in)} x {inches_text(block.finished_height_in)} in is written",
            "Mend the finished size of the block, or of the units in its last step.",
        )
    return whole


def _count_pieces(
    placed: Sequence[PlacedPatch],
) -> tuple[list[CutPiece], list[Patch], list[str]]:
    """Pieces batch by batch as they are first needed, and each patch with its own piece."""
    used: dict[str, int] = {}
    for patch in placed:
        used[patch.batch.step] = max(used.get(patch.batch.step, 0), patch.occurrence + 1)
    first_of: dict[tuple[str, int], int] = {}
    pieces: list[CutPiece] = []
    patches: list[Patch] = []
    for patch in placed:
        batch = patch.batch
        making, slot = divmod(patch.occurrence, batch.makes)
        if (batch.step, making) not in first_of:
            first_of[batch.step, making] = len(pieces)
            pieces += _pieces_of(batch, len(pieces), used[batch.step] - making * batch.makes)
        index, motion = patch.leaf.slots[slot]
        patches.append(
            Patch(
                number=len(patches) + 1,
                role=patch.role,
                outline=patch.outline,
                piece=first_of[batch.step, making] + index,
                to_piece=motion.after(patch.motion.inverse()),
                step=batch.step,
            )
        )
    return pieces, patches, _spare_notes(placed, used)


def _pieces_of(batch: Batch, first: int, units_left: int) -> list[CutPiece]:
    wanted = min(units_left, batch.makes)
    return [
        CutPiece(first + i, piece.role, _shape_for(piece, wanted), batch.step)
        for i, piece in enumerate(batch.pieces)
    ]


def _shape_for(piece: BatchPiece, units: int) -> CutRectangle | CutOutline:
    if piece.pitch_in is None or isinstance(piece.shape, CutOutline):
        return piece.shape
    return CutRectangle(piece.pitch_in * units, piece.shape.height_in)


def _spare_notes(placed: Sequence[PlacedPatch], used: dict[str, int]) -> list[str]:
    """Units that a method makes beyond those the block needs."""
    notes = []
    for batch in dict.fromkeys(patch.batch for patch in placed):
        spare = -used[batch.step] % batch.makes
        if spare and all(piece.pitch_in is None for piece in batch.pieces):
            units = "unit" if spare == 1 else "units"
            notes.append(f"The {batch.step} step makes {spare} {units} more than the block needs.")
    return notes
