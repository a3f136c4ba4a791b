"""Choose for me: cloths for the open roles, so that the weakest edge that should read is as strong as can be.

Exact: a choice is looked for that keeps every edge at a level, by backtracking over roles
(palettes/searching.py); the level is then raised by halving until there is none.
Source: the bottleneck form of constraint optimisation, as in Dechter (2003), Constraint Processing,
chapters 5 and 13.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.searching import Search, alike_roles

__all__ = ["Choice", "ChoiceError", "choose_cloths"]

_MOST_TRIES = 100_000
"""Cloths tried in a role in all before the rest is given up as undecided: some seconds (ours)."""

_Tables = Mapping[tuple[int, int], NDArray[np.floating]]


class ChoiceError(ValueError):
    """A choice that cannot be made. Carries how to mend it."""

    def __init__(self, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(why)


@dataclass(frozen=True, slots=True)
class Choice:
    """One cloth for every role."""

    cloths: tuple[int, ...]
    """For each role the index of its cloth."""
    weakest: float
    """The least share among the edges that should read."""
    weakest_pair: tuple[int, int]
    """The roles of that edge."""
    is_proven: bool
    """No choice that differs enough from those before is better."""


def choose_cloths(
    allowed: NDArray[np.bool_],
    tables: _Tables,
    *,
    count: int = 10,
    differ: int = 2,
    liking: NDArray[np.floating] | None = None,
    repeat: bool = False,
) -> tuple[Choice, ...]:
    """Up to `count` choices, the best first; each has `differ` cloths at least that none before it has.

    allowed: (roles, cloths), which cloth may take which role; a fixed role allows one.
    tables: for each pair of roles whose edge should read the share (cloths, cloths) that would show, the
    first role's cloth first. liking: (roles, cloths), which of several equally good cloths is tried first.
    repeat: one cloth may take several roles. Roles between which nothing tells (the same cloths, the same
    tables) may change cloths without making another choice. Where fewer roles are open than `differ`, as
    many cloths as roles are open.
    Raises: ChoiceError where a role has no cloth, or there are too few cloths for all roles.
    """
    allowed = np.asarray(allowed, dtype=bool)
    _check(allowed, tables)
    groups = alike_roles(allowed, tables, liking)
    search = Search(allowed, tables, groups, liking=liking, repeat=repeat, most_tries=_MOST_TRIES)
    levels = np.unique(np.concatenate([np.zeros(1), *(np.ravel(table) for table in tables.values())]))
    apart = min(differ, int((allowed.sum(axis=1) > 1).sum()))
    found: list[Choice] = []
    ceiling = len(levels) - 1
    while len(found) < count:
        best, proven = _best(search, levels, tables, [each.cloths for each in found], apart, ceiling)
        if best is None:
            break
        weakest, pair = _weakest(best, tables)
        found.append(Choice(best, weakest, pair, proven))
        ceiling = int(np.searchsorted(levels, weakest, side="right")) - 1
        if apart == 0:
            break
    if not found:
        raise ChoiceError(
            "There are too few different cloths for all the roles.",
            mend="Add cloths, widen what each role may take, or let one cloth take several roles.",
        )
    return tuple(found)


def _best(
    search: Search,
    levels: NDArray[np.floating],
    tables: _Tables,
    before: Sequence[tuple[int, ...]],
    apart: int,
    ceiling: int,
) -> tuple[tuple[int, ...] | None, bool]:
    """The best choice that differs enough from those before, and whether that is proven."""
    proven = True
    # At `low` a choice is known, at `high` there is none; the ceiling itself is tried first, for the
    # next choice is often as good as the last.
    low, high, middle = -1, ceiling + 1, ceiling
    found: tuple[int, ...] | None = None
    while high - low > 1:
        better, sure = search.at_level(float(levels[middle]), before, apart=apart)
        if better is None:
            high = middle
            proven = proven and sure
        else:
            found = better
            low = max(middle, int(np.searchsorted(levels, _weakest(found, tables)[0], side="right")) - 1)
        middle = (low + high) // 2
    return found, proven


def _weakest(cloths: Sequence[int], tables: _Tables) -> tuple[float, tuple[int, int]]:
    """The least share of a choice, and the roles where it is."""
    shares = {(a, b): float(table[cloths[a], cloths[b]]) for (a, b), table in tables.items()}
    if not shares:
        return 1.0, (0, 0)
    pair = min(shares, key=lambda each: shares[each])
    return shares[pair], pair


def _check(allowed: NDArray[np.bool_], tables: _Tables) -> None:
    if allowed.ndim != 2 or not len(allowed):
        raise ValueError(f"allowed must be (roles, cloths), got shape {allowed.shape}")
    roles, cloths = allowed.shape
    for (one, other), table in tables.items():
        if not (0 <= one < roles and 0 <= other < roles) or one == other:
            raise ValueError(f"a table for roles {one} and {other}, which are not two of {roles}")
        if np.shape(table) != (cloths, cloths) or not (np.asarray(table) >= 0).all():
            raise ValueError(f"the table for roles {one} and {other} must hold {cloths} x {cloths} shares")
    empty = [index for index, row in enumerate(allowed) if not row.any()]
    if empty:
        raise ChoiceError(
            f"No cloth may take role {empty[0] + 1} of {roles}.",
            mend="Widen the hue families or the wished palette of this role, or add cloths.",
        )
