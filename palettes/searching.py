"""Looks for one cloth for each role such that every edge reaches a level: backtracking on rows of bits.

Which cloths a role may still take are the bits of one whole number. Branches are cut off where a role is
left with nothing, and where too few cloths are left that could all lie beside each other: they are sorted
into groups of cloths that cannot, and roles that all meet need as many groups.
Source: Haralick and Elliott (1980), forward checking; Tomita and Seki (2003), the colouring bound.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

__all__ = ["Search", "alike_roles"]

_Tables = Mapping[tuple[int, int], NDArray[np.floating]]
_Fits = dict[tuple[int, int], list[int]]


class Search:
    """One problem, asked at many levels."""

    def __init__(
        self,
        allowed: NDArray[np.bool_],
        tables: _Tables,
        groups: Sequence[frozenset[int]],
        *,
        liking: NDArray[np.floating] | None,
        repeat: bool,
        most_tries: int,
    ) -> None:
        self._tables = tables
        self._repeat = repeat
        self._groups = groups
        self._tries_left = most_tries
        self._domains = _bits(allowed)
        self._cloths = allowed.shape[1]
        self._meets = {frozenset(pair) for pair in tables}
        self._along = _along_the_line(tables, self._cloths)
        likes = np.zeros(allowed.shape) if liking is None else np.asarray(liking, dtype=np.float64)
        # The best liked first; among those, along the line, so that too few are soon left beyond a cloth.
        along = np.array(self._along)
        self._order = [along[np.argsort(-row[along], kind="stable")].tolist() for row in likes]
        self._later = [_later_bits(order, repeat=repeat) for order in self._order]

    def at_level(
        self, level: float, before: Sequence[tuple[int, ...]], *, apart: int
    ) -> tuple[tuple[int, ...] | None, bool]:
        """A choice with every edge at this level or above, and whether the answer is certain.

        It has `apart` cloths at least, counted role by role or group by group, that none of those before has.
        """
        fits = self._fits_at(level)
        either = [0] * self._cloths
        for rows in fits.values():
            either = [a | b for a, b in zip(either, rows, strict=True)]
        domains = _consistent(self._domains, fits)
        if domains is None:
            return None, True
        used = [
            [_union(1 << other[mate] for mate in self._groups[role]) for role in range(len(domains))]
            for other in before
        ]
        spare = [len(domains) - apart] * len(before)
        found = self._extend({}, domains, (fits, either, used), spare)
        return found, found is not None or self._tries_left > 0

    def _fits_at(self, level: float) -> _Fits:
        fits: _Fits = {}
        made: dict[int, tuple[list[int], list[int]]] = {}
        for (one, other), table in self._tables.items():
            if id(table) not in made:
                good = np.asarray(table) >= level
                made[id(table)] = _bits(good), _bits(good.T)
            for key, bits in zip(((one, other), (other, one)), made[id(table)], strict=True):
                kept = fits.get(key)
                fits[key] = bits if kept is None else [a & b for a, b in zip(kept, bits, strict=True)]
        return fits

    def _extend(
        self,
        chosen: dict[int, int],
        domains: list[int],
        rules: tuple[_Fits, list[int], list[list[int]]],
        spare: list[int],
    ) -> tuple[int, ...] | None:
        """The first way to complete a choice; `spare` says how often it may still agree with those before."""
        if len(chosen) == len(domains):
            return tuple(chosen[role] for role in range(len(domains)))
        fits, either, used = rules
        open_roles = [role for role in range(len(domains)) if role not in chosen]
        if not self._enough(open_roles, domains, either):
            return None
        role = min(open_roles, key=lambda each: domains[each].bit_count())
        for cloth in self._order[role]:
            if not domains[role] >> cloth & 1:
                continue
            self._tries_left -= 1
            if self._tries_left <= 0:
                return None
            left = [n - (row[role] >> cloth & 1) for n, row in zip(spare, used, strict=True)]
            if min(left, default=0) < 0:
                continue
            narrowed = self._narrowed(domains, role, cloth, open_roles, fits)
            if narrowed is None:
                continue
            found = self._extend({**chosen, role: cloth}, narrowed, rules, left)
            if found is not None:
                return found
        return None

    def _narrowed(
        self, domains: list[int], role: int, cloth: int, open_roles: list[int], fits: _Fits
    ) -> list[int] | None:
        """What the other roles may still take beside this cloth; None where one may take nothing."""
        narrowed = list(domains)
        narrowed[role] = 1 << cloth
        after, upto = self._later[role][cloth]
        for other in open_roles:
            if other == role:
                continue
            if not self._repeat:
                narrowed[other] &= ~(1 << cloth)
            if (role, other) in fits:
                narrowed[other] &= fits[role, other][cloth]
            if other in self._groups[role]:
                # Of roles that are alike the first takes the first cloth, or each choice would come often.
                narrowed[other] &= after if other > role else upto
            if not narrowed[other]:
                return None
        return narrowed

    def _enough(self, open_roles: list[int], domains: list[int], either: list[int]) -> bool:
        """Whether as many cloths as there are roles that all meet might lie beside each other."""
        meeting: list[int] = []
        if self._repeat:
            return True
        for role in open_roles:
            if all(frozenset((role, other)) in self._meets for other in meeting):
                meeting.append(role)
        if len(meeting) < 3:
            return True
        left = _union(domains[role] for role in meeting)
        classes = 0
        # Each round takes cloths no two of which can lie beside each other.
        while left:
            classes += 1
            if classes >= len(meeting):
                return True
            clash = left
            for cloth in self._along:
                if clash >> cloth & 1:
                    left &= ~(1 << cloth)
                    clash &= ~either[cloth] & ~(1 << cloth)
                    if not clash:
                        break
        return False


def alike_roles(
    allowed: NDArray[np.bool_], tables: _Tables, liking: NDArray[np.floating] | None
) -> tuple[frozenset[int], ...]:
    """For each role those, itself among them, that it could change cloths with and nothing would differ."""
    roles = len(allowed)
    groups = [{role} for role in range(roles)]
    for one, other in combinations(range(roles), 2):
        same = np.array_equal(allowed[one], allowed[other])
        same = same and (liking is None or np.array_equal(liking[one], liking[other]))
        if same and _swap_tells_nothing(one, other, roles, tables):
            groups[one].add(other)
            groups[other].add(one)
    return tuple(frozenset(group) for group in groups)


def _swap_tells_nothing(one: int, other: int, roles: int, tables: _Tables) -> bool:
    for third in range(roles):
        if third in (one, other):
            continue
        first, second = _table_of(one, third, tables), _table_of(other, third, tables)
        if (first is None) != (second is None):
            return False
        if first is not None and second is not None and not np.array_equal(first, second):
            return False
    between = _table_of(one, other, tables)
    return between is None or np.array_equal(between, between.T)


def _table_of(one: int, other: int, tables: _Tables) -> NDArray[np.floating] | None:
    """What counts between two roles, the first role's cloth first; both ways where both are given."""
    there, back = tables.get((one, other)), tables.get((other, one))
    if there is None or back is None:
        return there if back is None else np.transpose(back)
    return np.minimum(there, np.transpose(back))


