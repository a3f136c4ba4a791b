"""For a class: one block in several value placements, and a heap of cloth to sort, with the answer."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np

from palettes.thresholds import THRESHOLDS

__all__ = ["Grade", "Placement", "SortingTask", "cloths_by_grade", "sorting_task", "value_placements"]

Grade = Literal["light", "medium", "dark"]

_GRADES: tuple[Grade, ...] = ("light", "medium", "dark")


@dataclass(frozen=True, slots=True)
class Placement:
    """A value for every role."""

    grades: tuple[tuple[str, Grade], ...]
    """Role and grade, in the order of the roles."""
    steps: int
    """The least number of grades between two roles that meet: 2 reads from afar, 0 does not read."""
    lesson: str
    """What the class should see, in one sentence."""


@dataclass(frozen=True, slots=True)
class SortingTask:
    """Cloths to sort from light to dark."""

    heap: tuple[str, ...]
    """As they are handed out."""
    answer: tuple[str, ...]
    """From light to dark by L*."""
    L: tuple[float, ...]
    """L* of the answer."""
    too_near: tuple[tuple[str, str], ...]
    """Neighbours in the answer that either order is right for."""

    def marks(self, given: Sequence[str]) -> tuple[int, int]:
        """How many of the pairs that are far enough apart a given order has right, and how many there are."""
        place = {name: index for index, name in enumerate(given)}
        pairs = [
            (lighter, darker)
            for i, lighter in enumerate(self.answer)
            for j, darker in enumerate(self.answer[i + 1 :], start=i + 1)
            if self.L[i] - self.L[j] >= _TELLABLE_L
        ]
        return sum(place[lighter] < place[darker] for lighter, darker in pairs), len(pairs)


_TELLABLE_L = THRESHOLDS.sureness_L
"""Cloths nearer than this in L* are not to be told apart for sure: half a value step."""


def value_placements(
    roles: Sequence[str], meetings: Iterable[tuple[str, str]], *, count: int = 6
) -> tuple[Placement, ...]:
    """Up to `count` ways to give the roles light, medium and dark, as different from each other as there are.

    meetings: pairs of roles whose edges should read. The strongest comes first and a flat one, all
    medium, last: the class should see what is lost.
    Raises: ValueError for no role, or more than 8.
    """
    if not 1 <= len(roles) <= 8:
        raise ValueError(f"value placements are made for 1 to 8 roles, got {len(roles)}")
    index = {role: i for i, role in enumerate(roles)}
    pairs = sorted({(index[one], index[other]) for one, other in meetings if one != other})
    ways = np.array(list(product(range(3), repeat=len(roles))))
    gaps = np.abs(ways[:, [a for a, _ in pairs]] - ways[:, [b for _, b in pairs]])
    strength = (
        gaps.min(axis=1) * 1000 + gaps.sum(axis=1) if pairs else (ways.max(axis=1) > ways.min(axis=1)) * 1
    )
    flat = len(ways) // 2
    chosen = [int(np.argmax(strength))]
    while len(chosen) < min(count - 1, len(ways) - 1):
        # The next is the one that changes most roles against every one before; of those, the strongest.
        changed = np.min([(ways != ways[each]).sum(axis=1) for each in chosen], axis=0)
        rank = changed * 100_000 + strength
        rank[[*chosen, flat]] = -1
        chosen.append(int(np.argmax(rank)))
    if count > 1 and flat not in chosen:
        chosen.append(flat)
    return tuple(
        _placement(roles, ways[each], gaps[each] if pairs else np.zeros(1), each == flat) for each in chosen
    )


def cloths_by_grade(placement: Placement, L_of: Mapping[str, float]) -> dict[str, str]:
    """For each role a cloth of its grade, another for each as long as there are some: a third of them each.

    L_of: L* of the cloths by name. Raises: ValueError with fewer than three cloths.
    """
    if len(L_of) < 3:
        raise ValueError(f"three cloths at least are wanted for light, medium and dark, got {len(L_of)}")
    names = sorted(L_of, key=lambda name: (-L_of[name], name))
    third = len(names) / 3
    heaps = {grade: names[round(i * third) : round((i + 1) * third)] for i, grade in enumerate(_GRADES)}
    # The lights from the lightest on, the darks from the darkest, the mediums from their middle.
    heaps["dark"] = heaps["dark"][::-1]
    middle = L_of[heaps["medium"][len(heaps["medium"]) // 2]]
    heaps["medium"] = sorted(heaps["medium"], key=lambda name: abs(L_of[name] - middle))
    taken: dict[Grade, int] = dict.fromkeys(_GRADES, 0)
    found = {}
    for role, grade in placement.grades:
        found[role] = heaps[grade][taken[grade] % len(heaps[grade])]
        taken[grade] += 1
    return found


def sorting_task(L_of: Mapping[str, float], *, seed: int = 0) -> SortingTask:
    """The cloths in a heap by chance, and the answer by L*. L_of: L* of each cloth's mean light by name."""
    answer = tuple(sorted(L_of, key=lambda name: (-L_of[name], name)))
    names = sorted(L_of)
    heap = tuple(names[i] for i in np.random.default_rng(seed).permutation(len(names)))
    L = tuple(float(L_of[name]) for name in answer)
    near = tuple((answer[i], answer[i + 1]) for i in range(len(answer) - 1) if L[i] - L[i + 1] < _TELLABLE_L)
    return SortingTask(heap, answer, L, near)


def _placement(roles: Sequence[str], way: np.ndarray, gaps: np.ndarray, is_flat: bool) -> Placement:
    grades = tuple((role, _GRADES[int(grade)]) for role, grade in zip(roles, way, strict=True))
    steps = int(gaps.min()) if len(gaps) else 0
    darkest = [role for role, grade in grades if grade == "dark"]
    if is_flat:
        lesson = "All of one value: the block turns to mush, however lovely each cloth is."
    elif steps == 0:
        lesson = "Two roles that meet share a value, and their edge goes."
    elif darkest:
        lesson = f"The dark {', '.join(darkest)} comes forward and carries the design."
    else:
        lesson = "Without a dark the design stays soft."
    return Placement(grades, steps, lesson)
