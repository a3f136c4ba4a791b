"""How each piece of a one-way cloth is to be laid, so that its print finishes upright in the block."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from blocks.matching import match_units
from blocks.motion import Motion
from blocks.turns import print_turn
from blocks.values import CutOutline, CutPiece, Draft, Patch

__all__ = ["NoSuchRoleError", "PieceLay", "piece_lays"]


class NoSuchRoleError(ValueError):
    """A role that the block does not use."""

    def __init__(self, role: str, known: Sequence[str]) -> None:
        self.mend = f"Name roles of the block: {', '.join(known)}."
        super().__init__(f'The block has no role "{role}".')


@dataclass(frozen=True, slots=True)
class PieceLay:
    """How one piece of a one-way cloth is laid, and what comes of it."""

    piece: CutPiece
    lay_deg: float
    """How far its shape is turned on the cloth, clockwise from the way it is cut otherwise."""
    patches: tuple[Patch, ...]
    upright: int
    """How many of its patches then finish with their print upright."""

    def spoilt(self) -> int:
        """How many of its patches do not."""
        return len(self.patches) - self.upright


def piece_lays(draft: Draft, *, roles: Collection[str]) -> tuple[Draft, tuple[PieceLay, ...]]:
    """The block with its units matched to their places, and how each piece of these roles is to be laid.

    Pieces that end up wholly under others are left out.
    Raises: NoSuchRoleError.
    """
    known = tuple(dict.fromkeys(piece.role for piece in draft.pieces))
    for role in roles:
        if role not in known:
            raise NoSuchRoleError(role, known)
    matched = match_units(draft, roles=roles)
    patches: dict[int, list[Patch]] = defaultdict(list)
    for patch in matched.patches:
        patches[patch.piece].append(patch)
    return matched, tuple(
        _lay(matched.pieces[number], tuple(members))
        for number, members in sorted(patches.items())
        if matched.pieces[number].role in roles
    )


def _lay(piece: CutPiece, patches: tuple[Patch, ...]) -> PieceLay:
    """One piece laid as most of its patches need it, and left as it is where that serves as many."""
    turns = Counter(print_turn(patch.to_piece) for patch in patches if isinstance(patch.to_piece, Motion))
    # A shape for one patch may be cut at any angle; a square or strip to be cut up keeps to its grain.
    free = isinstance(piece.shape, CutOutline) or len(patches) == 1
    possible = [turn_deg for turn_deg in turns if free or turn_deg % 90 == 0]
    lay_deg = min(possible, key=lambda turn_deg: (-turns[turn_deg], turn_deg), default=0.0)
    return PieceLay(piece, lay_deg, patches, turns[lay_deg])