def _along_the_line(tables: _Tables, cloths: int) -> list[int]:
    """The cloths in an order that puts those that clash beside each other: mostly from dark to light."""
    if not tables:
        return list(range(cloths))
    mean = np.mean([(np.asarray(table) + np.transpose(table)) / 2 for table in tables.values()], axis=0)
    near = -mean + mean.mean(axis=0) + mean.mean(axis=1)[:, None] - mean.mean()
    return [int(each) for each in np.argsort(np.linalg.eigh(near).eigenvectors[:, -1], kind="stable")]


def _later_bits(order: list[int], *, repeat: bool) -> dict[int, tuple[int, int]]:
    """For each cloth the bits of those that come after it in an order, and of those before it."""
    every = _union(1 << cloth for cloth in order)
    found, seen = {}, 0
    for cloth in order:
        own = 1 << cloth if repeat else 0
        found[cloth] = (every & ~seen & ~(1 << cloth)) | own, seen | own
        seen |= 1 << cloth
    return found


def _union(parts: Iterable[int]) -> int:
    whole = 0
    for part in parts:
        whole |= part
    return whole


def _bits(rows: NDArray[np.bool_]) -> list[int]:
    """Each row of truth values as the bits of one whole number, the first value lowest."""
    packed = np.packbits(rows, axis=1, bitorder="little")
    return [int.from_bytes(row.tobytes(), "little") for row in packed]


def _consistent(domains: list[int], fits: _Fits) -> list[int] | None:
    """The domains without cloths that fit no cloth of some neighbour; None where one is left empty."""
    kept = list(domains)
    changed = True
    while changed:
        changed = False
        for (one, other), rows in fits.items():
            bits, left = kept[one], 0
            while bits:
                lowest = bits & -bits
                if rows[lowest.bit_length() - 1] & kept[other]:
                    left |= lowest
                bits ^= lowest
            if left != kept[one]:
                kept[one], changed = left, True
            if not left:
                return None
    return kept
