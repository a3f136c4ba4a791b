"""Which way the print of every patch points once the block is sewn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import atan2, degrees

from blocks.motion import Motion
from blocks.values import Draft, Patch

__all__ = ["PrintTurn", "group_turns", "print_turn", "print_turns"]

BIAS_DEG = 45.0
"""A bias strip is cut at this angle to the grain, so its print lies so to the strip everywhere."""

_DECIMALS = 6


@dataclass(frozen=True, slots=True)
class PrintTurn:
    """Patches of one step and role whose print finishes the same way."""

    step: str
    role: str
    turn_deg: float
    """Clockwise from upright, 0 to below 360; of a bent strip, from the line that it follows."""
    along_curve: bool
    """Whether the patches are bent strips, whose print turns with the curve and is upright nowhere."""
    count: int
    patches: tuple[int, ...]
    """Patch numbers."""


def print_turns(draft: Draft) -> tuple[PrintTurn, ...]:
    """How far the print of each patch is turned in the finished block, step by step and role by role.

    Pieces are taken to be cut with their print upright, its top towards the top of the piece.
    """
    return group_turns(draft.patches)


def group_turns(patches: Iterable[Patch]) -> tuple[PrintTurn, ...]:
    """The turns of these patches, those of one step, role and turn together, in the order first met."""
    groups: dict[tuple[str, str], dict[tuple[float, bool], list[int]]] = {}
    for patch in patches:
        bent = not isinstance(patch.to_piece, Motion)
        turn_deg = print_turn(patch.to_piece) if isinstance(patch.to_piece, Motion) else BIAS_DEG
        alike = groups.setdefault((patch.step, patch.role), {})
        alike.setdefault((turn_deg, bent), []).append(patch.number)
    return tuple(
        PrintTurn(step, role, turn_deg, bent, len(numbers), tuple(numbers))
        for (step, role), alike in groups.items()
        for (turn_deg, bent), numbers in sorted(alike.items())
    )


def print_turn(to_piece: Motion) -> float:
    """Degrees clockwise that an upright print is turned on its way from the piece into the block.

    Example: print_turn(turn(90)) -> 270.0, for the way back from the block to the piece turns by 90
    """
    turned = round(degrees(atan2(-to_piece.sin, to_piece.cos)) % 360, _DECIMALS)
    return 0.0 if turned == 360 else turned
