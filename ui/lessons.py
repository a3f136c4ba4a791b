"""Lessons on value for a class, each with its answers: made from a block in its cloth."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from palettes.teaching import Placement, cloths_by_grade, sorting_task, value_placements
from palettes.viewing import feet_away
from preview.first_to_go import FEET, Going, first_to_go
from preview.frame import prepare_frame
from preview.render import paint
from preview.seen_cloth import cloth_look
from preview.views import lines_view
from preview.views_value import far_view, value_view
from swatches.swatch import Swatch
from ui.asked import one_block
from ui.bench import Worked, work_out
from ui.grey_lessons import coloured_film_lesson, phone_grey_lesson
from ui.lesson_pages import Handout, picture_grid
from ui.lesson_parts import Lesson, cloths_in, drawn
from ui.looks import look_at_cloth
from ui.mistakes import Mistake
from ui.reading_words import percent

__all__ = ["LESSONS"]

_Picture = NDArray[np.uint8]

_LARGE_PX, _SMALL_PX = 900, 480
_CHIP_PX = 220
_HEAP = 12
_PLACEMENTS = 6
_MOST_ROLES = 8
_QUIET_L = 20.0
"""A cloth for a lesson on value reaches no further from light to dark than this (ours)."""
_LISTED = 12


def _value_placements(worked: Worked, pool: Sequence[Swatch]) -> Lesson:
    """One block, its values dealt out anew."""
    roles = list(dict.fromkeys(patch.role for patch in worked.drafted.draft.patches))
    if len(roles) > _MOST_ROLES:
        raise Mistake(
            f"This block has {len(roles)} roles, and {_MOST_ROLES} can be placed.",
            mend="Name a simpler block.",
        )
    looks = {swatch.name: cloth_look(swatch) for swatch in pool}
    quiet = {name: look.L for name, look in looks.items() if look.high_L - look.low_L <= _QUIET_L}
    if len(quiet) < 3:
        raise Mistake("Too few quiet cloths are at hand for this lesson.", mend="Use --from-cloth demo.")
    role_of = {patch.number: patch.role for patch in worked.drafted.draft.patches}
    meetings = [(role_of[edge.first], role_of[edge.second]) for edge in worked.drafted.edges if edge.wanted]
    placements = value_placements(roles, meetings, count=_PLACEMENTS)
    by_name = {swatch.name: swatch for swatch in pool}
    chosen = [cloths_by_grade(placement, quiet) for placement in placements]
    pictures = [
        drawn(work_out(worked.drafted, roles={**worked.roles, **_named(names, by_name)}), _SMALL_PX)
        for names in chosen
    ]
    # In another order than that of their strength, or the first were always right.
    name = worked.drafted.draft.name
    order = np.random.default_rng(crc32(name.encode())).permutation(len(placements)).tolist()
    letters = [chr(ord("A") + place) for place in range(len(order))]
    shuffled = [pictures[i] for i in order]
    sheet = Handout(
        f"One block, {len(order)} placements of value: {name}",
        (
            "Hold the sheet at arm's length, squint, then look again from across the room.",
            "1. Which picture reads from farthest away?   2. In which is the design lost?",
            "3. In each: which part comes forward? Write light, medium or dark beside each part.",
        ),
        picture_grid(shuffled, letters, across=2),
    )
    told = [
        _placement_line(letter, placements[i], chosen[i]) for letter, i in zip(letters, order, strict=True)
    ]
    best = letters[order.index(0)]
    return Lesson(
        sheet,
        Handout(
            f"Answers: {sheet.title}",
            (
                f"{best} is the strongest. By light and dark alone (CIE L*) the pictures look like this:",
                *told,
            ),
            picture_grid([value_view(each) for each in shuffled], letters, across=2),
        ),
        tuple(by_name[cloth] for names in chosen for cloth in names.values()),
    )


def _named(names: Mapping[str, str], by_name: Mapping[str, Swatch]) -> dict[str, Swatch]:
    return {role: by_name[cloth] for role, cloth in names.items()}


def _placement_line(letter: str, placement: Placement, names: Mapping[str, str]) -> str:
    grades = ", ".join(f"{role} {grade} ({names[role]})" for role, grade in placement.grades)
    return f"{letter}: {placement.lesson} {grades}."


def _sorting(worked: Worked, pool: Sequence[Swatch]) -> Lesson:
    """A heap of cloths to sort from light to dark."""
    heap = {swatch.name: swatch for swatch in cloths_in(worked)[:_HEAP]}
    others = [swatch for swatch in pool if swatch.name not in heap]
    spread = np.random.default_rng(0).permutation(len(others))[: _HEAP - len(heap)]
    heap |= {others[i].name: others[i] for i in spread.tolist()}
    if len(heap) < 3:
        raise Mistake("Three cloths at least are wanted for sorting.", mend="Use --from-cloth demo.")
    task = sorting_task({name: cloth_look(swatch).L for name, swatch in heap.items()})
    number_of = {name: number for number, name in enumerate(task.heap, start=1)}
    chips = {name: look_at_cloth(heap[name], side_px=_CHIP_PX) for name in task.heap}
    sheet = Handout(
        "Sort these cloths from light to dark",
        (
            "Cut the cloths apart with their numbers, children with an adult beside them; or write the",
            "numbers in a row, the lightest first.",
            "Do it first with your eyes wide open, then squinting, then with the lamp turned away.",
            "Which ones changed their place? Which two could you not tell apart?",
        ),
        picture_grid(
            [chips[name] for name in task.heap], [str(number_of[name]) for name in task.heap], across=4
        ),
    )
    order = ", ".join(str(number_of[name]) for name in task.answer)
    near = "; ".join(f"{number_of[one]} and {number_of[other]}" for one, other in task.too_near)
    in_order = [chips[name] for name in task.answer]
    captions = [f"{number_of[name]}: {name}" for name in task.answer]
    told = [f"L* {each:.0f}" for each in task.L]
    both = [each for pair in zip(in_order, map(value_view, in_order), strict=True) for each in pair]
    words = [each for pair in zip(captions, told, strict=True) for each in pair]
    return Lesson(
        sheet,
        Handout(
            f"Answers: {sheet.title}",
            (
                f"From light to dark, by the L* of each cloth's mean light: {order}.",
                f"So near that either order is right: {near}."
                if near
                else "All are far enough apart to tell.",
                "Each cloth beside the grey of its own lightness:",
            ),
            picture_grid(both, words, across=6, text_px=20),
        ),
        tuple(heap.values()),
    )


def _first_to_go(worked: Worked, _: Sequence[Swatch]) -> Lesson:
    """Which edge is lost first, walking away."""
    audition = one_block(worked, what="Edges are watched from afar")
    goings = _by_roles(first_to_go(audition, worked.drafted.edges))[:_LISTED]
    scene = worked.drafted.scene
    ppi = _LARGE_PX / max(float(scene.width_in), float(scene.height_in))
    frame = prepare_frame(scene, ppi=ppi)
    numbered = lines_view(frame, over_srgb8=paint(frame, worked.audition))
    name = worked.drafted.draft.name
    rule = "\t_____ feet"
    sheet = Handout(
        f"Which patch goes first? {name}",
        (
            "Pin the block up and walk away from it, from 2 to 20 feet. Where do you lose these edges?",
            "",
            *(f"{_pair(each)}{rule}" for each in goings),
        ),
        numbered,
        (4.5,),
    )
    small_ppi = _SMALL_PX / max(float(scene.width_in), float(scene.height_in))
    small = drawn(worked, _SMALL_PX)
    far = [far_view(small, ppi=small_ppi, viewing=feet_away(feet)) for feet in FEET]
    head = "\t".join(["Shows at", *(f"{feet:g} ft" for feet in FEET), "goes at"])
    stops = tuple(3.1 + 0.55 * step for step in range(len(FEET) + 1))
    return Lesson(
        sheet,
        Handout(
            f"Answers: {sheet.title}",
            (
                "How much of each edge shows by light and dark, and from where it is lost. The pictures are "
                "blurred as the eye blurs the block from each distance.",
                "",
                head,
                *(_going_line(each) for each in goings),
            ),
            picture_grid(far, [f"{feet:g} feet" for feet in FEET], across=3),
            stops,
        ),
        tuple(cloths_in(worked)),
    )


def _by_roles(goings: Sequence[Going]) -> list[Going]:
    """The first to go of each two roles."""
    first: dict[frozenset[str], Going] = {}
    for each in goings:
        first.setdefault(frozenset((each.first_role, each.second_role)), each)
    return list(first.values())


def _pair(each: Going) -> str:
    return f"{each.first} {each.first_role} and {each.second} {each.second_role}"


def _going_line(each: Going) -> str:
    goes = f"{each.goes_at_feet:g} ft" if each.goes_at_feet else "stays"
    return "\t".join([_pair(each), *(percent(share) for share in each.shares), goes])


LESSONS: Mapping[str, Callable[[Worked, Sequence[Swatch]], Lesson]] = MappingProxyType(
    {
        "value-placements": _value_placements,
        "sorting": _sorting,
        "first-to-go": _first_to_go,
        "phone-grey": phone_grey_lesson,
        "coloured-film": coloured_film_lesson,
    }
)
"""What makes each lesson, from a block in its cloth and the cloths that may be used beside it."""
