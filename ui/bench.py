"""A block worked out in its cloth: cutting says where each piece lies, preview looks at the cloth just there.

This is the one place where `cutting` and `preview` meet.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from blocks.blockfile import Block
from blocks.drafting import draft_block
from blocks.edges import find_edges
from blocks.values import Draft, Edge
from cutting.layout import ClothPlan, all_places, lay_out
from cutting.rules import CuttingRules
from preview.audition import Audition, make_audition
from preview.keeping import PaintCache
from preview.readings import EdgeReading, read_edges
from swatches.swatch import Swatch
from ui.mistakes import Mistake, closest

__all__ = ["Drafted", "Worked", "draft", "roles_of", "work_out"]


@dataclass(frozen=True, slots=True)
class Drafted:
    """A block without cloth: what it is made of, and where its patches meet."""

    block: Block
    draft: Draft
    edges: tuple[Edge, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Worked:
    """A block in its cloth, with everything that is said of it."""

    drafted: Drafted
    roles: Mapping[str, Swatch]
    cloths: Mapping[str, Swatch]
    """Every cloth in the block, by its key."""
    plans: tuple[ClothPlan, ...]
    audition: Audition

    def cloth_names(self) -> dict[str, str]:
        """What people call each cloth, by its key."""
        return {key: swatch.name for key, swatch in self.cloths.items()}

    def readings(self, *, cache: PaintCache | None = None) -> tuple[EdgeReading, ...]:
        """Every edge as it reads, the weakest first; none for a block of one patch.

        With a cache, another choice of cloth for the same draft is read much faster.
        """
        edges = self.drafted.edges
        return read_edges(self.audition, edges, cache=cache) if edges else ()


def draft(block: Block, *, seam_in: Fraction) -> Drafted:
    """The block drafted, with its edges found; independent of any cloth.

    Raises: what `draft_block` raises for a block that does not fit.
    """
    drafted = draft_block(block, seam_in=seam_in)
    return Drafted(block, drafted, find_edges(drafted, unread=drafted.unread))


def roles_of(drafted: Drafted) -> dict[str, str]:
    """Each role that shows or is cut, with what it is for, in the order the block names them."""
    used = dict.fromkeys(piece.role for piece in drafted.draft.pieces)
    told = dict(drafted.block.roles)
    named = [role for role in told if role in used]
    return {role: told.get(role, "") for role in [*named, *(role for role in used if role not in told)]}


def work_out(
    drafted: Drafted,
    *,
    roles: Mapping[str, Swatch],
    patches: Mapping[int, Swatch] | None = None,
    rules: CuttingRules | None = None,
) -> Worked:
    """The block in these cloths: each role's, except where single patches are given another.

    Patches that one cut piece makes keep to one cloth: a cloth for one of them is a cloth for all.
    Raises: Mistake for a role or patch that the block does not have, or a role left without a cloth.
    """
    _check(drafted, roles, patches or {})
    by_piece = {drafted.draft.patches[number - 1].piece: cloth for number, cloth in (patches or {}).items()}
    by_patch = {
        patch.number: by_piece[patch.piece] for patch in drafted.draft.patches if patch.piece in by_piece
    }
    cloths = {swatch.key: swatch for swatch in [*roles.values(), *by_piece.values()]}
    plans = lay_out(
        drafted.draft,
        cloth_of={role: swatch.key for role, swatch in roles.items()},
        width_of_fabric_in={key: swatch.width_of_fabric_in for key, swatch in cloths.items()},
        rules=rules,
        one_way={key for key, swatch in cloths.items() if swatch.one_way},
        overrides={piece: swatch.key for piece, swatch in by_piece.items()},
    )
    audition = make_audition(drafted.draft, roles=dict(roles), places=all_places(plans), overrides=by_patch)
    return Worked(drafted, roles, cloths, plans, audition)


def _check(drafted: Drafted, roles: Mapping[str, Swatch], patches: Mapping[int, Swatch]) -> None:
    known = roles_of(drafted)
    for role in roles:
        if role not in known:
            raise Mistake(f'{drafted.draft.name} has no role "{role}".', mend=closest(role, known))
    missing = [role for role in known if role not in roles]
    if missing:
        raise Mistake(
            f"No cloth is chosen for {', '.join(missing)}.", mend=f"Choose one: {missing[0]}=CLOTH."
        )
    count = len(drafted.draft.patches)
    for number in patches:
        if not 1 <= number <= count:
            raise Mistake(
                f"{drafted.draft.name} has no patch {number}.", mend=f"Give a number from 1 to {count}."
            )
