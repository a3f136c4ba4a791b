"""What the command advises: for every weak pair of roles what would help, each remedy before and after."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from textwrap import wrap

from palettes.threads import Thread, read_threads
from palettes.viewing import Viewing
from preview.advice import Remedy, remedies
from preview.keeping import PaintCache
from preview.readings import EdgeReading, headline
from swatches.swatch import Swatch
from ui.asked import Asked, one_block
from ui.bench import Worked
from ui.colour_words import care_text, measured_word, mentioned, star
from ui.mistakes import Mistake
from ui.reading_words import percent, sides_words
from ui.shelf import Shelf
from ui.writing import check_place, csv_text, write_whole

__all__ = ["Advice", "advice_caution", "advise", "cloths_from", "give_advice"]

_WIDE = 100


@dataclass(frozen=True, slots=True, eq=False)
class Advice:
    """Two roles whose edges are weak, and what would help at the weakest of them."""

    weakest: EdgeReading
    weak: int
    """How many edges between these roles are lost or soft."""
    remedies: tuple[Remedy, ...]


def give_advice(
    *,
    asked: Asked,
    viewing: Viewing,
    from_cloth: str,
    threads: str | None,
    to: str | None,
    say: Callable[[str], None],
) -> None:
    """Prints what would help every weak pair of roles, or writes it as text or CSV."""
    file = check_place(Path(to), ends=(".txt", ".csv")) if to else None
    spools = read_threads(Path(threads)) if threads else None
    worked = asked.worked(say=say)
    stash = cloths_from(asked.shelf(), from_cloth, say=say)
    readings, found = advise(worked, stash=stash, threads=spools, viewing=viewing, say=say)
    if file is not None and file.suffix.lower() == ".csv":
        write_whole(file, csv_text(_rows(found, worked.cloth_of_patches())))
        return
    text = _text(worked.drafted.draft.name, readings, found, viewing=viewing)
    text += care_text(advice_caution(worked, found))
    if file is not None:
        write_whole(file, text)
    else:
        print(text, end="")


def advice_caution(worked: Worked, found: Sequence[Advice]) -> tuple[str, ...]:
    """What has to stand beside the advice: of the block's own cloths, and of those that are advised."""
    advised = [remedy.cloth for advice in found for remedy in advice.remedies]
    return mentioned(*worked.cloths.values(), *advised)


def cloths_from(shelf: Shelf, source: str, *, say: Callable[[str], None]) -> tuple[Swatch, ...]:
    """The cloths that may be chosen from: "demo", "stash" or "all".

    Raises: Mistake for a stash with nothing in it.
    """
    entries = [entry for entry in shelf.entries() if source in ("all", entry.source)]
    if not entries:
        raise Mistake(
            "There is no cloth in your stash yet.",
            mend="Add some with seamlight add-cloth, or choose from demo cloth.",
        )
    say(f"Looking at {len(entries)} cloths ...")
    return tuple(shelf.take(entry) for entry in entries)


def advise(
    worked: Worked,
    *,
    stash: Sequence[Swatch],
    threads: Sequence[Thread] | None,
    viewing: Viewing,
    say: Callable[[str], None],
) -> tuple[tuple[EdgeReading, ...], tuple[Advice, ...]]:
    """The readings of a block, and advice for every two roles with a weak edge, the weakest first.

    Raises: Mistake for a quilt.
    """
    audition, cache = one_block(worked, what="Advice is given"), PaintCache()
    readings = worked.readings(viewing=viewing, cache=cache)
    weak: dict[tuple[str, str, str], list[EdgeReading]] = {}
    for found in readings:
        if found.wanted and found.word != "clear":
            one, other = sorted((found.first_role, found.second_role))
            weak.setdefault((one, other, found.kind), []).append(found)
    advice = []
    for same in weak.values():
        say(f"{same[0].first_role} and {same[0].second_role} ...")
        helping = remedies(
            audition,
            worked.drafted.edges,
            same[0],
            stash=stash,
            threads=threads,
            viewing=viewing,
            cache=cache,
        )
        advice.append(Advice(same[0], len(same), helping))
    return readings, tuple(advice)


def _text(name: str, readings: Sequence[EdgeReading], found: Sequence[Advice], *, viewing: Viewing) -> str:
    lines = [*wrap(f"What would help? {name}, {viewing.full_words}", _WIDE), ""]
    lines += wrap(headline(readings), _WIDE)
    for advice in found:
        lines += ["", *_lines(advice)]
    if found:
        lines += ["", *wrap(_MEANING, _WIDE)]
    return "\n".join(lines) + "\n"


_MEANING = (
    "A share is that of the edge that shows by light and dark alone, read with the cloth as it would lie. "
    "weakest: the least share of all edges that the remedy touches. Try a cloth by writing it after the "
    "block, as it stands here."
)


def _lines(advice: Advice) -> list[str]:
    weakest = advice.weakest
    many = "1 weak edge" if advice.weak == 1 else f"{advice.weak} weak edges, the weakest"
    reading = weakest.reading
    lines = _wrapped(
        f"{weakest.first_role} and {weakest.second_role}: {many} {sides_words(weakest)}, "
        f"{percent(reading.share_shows)} {weakest.word}. {reading.reason}",
    )
    if not advice.remedies:
        return [*lines, "  Nothing that was tried shows more of it."]
    for number, remedy in enumerate(advice.remedies, start=1):
        told = (
            f"{remedy.words} {percent(remedy.before)} {remedy.before_word} -> {percent(remedy.after)} "
            f"{remedy.after_word}; weakest {percent(remedy.weakest_after)}{_try(remedy)}"
        )
        lines += _wrapped(told, first=f"  {number}. ", then="     ")
    return lines


def _wrapped(text: str, *, first: str = "", then: str = "") -> list[str]:
    """Lines that never break between a number and its per cent."""
    held = text.replace(" %", "\N{NO-BREAK SPACE}%")
    lines = wrap(held, _WIDE, initial_indent=first, subsequent_indent=then)
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]


def _try(remedy: Remedy) -> str:
    return f': {remedy.role}="{remedy.cloth.name}"{star(remedy.cloth)}' if remedy.cloth is not None else "."


def _rows(found: Sequence[Advice], cloths: Mapping[int, Swatch]) -> list[dict[str, object]]:
    return [
        {
            "first_patch": advice.weakest.first,
            "first_role": advice.weakest.first_role,
            "second_patch": advice.weakest.second,
            "second_role": advice.weakest.second_role,
            "weak_edges": advice.weak,
            "remedy": remedy.way,
            "what_to_do": remedy.words,
            "before": round(remedy.before, 4),
            "before_word": remedy.before_word,
            "after": round(remedy.after, 4),
            "after_word": remedy.after_word,
            "weakest_after": round(remedy.weakest_after, 4),
            "role": remedy.role,
            "cloth": remedy.cloth.name if remedy.cloth else "",
            "thread": remedy.thread.name if remedy.thread else "",
            "colours_measured": measured_word(*_rests_on(advice, remedy, cloths)),
        }
        for advice in found
        for remedy in advice.remedies
    ]


def _rests_on(advice: Advice, remedy: Remedy, cloths: Mapping[int, Swatch]) -> Iterator[Swatch]:
    """The cloths that the figures of a remedy rest on: of both patches, and the one that is advised."""
    yield cloths[advice.weakest.first]
    yield cloths[advice.weakest.second]
    if remedy.cloth is not None:
        yield remedy.cloth
