"""What the page does when something is chosen: plain functions from a choice to everything that is shown."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from blocks.lengths import inches_text
from cutting.rows import sheet_rows
from ui.bench import Worked, roles_of
from ui.choice import Choice, choice_query, read_view
from ui.mistakes import Mistake, Told, tell
from ui.page_words import cutting_html, downloads_html, mistake_html, seams_html
from ui.settings import SEAM, VIEWS
from ui.workroom import Workroom

__all__ = ["Said", "Seen", "read_choice", "say_block", "say_choice", "see_block", "see_choice"]

_MOST_ROLES = 200


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of a choice. None for a part that stays as it is."""

    shelf: dict[str, Any] | None
    wall: dict[str, Any] | None
    take: str | None
    mistake: str


@dataclass(frozen=True, slots=True)
class Said:
    """What is said of a choice; it takes longer to find, so the picture does not wait for it."""

    seams: str | None
    cutting: str | None


def see_block(room: Workroom, block: object, seam: object, view: object) -> Seen:
    """A block in our own first choice of cloth."""
    return _seen(room, lambda: room.first_choice(str(block), seam_in=_seam(seam)), view)


def see_choice(room: Workroom, held: object, seam: object, view: object) -> Seen:
    """The choice that the page holds, after a role was given a cloth or the view was changed."""
    return _seen(room, lambda: read_choice(held, seam=seam), view)


def say_block(room: Workroom, block: object, seam: object) -> Said:
    """Readings and cutting list of a block in our own first choice of cloth."""
    return _said(room, lambda: room.first_choice(str(block), seam_in=_seam(seam)))


def say_choice(room: Workroom, held: object, seam: object) -> Said:
    """Readings and cutting list of the choice that the page holds."""
    return _said(room, lambda: read_choice(held, seam=seam))


def read_choice(held: object, *, seam: object) -> Choice:
    """The choice that the page holds; it comes from a browser, so every part of it is checked.

    Raises: Mistake for anything that no page of ours sends, or a seam allowance that is none.
    """
    strange = Mistake("The page sent what it should not.", mend="Load the page again.")
    if not isinstance(held, dict):
        raise strange
    block, cloths = held.get("block"), held.get("cloths")
    if not isinstance(block, str) or not isinstance(cloths, dict) or len(cloths) > _MOST_ROLES:
        raise strange
    if not all(isinstance(word, str) for pair in cloths.items() for word in pair):
        raise strange
    return Choice(block, tuple(cloths.items()), _seam(seam))


def _seam(typed: object) -> Fraction:
    return SEAM.read(typed if isinstance(typed, str) else None)


def _seen(room: Workroom, choose: Callable[[], Choice], view: object) -> Seen:
    try:
        choice, wanted = choose(), read_view(view)
        worked = room.worked(choice)
    except Exception as error:
        return Seen(None, None, None, mistake_html(_told(error)))
    found = worked.drafted.draft
    return Seen(
        shelf={
            "block": choice.block,
            "cloths": dict(choice.cloths),
            "roles": [{"role": role, "about": about} for role, about in roles_of(worked.drafted).items()],
        },
        wall={
            "src": f"/picture.png?{choice_query(choice, view=wanted)}",
            "alt": f"{found.name}: {VIEWS[wanted]}",
            "caption": _caption(worked),
            "outlines": f"/outlines.json?{choice_query(Choice(choice.block, (), choice.seam_in))}",
            "cloths": {str(number): swatch.name for number, swatch in worked.cloth_of_patches().items()},
        },
        take=downloads_html(choice_query(choice)),
        mistake="",
    )


def _caption(worked: Worked) -> str:
    found = worked.drafted.draft
    size = f"{inches_text(found.finished_width_in)} x {inches_text(found.finished_height_in)} in"
    about = f"{found.name}, {size} finished. Point at a patch, or at a line of the readings."
    return " ".join((about, *worked.audition.notes))


def _said(room: Workroom, choose: Callable[[], Choice]) -> Said:
    try:
        choice = choose()
        worked = room.worked(choice)
    except Exception as error:
        _told(error)  # what a user can mend is told once, beside the picture
        return Said(None, None)
    rows = sheet_rows(worked.drafted.draft, worked.plans, names=worked.cloth_names())
    return Said(seams_html(room.readings(choice)), cutting_html(worked, rows))


def _told(error: Exception) -> Told:
    told = tell(error)
    if told is None:
        raise error
    return told
