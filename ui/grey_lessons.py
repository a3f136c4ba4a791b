"""Lessons on greys that are no value: a phone's black and white, and coloured film."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from palettes.coloured_film import FILMS, film_gap_L, film_srgb8
from palettes.encodings import lin_to_srgb8
from palettes.looks import Look
from palettes.phone_grey import phone_grey_gap_L, phone_grey_srgb8
from palettes.thresholds import THRESHOLDS
from preview.seen_cloth import cloth_look
from preview.views_value import value_view
from swatches.swatch import Swatch
from ui.bench import Worked
from ui.lesson_pages import Handout, picture_grid
from ui.lesson_parts import Lesson, cloths_in, drawn

__all__ = ["coloured_film_lesson", "phone_grey_lesson"]

_Gap = Callable[[NDArray[np.uint8]], NDArray[np.float64]]

_SIDE_PX = 480
_LISTED = 12


def phone_grey_lesson(worked: Worked, _: Sequence[Swatch]) -> Lesson:
    """Two grey pictures of one block, of which one tells the truth."""
    shown = drawn(worked, _SIDE_PX)
    phone = np.repeat(phone_grey_srgb8(shown)[..., None], 3, axis=2)
    pictures = [shown, phone, value_view(shown)]
    name = worked.drafted.draft.name
    sheet = Handout(
        f"Can you trust a grey photograph? {name}",
        (
            "One of the grey pictures is what a phone's black and white makes of the block. The other has",
            "the lightness that the eye sees (CIE L*). Which is which? Which cloths differ between them?",
        ),
        picture_grid(pictures, ["the block", "A", "B"], across=2),
    )
    rows = _gap_rows(worked, {"phone's grey": phone_grey_gap_L})
    return Lesson(
        sheet,
        Handout(
            f"Answers: {sheet.title}",
            (
                "A is the phone's. It weighs the numbers of red, green and blue in the file (ITU-R BT.601), "
                "not their light, so that strong colours come out too dark or too light. In L*:",
                *rows,
            ),
            picture_grid(pictures, ["the block", "A: phone's grey", "B: value by L*"], across=2),
            (3.0, 4.2),
        ),
        tuple(cloths_in(worked)),
    )


def coloured_film_lesson(worked: Worked, _: Sequence[Swatch]) -> Lesson:
    """The block behind two films, and what they get wrong."""
    shown = drawn(worked, _SIDE_PX)
    behind = [film_srgb8(shown, film=film) for film in FILMS]
    name = worked.drafted.draft.name
    sheet = Handout(
        f"Value through a coloured film: {name}",
        (
            "Quilters look through red or green film to see value without colour. Here is the block through",
            "both. Where do the two disagree? Which cloth would you call light here and dark there?",
            "Look at cloth through a film, never at a lamp or the sun.",
        ),
        picture_grid([shown, *behind], ["the block", *(f"through {film} film" for film in FILMS)], across=2),
    )
    gaps = {f"{film} film": _film_gap(film) for film in FILMS}
    return Lesson(
        sheet,
        Handout(
            f"Answers: {sheet.title}",
            (
                "A film shows its own colour too light and the opposite one too dark: red cloth is a light "
                "behind red film. How far each cloth is off, in L*:",
                *_gap_rows(worked, gaps),
            ),
            picture_grid(
                [*behind, value_view(shown)],
                [*(f"through {film} film" for film in FILMS), "value by L*"],
                across=2,
            ),
            (3.0, 4.2, 5.4),
        ),
        tuple(cloths_in(worked)),
    )


def _film_gap(film: str) -> _Gap:
    known = next(each for each in FILMS if each == film)
    return lambda codes: film_gap_L(codes, film=known)


def _gap_rows(worked: Worked, gaps: Mapping[str, _Gap]) -> list[str]:
    """A row for each cloth: how far off each way is for its mean colour, the worst first."""
    looks: dict[str, Look] = {swatch.name: cloth_look(swatch) for swatch in cloths_in(worked)}
    codes = {name: lin_to_srgb8(look.mean_lin.astype(np.float32)) for name, look in looks.items()}
    off = {name: [float(gap(code)) for gap in gaps.values()] for name, code in codes.items()}
    order = sorted(off, key=lambda name: -max(abs(each) for each in off[name]))
    rows = ["", "\t".join(["cloth", "its L*", *gaps])]
    for name in order[:_LISTED]:
        told = [
            f"{round(each):+d}{' (wrong)' if abs(each) >= THRESHOLDS.half_seen_L else ''}"
            for each in off[name]
        ]
        rows.append("\t".join([name, f"{looks[name].L:.0f}", *told]))
    step = f"{THRESHOLDS.half_seen_L:g} L*, a whole value step"
    worst = max(abs(each) for gaps_of in off.values() for each in gaps_of)
    if worst < THRESHOLDS.half_seen_L:
        return [*rows, f"None of these cloths is off by {step}; try a block in bright red, blue or yellow."]
    return [*rows, f"Wrong is what is off by {step}, or more."]
