"""One-way cloth: pieces laid so that the print of every patch finishes upright, as far as hands can.

A square is turned before it is sewn, a rectangle is cut the other way of the cloth, a template is turned on
it. A piece that makes several patches, such as a square of half-square pairs, holds them at fixed angles to
each other; where the block needs them at other angles, not all can finish upright, and a note says so.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace
from math import cos, radians, sin

from blocks.advice import upright_advice
from blocks.lays import NoSuchRoleError, piece_lays
from blocks.motion import Motion, Number, shift, turn
from blocks.oneway import upright_notes
from blocks.polygons import bounds, rectangle
from blocks.turns import PrintTurn, print_turns
from blocks.values import CutBias, CutOutline, CutRectangle, Draft

__all__ = ["NoSuchRoleError", "PrintTurn", "lay_upright", "print_turns", "upright_advice"]


def lay_upright(draft: Draft, *, roles: Collection[str]) -> Draft:
    """The same block with the pieces of these roles laid so that their prints finish upright.

    Which unit of a making goes where is chosen anew, pieces are turned, and a rectangle whose print must run
    the other way has its width and height exchanged. What cannot finish upright is told in the notes, with
    its count and a way of making that can.
    Raises: NoSuchRoleError.
    """
    matched, lays = piece_lays(draft, roles=roles)
    pieces, patches = list(matched.pieces), list(matched.patches)
    at = {patch.number: i for i, patch in enumerate(patches)}
    for lay in lays:
        if lay.lay_deg:
            shape, motion = _turned(lay.piece.shape, lay.lay_deg, seam_in=draft.seam_in)
            pieces[lay.piece.number] = replace(lay.piece, shape=shape)
            for patch in lay.patches:
                assert isinstance(patch.to_piece, Motion)  # a bent strip is never laid otherwise
                patches[at[patch.number]] = replace(patch, to_piece=motion.after(patch.to_piece))
    notes = (*matched.notes, *upright_notes(matched, lays))
    return replace(matched, pieces=tuple(pieces), patches=tuple(patches), notes=notes)


def _turned(
    shape: CutRectangle | CutOutline | CutBias, lay_deg: float, *, seam_in: Number
) -> tuple[CutRectangle | CutOutline, Motion]:
    """A shape turned on the cloth, its own top left corner at the origin, and the motion that does it."""
    assert not isinstance(shape, CutBias)
    spin = _spin(lay_deg)
    outline = shape.outline if isinstance(shape, CutOutline) else rectangle(shape.width_in, shape.height_in)
    left, top, right, bottom = bounds(spin.all(outline))
    motion = shift(-left, -top).after(spin)
    if isinstance(shape, CutOutline):
        return CutOutline(motion.all(outline), motion.all(shape.finished)), motion
    if spin.is_square():
        return CutRectangle(right - left, bottom - top), motion
    inner = rectangle(shape.width_in - 2 * seam_in, shape.height_in - 2 * seam_in)
    return CutOutline(motion.all(outline), motion.all(shift(seam_in, seam_in).all(inner))), motion


def _spin(lay_deg: float) -> Motion:
    """A turn about the origin, exact for quarter turns."""
    if lay_deg % 90 == 0:
        return turn(int(lay_deg))
    return Motion(cos(radians(lay_deg)), sin(radians(lay_deg)), 0.0, 0.0)
