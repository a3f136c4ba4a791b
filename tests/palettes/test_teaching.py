from __future__ import annotations

from itertools import combinations

import pytest

from palettes.teaching import cloths_by_grade, sorting_task, value_placements

ROLES = ("ground", "star", "centre")
MEETINGS = (("ground", "star"), ("star", "centre"))


def test_the_first_placement_reads_and_the_last_is_flat() -> None:
    found = value_placements(ROLES, MEETINGS)
    assert len(found) == 6
    assert found[0].steps == 2
    assert found[-1].steps == 0
    assert {grade for _, grade in found[-1].grades} == {"medium"}
    assert "mush" in found[-1].lesson
    assert all(each.lesson.endswith(".") for each in found)


def test_placements_differ_and_their_steps_are_true() -> None:
    found = value_placements(ROLES, MEETINGS)
    assert len({each.grades for each in found}) == len(found)
    rank = {"light": 0, "medium": 1, "dark": 2}
    for each in found:
        grades = {role: rank[grade] for role, grade in each.grades}
        assert [role for role, _ in each.grades] == list(ROLES)
        assert each.steps == min(abs(grades[a] - grades[b]) for a, b in MEETINGS)
    for one, other in combinations(found[:3], 2):
        assert sum(a != b for a, b in zip(one.grades, other.grades, strict=True)) >= 2


def test_one_role_and_none() -> None:
    assert len(value_placements(("all",), ())) == 3
    with pytest.raises(ValueError, match="1 to 8"):
        value_placements((), ())


def test_each_role_has_a_cloth_of_its_grade() -> None:
    L_of = {"milk": 95, "straw": 85, "sky": 62, "moss": 50, "bark": 30, "soot": 15}
    for placement in value_placements(ROLES, MEETINGS):
        taken = cloths_by_grade(placement, L_of)
        for role, grade in placement.grades:
            low, high = {"light": (80, 100), "medium": (40, 70), "dark": (0, 35)}[grade]
            assert low <= L_of[taken[role]] <= high
    with pytest.raises(ValueError, match="three"):
        cloths_by_grade(placement, {"milk": 95, "soot": 15})


def test_a_heap_to_sort_and_its_marks() -> None:
    L_of = {"milk": 95, "cream": 93, "sky": 62, "moss": 50, "bark": 30}
    task = sorting_task(L_of, seed=3)
    assert task == sorting_task(L_of, seed=3)
    assert sorted(task.heap) == sorted(task.answer)
    assert task.answer == ("milk", "cream", "sky", "moss", "bark")
    assert task.too_near == (("milk", "cream"),)
    assert task.marks(task.answer) == (9, 9)
    assert task.marks(("cream", "milk", "sky", "moss", "bark")) == (9, 9)
    assert task.marks(task.answer[::-1]) == (0, 9)
    assert task.marks(("milk", "cream", "moss", "sky", "bark")) == (8, 9)
    assert any(sorting_task(L_of, seed=seed).heap != task.heap for seed in range(4, 8))
