"""Choose for me, for a block: cloths of the stash for its open roles, and how each choice reads as laid."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from blocks.values import Edge
from palettes.choosing import Choice, ChoiceError, choose_cloths
from palettes.hues import Family, allowed_in_families, allowed_near
from palettes.looks import Look
from palettes.pair_table import pair_table
from palettes.thresholds import THRESHOLDS
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import Audition, make_audition
from preview.keeping import PaintCache
from preview.readings import EdgeReading, read_edges
from preview.seen_cloth import cloth_look
from preview.survey import Survey, survey_edges
from swatches.swatch import Swatch

__all__ = ["BlockChoice", "choose_for_block"]


@dataclass(frozen=True, slots=True, eq=False)
class BlockChoice:
    """A cloth for every role of the block."""

    cloths: tuple[tuple[str, Swatch], ...]
    """Role and cloth, in the order in which the roles come in the block."""
    weakest: float
    """The least share among the edges of open roles that should read, wherever the cloths are cut."""
    weakest_roles: tuple[str, str]
    is_proven: bool
    """No choice that differs enough from those before has a stronger weakest edge."""
    audition: Audition
    as_laid: tuple[EdgeReading, ...]
    """Every edge with these cloths as they lie here, the weakest first."""


def choose_for_block(
    audition: Audition,
    edges: Sequence[Edge],
    *,
    open_roles: Collection[str],
    stash: Sequence[Swatch],
    families: Mapping[str, Collection[Family]] | None = None,
    wished_lab: ArrayLike | None = None,
    with_colour: bool = False,
    count: int = 10,
    viewing: Viewing = ACROSS_TABLE,
    cache: PaintCache | None = None,
) -> tuple[BlockChoice, ...]:
    """Up to `count` ways to fill the open roles from the stash, that with the strongest weakest edge first.

    Only edges that a choice can change are weighed: those with an open role on either side.

    The other roles keep their cloths, and so do single patches that have their own. families: for a role
    the families of hue that it keeps to; wished_lab: a palette (k, 3) that all open roles keep to.
    Raises: ChoiceError where a role has no cloth to take; ValueError for a role that the block does not have.
    """
    kept = cache if cache is not None else PaintCache()
    roles = list(dict.fromkeys(patch.role for patch in audition.draft.patches))
    unknown = sorted(set(open_roles) - set(roles))
    if unknown or not open_roles:
        raise ValueError(
            f"open roles must be roles of the block ({', '.join(roles)}), got {unknown or 'none'}"
        )
    own = {patch.role: audition.cloth_of(patch) for patch in reversed(audition.draft.patches)}
    fixed = [role for role in roles if role not in open_roles]
    # The stash once each, then the cloths that stay: those may be taken by their own roles only.
    cloths = list({cloth.key: cloth for cloth in stash}.values())
    cloths += [own[role] for role in fixed]
    looks = [cloth_look(cloth, cache=kept) for cloth in cloths]
    allowed = _allowed(roles, open_roles, fixed, cloths, looks, families=families, wished_lab=wished_lab)
    pairs = _pairs(survey_edges(audition.draft, edges, cache=kept), roles) if edges else {}
    # An edge between two cloths that stay is the same in every choice: were it counted, a weak one would
    # make all choices tie.
    pairs = {pair: narrow for pair, narrow in pairs.items() if any(roles[i] in open_roles for i in pair)}
    made = {
        narrow: pair_table(looks, narrow=narrow, with_colour=with_colour) for narrow in set(pairs.values())
    }
    tables = {pair: made[narrow] for pair, narrow in pairs.items()}
    found = choose_cloths(allowed, tables, count=count)
    return tuple(
        _laid(audition, edges, roles, [cloths[index] for index in choice.cloths], choice, viewing, kept)
        for choice in found
    )


def _allowed(
    roles: Sequence[str],
    open_roles: Collection[str],
    fixed: Sequence[str],
    cloths: Sequence[Swatch],
    looks: Sequence[Look],
    *,
    families: Mapping[str, Collection[Family]] | None,
    wished_lab: ArrayLike | None,
) -> NDArray[np.bool_]:
    """Which cloth may take which role (roles, cloths); last those that stay, one for each fixed role."""
    spare = len(cloths) - len(fixed)
    wishes = allowed_in_families(looks, [(families or {}).get(role) for role in roles])
    if wished_lab is not None:
        wishes &= allowed_near(looks, wished_lab, roles=len(roles))
    taken = {cloth.key for cloth in cloths[spare:]}
    free = np.array([index < spare and cloth.key not in taken for index, cloth in enumerate(cloths)])
    allowed = np.zeros((len(roles), len(cloths)), bool)
    for row, role in enumerate(roles):
        if role in open_roles:
            allowed[row] = free & wishes[row]
        else:
            allowed[row, spare + fixed.index(role)] = True
        if not allowed[row].any():
            raise ChoiceError(
                f'No cloth of the stash may take the role "{role}".',
                mend="Widen its hue families or the wished palette, or add cloths to the stash.",
            )
    return allowed


def _pairs(survey: Survey, roles: Sequence[str]) -> dict[tuple[int, int], bool]:
    """The pairs of roles with an edge that should read, and whether a narrow patch is among them."""
    patches = survey.draft.patches
    found: dict[tuple[int, int], bool] = {}
    for index, edge in enumerate(survey.edges):
        one, other = sorted(roles.index(patches[int(owner[index])].role) for owner in survey.owners)
        if edge.wanted and one != other:
            narrow = bool(survey.radii_in[index] < THRESHOLDS.compared_radius_in)
            found[one, other] = found.get((one, other), False) or narrow
    return found


def _laid(
    audition: Audition,
    edges: Sequence[Edge],
    roles: Sequence[str],
    cloths: Sequence[Swatch],
    choice: Choice,
    viewing: Viewing,
    cache: PaintCache,
) -> BlockChoice:
    changed = make_audition(
        audition.draft,
        roles=dict(zip(roles, cloths, strict=True)),
        places=dict(enumerate(audition.places)),
        overrides=_singles(audition),
    )
    one, other = choice.weakest_pair
    return BlockChoice(
        tuple(zip(roles, cloths, strict=True)),
        choice.weakest,
        (roles[one], roles[other]),
        choice.is_proven,
        changed,
        read_edges(changed, edges, viewing=viewing, cache=cache),
    )


def _singles(audition: Audition) -> dict[int, Swatch]:
    """Patches in another cloth than most of their role."""
    by_role: dict[str, list[str]] = {}
    for patch in audition.draft.patches:
        by_role.setdefault(patch.role, []).append(audition.cloth_of(patch).key)
    usual = {role: max(dict.fromkeys(keys), key=keys.count) for role, keys in by_role.items()}
    return {
        patch.number: audition.cloth_of(patch)
        for patch in audition.draft.patches
        if audition.cloth_of(patch).key != usual[patch.role]
    }
