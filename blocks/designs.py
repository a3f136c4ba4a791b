"""Designs: a block, sash, triangle or border worked out once, however often a quilt repeats it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction

from blocks.applique import AppliqueLaid, lay_applique
from blocks.blockfile import Block
from blocks.laying import PlacedPatch, lay_unit
from blocks.motion import STAY, Motion, Point
from blocks.pieced import make_units, whole_block
from blocks.polygons import rectangle
from blocks.tiling import check_tiling
from blocks.units import Batch, BatchPiece, Leaf, Unit
from blocks.values import Bend, CutOutline, CutPiece, CutRectangle, Draft, Patch
from blocks.versions import mirror_notes

__all__ = ["Design", "design_block", "design_leaf", "draft_of", "patches_of", "pieces_of", "spare_notes"]

_NOTHING = AppliqueLaid((), (), (), ())


@dataclass(frozen=True, slots=True)
class Design:
    """Patches in their own frame with the batches that make them.

    Batches go on from one repeat to the next: the second block uses what the first one's pairs left over.
    """

    name: str
    outline: tuple[Point, ...]
    placed: tuple[PlacedPatch, ...]
    laid: AppliqueLaid
    batches: tuple[Batch, ...]
    used: dict[str, int]
    """Units of each batch's step in one repeat."""
    wanted: tuple[tuple[str, str, bool], ...] = ()
    notes: tuple[str, ...] = ()

    def __len__(self) -> int:
        return len(self.placed) + len(self.laid.patches)


def design_block(block: Block, *, seam_in: Fraction) -> Design:
    """A block worked out; its ground is checked to tile exactly.

    Raises: MisfitError, TilingError, OutlineError, and FaultsError from the appliqué.
    """
    units = make_units(block.steps, seam_in=seam_in)
    whole = whole_block(block, units)
    ground = rectangle(block.finished_width_in, block.finished_height_in)
    laid = lay_applique(block.applique, ground=ground, first_piece=0, first_patch=0, seam_in=seam_in)
    design = _design(block.name, ground, whole, laid)
    check_tiling((patch.outline for patch in design.placed), block=ground, step=block.steps[-1].name)
    notes = (*mirror_notes(units, whole), *laid.notes)
    return replace(design, wanted=block.wanted, notes=notes)


def design_leaf(name: str, leaf: Leaf, *, outline: tuple[Point, ...]) -> Design:
    """A design of one unit, such as a sash or a setting triangle."""
    return _design(name, outline, leaf, _NOTHING)


def _design(name: str, outline: tuple[Point, ...], unit: Unit, laid: AppliqueLaid) -> Design:
    used: dict[str, int] = {}
    placed = tuple(lay_unit(unit, STAY, made=used))
    batches = tuple({patch.batch.step: patch.batch for patch in placed}.values())
    return Design(name, outline, placed, laid, batches, used)


def pieces_of(design: Design, *, repeats: int, first: int) -> list[CutPiece]:
    """Every piece that so many repeats need, batch by batch, numbered from `first`; the appliqué last."""
    pieces: list[CutPiece] = []
    for batch in design.batches:
        units = design.used[batch.step] * repeats
        for making in range(_makings(batch, units)):
            left = min(units - making * batch.makes, batch.makes)
            for piece in batch.pieces:
                pieces.append(CutPiece(first + len(pieces), piece.role, _shape(piece, left), batch.step))
    for _ in range(repeats):
        for cut in design.laid.pieces:
            pieces.append(replace(cut, number=first + len(pieces)))
    return pieces


def patches_of(
    design: Design, *, nth: int, repeats: int, motion: Motion, first_piece: int, first_patch: int
) -> Iterable[Patch]:
    """The patches of the nth repeat (from 0), moved into place, with the pieces they are cut from."""
    back = motion.inverse()
    starts: dict[str, int] = {}
    start = first_piece
    for batch in design.batches:
        starts[batch.step] = start
        start += _makings(batch, design.used[batch.step] * repeats) * len(batch.pieces)
    for i, patch in enumerate(design.placed):
        batch = patch.batch
        occurrence = nth * design.used[batch.step] + patch.occurrence
        making, slot = divmod(occurrence, batch.makes)
        index, to_piece = patch.leaf.slots[slot]
        yield Patch(
            number=first_patch + i,
            role=patch.role,
            outline=motion.all(patch.outline),
            piece=starts[batch.step] + making * len(batch.pieces) + index,
            to_piece=to_piece.after(patch.motion.inverse()).after(back),
            step=batch.step,
        )
    start += nth * len(design.laid.pieces)
    for i, shape in enumerate(design.laid.patches, start=len(design.placed)):
        yield replace(
            shape,
            number=first_patch + i,
            piece=start + shape.piece,
            outline=motion.all(shape.outline),
            to_piece=_carried(shape.to_piece, motion),
        )


def spare_notes(design: Design, *, repeats: int) -> list[str]:
    """Units that a method makes beyond those needed; strip sets stop where they are long enough."""
    notes = []
    for batch in design.batches:
        spare = -design.used[batch.step] * repeats % batch.makes
        if spare and all(piece.pitch_in is None for piece in batch.pieces):
            notes.append(f"The {batch.step} step makes {spare} more than needed.")
    return notes


def draft_of(design: Design, *, seam_in: Fraction, width_in: Fraction, height_in: Fraction) -> Draft:
    """One repeat of a design as a draft of its own."""
    return Draft(
        name=design.name,
        finished_width_in=width_in,
        finished_height_in=height_in,
        seam_in=seam_in,
        pieces=tuple(pieces_of(design, repeats=1, first=0)),
        patches=tuple(patches_of(design, nth=0, repeats=1, motion=STAY, first_piece=0, first_patch=1)),
        wanted=design.wanted,
        unread=design.laid.unread,
        notes=(*design.notes, *spare_notes(design, repeats=1)),
    )


def _carried(to_piece: Motion | Bend, motion: Motion) -> Motion | Bend:
    """The map to the piece once the shape has been moved."""
    if isinstance(to_piece, Motion):
        return to_piece.after(motion.inverse())
    if motion == STAY:
        return to_piece
    centre = tuple((float(x), float(y)) for x, y in motion.all(to_piece.centre))
    return replace(to_piece, centre=centre)


def _makings(batch: Batch, units: int) -> int:
    return -(-units // batch.makes)


def _shape(piece: BatchPiece, units: int) -> CutRectangle | CutOutline:
    if piece.pitch_in is None or isinstance(piece.shape, CutOutline):
        return piece.shape
    return CutRectangle(piece.pitch_in * units, piece.shape.height_in)
