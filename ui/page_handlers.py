"""What the page does when something is chosen: plain functions from a choice to everything that is shown."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from blocks.lengths import inches_text
from ui.bench import Worked, roles_of
from ui.binding_part import cutting_rows
from ui.choice import Choice, choice_query, read_view
from ui.colour_words import mentioned
from ui.making_notes import noted_draft
from ui.mistakes import Mistake, Told, tell
from ui.page_words import cautions_html, cutting_html, downloads_html, kinds_html, mistake_html, seams_html
from ui.quilt_choice import quilt_from_words
from ui.ruler_words import grid_for, grid_sentences
from ui.setting_words import quilt_sentence
from ui.settings import SEAM, VIEWS, WIDTH
from ui.workroom import Workroom, taken_ppi

__all__ = ["Asked", "Said", "Seen", "read_choice", "say_choice", "see_choice"]

_MOST_ROLES = 200


@dataclass(frozen=True, slots=True)
class Asked:
    """What stands in the page's fields, as it was sent: nothing is checked yet."""

    seam: object = ""
    view: object = "colour"
    width: object = ""
    upright: object = False
    how: object = ""
    across: object = None
    down: object = None
    second: object = ""
    sashing: object = ""
    stones: object = False
    border: object = ""
    corners: object = ""
    binding: object = ""


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


def see_choice(room: Workroom, held: object, asked: Asked) -> Seen:
    """The choice that the page holds. Roles without a cloth get our own first choice of one.

    The shelf is sent only if its roles change: it is the browser's own otherwise, so that an answer to an
    earlier click never undoes a later one.
    """
    try:
        sent, view = read_choice(held, asked), read_view(asked.view)
        choice = room.first_choice(sent)
        stamp = room.stamp(choice)
        worked = room.worked(choice, seen=stamp)
    except Exception as error:
        return Seen(None, None, None, mistake_html(_told(error)))
    known = _role_names(held)
    return Seen(
        shelf=None if known == list(roles_of(worked.drafted)) else _shelf(held, choice, worked),
        wall=_wall(room, choice, worked, view, stamp),
        take=downloads_html(choice_query(choice), ppi=taken_ppi(worked.drafted)),
        mistake="",
    )


def say_choice(room: Workroom, held: object, asked: Asked) -> Said:
    """Readings and cutting list of the choice that the page holds."""
    try:
        choice, view = room.first_choice(read_choice(held, asked)), read_view(asked.view)
        stamps, stamp = room.shelf.stamps(), room.stamp(choice)
        worked = room.worked(choice, seen=stamp)
        # The picture first: while it is painted, reading would only take its time away.
        room.picture_png(choice, view, seen=stamp)
        quilt = worked.drafted.quilt is not None
        # Within: cloth may be taken out of the stash at any moment.
        seams = kinds_html(room.kinds(choice)) if quilt else seams_html(room.readings(choice))
    except Exception as error:
        _told(error)  # what a user can mend is told once, beside the picture
        return Said(None, None)
    found = noted_draft(worked, more=_grid_notes(choice, worked))
    rows = cutting_rows(worked)
    cautions = cautions_html(mentioned(*worked.cloths.values()))
    return Said(
        cautions + seams,
        cutting_html(worked, rows, notes=(*found.notes, *worked.audition.notes), stamps=stamps),
    )


def read_choice(held: object, asked: Asked) -> Choice:
    """The choice that the page holds; it comes from a browser, so every part of it is checked.

    Raises: Mistake for anything that no page of ours sends, or a length that is none.
    """
    strange = Mistake("The page sent what it should not.", mend="Load the page again.")
    if not isinstance(held, dict):
        raise strange
    block, cloths = held.get("block"), held.get("cloths")
    if not isinstance(block, str) or not isinstance(cloths, dict) or len(cloths) > _MOST_ROLES:
        raise strange
    if not all(isinstance(word, str) for pair in cloths.items() for word in pair):
        raise strange
    width = asked.width if isinstance(asked.width, str) else ""
    return Choice(
        block,
        tuple(cloths.items()),
        SEAM.read(asked.seam if isinstance(asked.seam, str) else None),
        WIDTH.read(width) if width.strip() else None,
        asked.upright is True,
        quilt_from_words(
            {
                "set": asked.how,
                "across": asked.across,
                "down": asked.down,
                "second": asked.second,
                "sashing": asked.sashing,
                "stones": asked.stones,
                "border": asked.border,
                "corners": asked.corners,
                "binding": asked.binding,
            }
        ),
    )


def _role_names(held: object) -> list[str]:
    """The roles that the page shows now; none for a block that was only just chosen."""
    listed = held.get("roles") if isinstance(held, dict) else None
    if not isinstance(listed, list):
        return []
    return [str(each.get("role")) for each in listed if isinstance(each, dict)]


def _shelf(held: object, choice: Choice, worked: Worked) -> dict[str, Any]:
    sent = held if isinstance(held, dict) else {}
    serial = sent.get("serial")
    return {
        "block": choice.block,
        # Cloths of roles that are gone for now (a border taken off) stay chosen.
        "cloths": {**sent.get("cloths", {}), **dict(choice.cloths)},
        "roles": [{"role": role, "about": about} for role, about in roles_of(worked.drafted).items()],
        "serial": serial if isinstance(serial, int) else 0,
    }


def _wall(room: Workroom, choice: Choice, worked: Worked, view: str, stamp: str) -> dict[str, Any]:
    found = worked.drafted.draft
    return {
        "src": f"/picture.png?{choice_query(choice, view=view, seen=stamp)}",
        "alt": f"{found.name}: {VIEWS[view]}",
        "caption": _caption(worked),
        "named": room.named(choice),
        "outlines": f"/outlines.json?{choice_query(choice.bare())}",
        "cloths": {role: swatch.name for role, swatch in worked.roles.items()},
        "one_way": any(swatch.one_way for swatch in worked.roles.values()),
    }


def _caption(worked: Worked) -> str:
    found = worked.drafted.draft
    size = f"{inches_text(found.finished_width_in)} x {inches_text(found.finished_height_in)} in"
    about = f"{found.name}, {size} finished."
    if worked.drafted.quilt is not None:
        about = f"{found.name}. {quilt_sentence(worked.drafted.quilt, grid_in=grid_for(None))}"
    return " ".join((about, "Point at a patch, or at a line of the readings.", *worked.audition.notes))


def _grid_notes(choice: Choice, worked: Worked) -> tuple[str, ...]:
    if choice.width_in is None:
        return ()
    grid_in = grid_for(None, choice.width_in)
    return grid_sentences(worked.drafted.making.blocks.values(), grid_in=grid_in)


def _told(error: Exception) -> Told:
    told = tell(error)
    if told is None:
        raise error
    return told
