"""A block or a quilt worked out in its cloth: cutting says where each piece lies, preview looks just there.

This is the one place where `cutting` and `preview` meet.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from blocks.blockfile import Block
from blocks.drafting import draft_block
from blocks.edges import find_edges
from blocks.joins import quilt_edges
from blocks.quilt import Quilt, set_quilt, write_out
from blocks.upright import lay_upright
from blocks.values import Draft, Edge
from cutting.layout import ClothPlan, all_places, lay_out
from cutting.rules import CuttingRules
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import Audition, make_audition
from preview.keeping import PaintCache
from preview.quilt_audition import QuiltAudition, dress_quilt
from preview.readings import EdgeReading, read_edges
from preview.scene import Scene, scene_of
from swatches.swatch import Swatch
from ui.making import Making
from ui.mistakes import Mistake, closest
from ui.setting_words import setting_roles

__all__ = ["Drafted", "Worked", "draft", "draft_making", "roles_of", "stand_upright", "work_out"]


@dataclass(frozen=True, slots=True, eq=False)
class Drafted:
    """A block or a quilt without cloth: what it is made of, and where its patches meet."""

    making: Making
    draft: Draft
    edges: tuple[Edge, ...]
    scene: Scene
    quilt: Quilt | None = None
    upright: tuple[str, ...] = ()
    """The roles whose pieces are laid so that their prints finish upright."""


@dataclass(frozen=True, slots=True, eq=False)
class Worked:
    """A block or a quilt in its cloth, with everything that is said of it."""

    drafted: Drafted
    roles: Mapping[str, Swatch]
    cloths: Mapping[str, Swatch]
    """Every cloth in it, by its key."""
    plans: tuple[ClothPlan, ...]
    audition: Audition | QuiltAudition

    def cloth_names(self) -> dict[str, str]:
        """What people call each cloth, by its key."""
        return {key: swatch.name for key, swatch in self.cloths.items()}

    def cloth_of_patches(self) -> dict[int, Swatch]:
        """The cloth of every patch, by its number."""
        wear = self.audition.wear
        worn = (wear.swatches[which] for which in wear.swatch_of.tolist())
        return dict(zip((patch.number for patch in self.drafted.draft.patches), worn, strict=True))

    def readings(
        self, *, viewing: Viewing = ACROSS_TABLE, cache: PaintCache | None = None
    ) -> tuple[EdgeReading, ...]:
        """Every edge of a block as it reads, the weakest first; none for a block of one patch.

        With a cache, another choice of cloth for the same draft is read much faster.
        """
        edges = self.drafted.edges
        if not edges or not isinstance(self.audition, Audition):
            return ()
        return read_edges(self.audition, edges, viewing=viewing, cache=cache)


def draft(block: Block, *, seam_in: Fraction) -> Drafted:
    """The block drafted, with its edges found; independent of any cloth.

    Raises: what `draft_block` raises for a block that does not fit.
    """
    return draft_making(Making(block.name, {block.name: block}), seam_in=seam_in)


def draft_making(making: Making, *, seam_in: Fraction) -> Drafted:
    """A block or a quilt drafted, with its edges found; independent of any cloth.

    Raises: what `draft_block` raises for a block that does not fit, SettingError for a setting.
    """
    if making.setting is None:
        found = draft_block(making.block(), seam_in=seam_in)
        return Drafted(making, found, find_edges(found, unread=found.unread), scene_of(found))
    quilt = set_quilt(making.setting, making.blocks, seam_in=seam_in, name=making.name)
    return Drafted(making, write_out(quilt), tuple(quilt_edges(quilt)), scene_of(quilt), quilt)


def stand_upright(drafted: Drafted, *, roles: Collection[str]) -> Drafted:
    """The same with the pieces of these roles laid so that their prints finish upright, where hands can."""
    used = {piece.role for piece in drafted.draft.pieces}
    turned = tuple(role for role in roles if role in used)
    if not turned:
        return drafted
    laid = lay_upright(drafted.draft, roles=turned)
    return replace(drafted, draft=laid, scene=scene_of(laid), upright=turned)


def roles_of(drafted: Drafted) -> dict[str, str]:
    """Each role that shows or is cut, with what it is for, in the order the blocks name them."""
    used = dict.fromkeys(piece.role for piece in drafted.draft.pieces)
    told: dict[str, str] = {}
    for block in drafted.making.blocks.values():
        told |= {role: about for role, about in block.roles if role not in told}
    setting = drafted.making.setting
    if setting is not None:
        told |= {role: about for role, about in setting_roles(setting).items() if role not in told}
        if setting.binding is not None:
            used[setting.binding.cloth] = None
    named = [role for role in told if role in used]
    return {role: told.get(role, "") for role in [*named, *(role for role in used if role not in told)]}


def work_out(
    drafted: Drafted,
    *,
    roles: Mapping[str, Swatch],
    patches: Mapping[int, Swatch] | None = None,
    rules: CuttingRules | None = None,
) -> Worked:
    """The block or quilt in these cloths: each role's, except where single patches are given another.

    Patches that one cut piece makes keep to one cloth: a cloth for one of them is a cloth for all.
    Raises: Mistake for a role or patch that there is not, or a role left without a cloth.
    """
    _check(drafted, roles, patches or {})
    found = drafted.draft
    by_piece = {found.patches[number - 1].piece: cloth for number, cloth in (patches or {}).items()}
    by_patch = {patch.number: by_piece[patch.piece] for patch in found.patches if patch.piece in by_piece}
    cloths = {swatch.key: swatch for swatch in [*roles.values(), *by_piece.values()]}
    plans = lay_out(
        found,
        cloth_of={role: swatch.key for role, swatch in roles.items()},
        width_of_fabric_in={key: swatch.width_of_fabric_in for key, swatch in cloths.items()},
        rules=rules,
        one_way={key for key, swatch in cloths.items() if swatch.one_way},
        overrides={piece: swatch.key for piece, swatch in by_piece.items()},
    )
    shown = {patch.role for patch in found.patches}
    worn = {role: swatch for role, swatch in roles.items() if role in shown}
    places = all_places(plans)
    audition: Audition | QuiltAudition
    if drafted.quilt is None or drafted.upright:
        audition = make_audition(found, roles=worn, places=places, overrides=by_patch)
    else:
        audition = dress_quilt(
            drafted.quilt, roles=worn, places=places, overrides=by_patch, scene=drafted.scene
        )
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
