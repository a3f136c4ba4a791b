"""What the page does to weigh a choice: other ways of looking, advice, and the cloths on one line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from html import escape
from urllib.parse import urlencode

from palettes.viewing import Viewing
from preview.advice import Remedy
from preview.readings import EdgeReading, headline
from ui.advice_jobs import Advice, advice_caution, advise, cloths_from
from ui.asked import one_block, take_viewing
from ui.bench import Worked
from ui.choice import Choice, choice_query
from ui.colour_words import mentioned, picture_caution, star
from ui.mistakes import Mistake, tell
from ui.page_handlers import Asked, read_choice
from ui.page_words import cautions_html, mistake_html, plain
from ui.palette_jobs import line_of_cloths
from ui.reading_settings import ALL_VIEWS
from ui.reading_words import percent, sides_words
from ui.workroom import Workroom

__all__ = ["LOOKING", "help_html", "line_html", "look_html", "looking_from"]

LOOKING = ("distance", "shown", "light", "eyes", "years", "look")
"""The fields of looking, in the order in which the page sends them."""

_LISTED = 12


def looking_from(words: Mapping[str, object]) -> tuple[Viewing, str]:
    """The way of looking and the view in the page's words; what is not told is as usual.

    Raises: Mistake for what no page of ours sends, or what is out of bounds.
    """
    told = {name: str(value) for name, value in words.items() if name in LOOKING and value}
    view = told.pop("look", "seams")
    strange = Mistake("The page sent what it should not.", mend="Load the page again.")
    if view not in ALL_VIEWS:
        raise strange
    try:
        viewing = take_viewing(
            distance=told.get("distance"),
            shown=told.get("shown", "cloth"),
            light=told.get("light", "daylight"),
            eyes=told.get("eyes"),
            severity=None,
            years=told.get("years"),
        )
    except ValueError as error:
        if tell(error) is None:
            raise strange from error
        raise
    return viewing, view


def look_html(room: Workroom, held: object, asked: Asked, looking: Sequence[object]) -> str:
    """The picture in the view that was asked for, and the weakest edges looked at in this way."""
    try:
        words = dict(zip(LOOKING, looking, strict=True))
        viewing, view = looking_from(words)
        choice = room.first_choice(read_choice(held, asked))
        stamp = room.stamp(choice)
        worked = room.worked(choice, seen=stamp)
        # A mistake is told here, not by a picture that fails.
        room.weighed_png(choice, viewing, view, seen=stamp)
        told = {name: str(value) for name, value in words.items() if value}
        source = f"/weigh.png?{choice_query(choice, seen=stamp)}&{urlencode(told)}"
        looked = _looked(room, choice, worked, source, viewing, view)
    except Exception as error:
        return _told(error)
    return _weighed(room, choice, looked)


def _looked(room: Workroom, choice: Choice, worked: Worked, source: str, viewing: Viewing, view: str) -> str:
    name = worked.drafted.draft.name
    figure = _figure(source, f"{name}: {ALL_VIEWS[view]}, {viewing.full_words}")
    cloths = worked.cloths.values()
    if worked.drafted.quilt is not None or not worked.drafted.edges:
        return figure + ("" if view == "roles" else cautions_html(picture_caution(cloths)))
    readings = room.readings_in(choice, viewing)
    return figure + cautions_html(mentioned(*cloths)) + _readings(readings, viewing)


def _figure(source: str, alt: str, *, wide: bool = False) -> str:
    """The picture; a wide one keeps its size where the page is narrow, and can be moved sideways."""
    moves = ' class="wide" tabindex="0" role="group" aria-label="Wide picture"' if wide else ""
    return f'<figure{moves}><img src="{escape(source)}" alt="{plain(alt)}"></figure>'


def _readings(readings: Sequence[EdgeReading], viewing: Viewing) -> str:
    weak = [
        (number, found)
        for number, found in enumerate(readings, start=1)
        if found.wanted and found.word != "clear"
    ]
    rows = "".join(
        f"<li value={number}><b>{found.word}, {percent(found.reading.share_shows)}</b> "
        f"{plain(sides_words(found))}. {plain(found.reading.reason)} {plain(found.reading.note)}</li>"
        for number, found in weak[:_LISTED]
    )
    more = f"<p>And {len(weak) - _LISTED} more.</p>" if len(weak) > _LISTED else ""
    head = f"<h3>Looked at {plain(viewing.full_words)}</h3><p>{plain(headline(readings))}</p>"
    return f"{head}<ol>{rows}</ol>{more}"


def help_html(room: Workroom, held: object, asked: Asked, looking: Sequence[object]) -> str:
    """What would help each weak pair of roles, every remedy before and after."""
    try:
        viewing, _ = looking_from(dict(zip(LOOKING, looking, strict=True)))
        choice = room.first_choice(read_choice(held, asked))
        worked = room.worked(choice)
        one_block(worked, what="Advice is given")
        stash = cloths_from(room.shelf, "all", say=_no_word)
        readings, found = advise(worked, stash=stash, threads=None, viewing=viewing, say=_no_word)
    except Exception as error:
        return _told(error)
    caution = cautions_html(advice_caution(worked, found))
    head = f"<h3>What would help?</h3><p>{plain(headline(readings))}</p>"
    return _weighed(room, choice, head + caution + "".join(map(_advice, found)))


def _no_word(_: str) -> None:
    """The page tells of no progress."""


def _advice(advice: Advice) -> str:
    weakest = advice.weakest
    head = (
        f"{weakest.first_role} and {weakest.second_role}: {sides_words(weakest)} is {weakest.word}, "
        f"{percent(weakest.reading.share_shows)}."
    )
    remedies = "".join(
        f"<li>{plain(each.words)}{_star(each)} {percent(each.before)} {each.before_word} becomes "
        f"<b>{percent(each.after)} {each.after_word}</b>; the weakest edge it touches then shows "
        f"{percent(each.weakest_after)}.</li>"
        for each in advice.remedies
    )
    nothing = "<p>Nothing that was tried shows more of it.</p>"
    return f"<h4>{plain(head)}</h4><p>{plain(weakest.reading.reason)}</p>" + (
        f"<ol>{remedies}</ol>" if remedies else nothing
    )


def _star(remedy: Remedy) -> str:
    return "" if remedy.cloth is None else star(remedy.cloth)


def line_html(room: Workroom, held: object, asked: Asked) -> str:
    """All cloths on one line from light to dark, and what is to be said of them together."""
    try:
        choice = room.first_choice(read_choice(held, asked))
        stamp = room.stamp(choice)
        worked = room.worked(choice, seen=stamp)
        note, lines, _ = line_of_cloths(worked)
    except Exception as error:
        return _told(error)
    source = f"/line.png?{choice_query(choice, seen=stamp)}"
    figure = _figure(source, "The cloths from light to dark: " + "; ".join(lines), wide=True)
    caution = cautions_html(mentioned(*worked.cloths.values()))
    head = f"<h3>The cloths from light to dark</h3><p>{plain(note)}</p>"
    return _weighed(room, choice, head + caution + figure)


def _weighed(room: Workroom, choice: Choice, html: str) -> str:
    """What was found, with the choice that it was found for: once the page holds another, it says so."""
    return (
        f'<div class="found" data-choice="{plain(room.named(choice))}"><p class="since" role="status" hidden>'
        f"The choice has changed since this was found. Press the button again.</p>{html}</div>"
    )


def _told(error: Exception) -> str:
    told = tell(error)
    if told is None:
        raise error
    return mistake_html(told)
