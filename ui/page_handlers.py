"""What the page does when something is chosen: plain functions from a choice to everything that is shown."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from blocks.lengths import inches_text
from cutting.rows import sheet_rows
from ui.bench import roles_of
from ui.choice import Choice, choice_query, read_view
from ui.mistakes import Mistake, Told, tell
from ui.page_words import cutting_html, downloads_html, mistake_html, seams_html
from ui.settings import SEAM, VIEWS
from ui.workroom import Workroom

__all__ = ["Shown", "change_block", "change_look", "open_page", "read_choice"]

_MOST_ROLES = 200


@dataclass(frozen=True, slots=True)
class Shown:
    """Everything on the page that follows from a choice. None for a part that stays as it is."""

    shelf: dict[str, Any] | None
    wall: dict[str, Any] | None
    seams: str | None
    cutting: str | None
    take: str | None
    mistake: str


def open_page(room: Workroom, block: str) -> Shown:
    """The page as it opens: a block in our own first choice of cloth."""
    return _show(room, room.first_choice(block, seam_in=SEAM.default), view="colour")


def change_block(room: Workroom, block: object, seam: object, view: object) -> Shown:
    """The page after another block was chosen, in our own first choice of cloth."""
    try:
        choice = room.first_choice(str(block), seam_in=_seam(seam))
        return _show(room, choice, view=read_view(view))
    except Exception as error:
        return _mistaken(error)


def change_look(room: Workroom, held: object, seam: object, view: object) -> Shown:
    """The page after a role was given a cloth, or another seam allowance or view was chosen."""
    try:
        return _show(room, read_choice(held, seam=seam), view=read_view(view))
    except Exception as error:
        return _mistaken(error)


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


def _show(room: Workroom, choice: Choice, *, view: str) -> Shown:
    worked = room.worked(choice)
    drafted = worked.drafted
    found = drafted.draft
    query = choice_query(choice)
    rows = sheet_rows(found, worked.plans, names=worked.cloth_names())
    size = f"{inches_text(found.finished_width_in)} x {inches_text(found.finished_height_in)} in"
    return Shown(
        shelf={
            "block": choice.block,
            "cloths": dict(choice.cloths),
            "roles": [{"role": role, "about": about} for role, about in roles_of(drafted).items()],
        },
        wall={
            "src": f"/picture.png?{choice_query(choice, view=view)}",
            "alt": f"{found.name}: {VIEWS[view]}",
            "caption": " ".join(
                (
                    f"{found.name}, {size} finished. Point at a patch, or at a line of the readings.",
                    *worked.audition.notes,
                )
            ),
            "outlines": f"/outlines.json?{choice_query(Choice(choice.block, (), choice.seam_in))}",
            "cloths": {str(number): swatch.name for number, swatch in worked.audition.cloths.items()},
        },
        seams=seams_html(room.readings(choice)),
        cutting=cutting_html(worked, rows),
        take=downloads_html(query),
        mistake="",
    )


def _mistaken(error: Exception) -> Shown:
    told: Told | None = tell(error)
    if told is None:
        raise error
    return Shown(None, None, None, None, None, mistake_html(told))
