"""Readings as text for people and as rows for spreadsheets."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from textwrap import wrap

from palettes.viewing import ACROSS_TABLE, Viewing
from preview.readings import EdgeReading, headline
from swatches.swatch import Swatch
from ui.colour_words import measured_word

__all__ = ["percent", "reading_rows", "readings_text", "sides_words"]

_WIDE = 100


def percent(share: float) -> str:
    """A share of an edge as people say it.

    Example: percent(0.337) -> '34 %'
    """
    return f"{share * 100:.0f} %"


def sides_words(found: EdgeReading) -> str:
    """Which two patches meet, by number and role."""
    joint = "on" if found.kind == "applique" else "beside"
    return f"{found.first} {found.first_role} {joint} {found.second} {found.second_role}"


def readings_text(
    name: str,
    readings: Sequence[EdgeReading],
    *,
    viewing: Viewing = ACROSS_TABLE,
    also_unwanted: bool = False,
) -> str:
    """A heading, one line for each edge that should read (the weakest first), and why the weak ones are weak.

    `also_unwanted` lists the edges that need not read as well.
    """
    shown = [found for found in readings if found.wanted or also_unwanted]
    lines = [*wrap(f"Does it read? {name}, {viewing.full_words}", _WIDE), ""]
    lines += wrap(headline(readings), _WIDE)
    lines += [
        "",
        f"{'no.':>3} {'word':6} {'shows':>6} {'colour':>7} {'L* one':>7} {'other':>6} {'apart':>6} "
        f"{'dE00':>5}  patches",
    ]
    lines += [_line(number, found) for number, found in enumerate(shown, start=1)]
    reasons = dict.fromkeys(
        f"{found.first_role} and {found.second_role}: {found.reading.reason}"
        for found in shown
        if found.wanted and found.word != "clear"
    )
    if reasons:
        lines += ["", "Why:", *_listed(reasons)]
    # Of two cloths the weakest edge, which comes first, stands for all of theirs.
    notes: dict[frozenset[str], str] = {}
    for found in shown:
        if found.wanted and found.reading.note:
            pair = frozenset((found.first_cloth, found.second_cloth))
            notes.setdefault(pair, f"{found.first_cloth} and {found.second_cloth}: {found.reading.note}")
    if notes:
        lines += ["", "How sure, at the weakest edge of each pair:", *_listed(notes.values())]
    lines += ["", *wrap(_MEANING, _WIDE)]
    return "\n".join(lines) + "\n"


def _listed(sentences: Iterable[str]) -> list[str]:
    return [
        line
        for sentence in sentences
        for line in wrap(sentence, _WIDE, initial_indent="- ", subsequent_indent="  ")
    ]


_MEANING = (
    "no.: its number in the picture of the seams. "
    "shows: the share of the edge where light and dark alone tell the two cloths apart, as they lie; "
    "colour: the same with colour helping. L*: lightness of each patch, 0 black to 100 white; apart: their "
    "difference. dE00: CIEDE2000 colour difference. Clear is 80 % and more, soft 40 to 80 %, lost below. "
    "Patches are numbered as in the picture with lines."
)


def _line(number: int, found: EdgeReading) -> str:
    reading = found.reading
    aside = "" if found.wanted else "  (need not read)"
    return (
        f"{number:3} {reading.word:6} {percent(reading.share_shows):>6} "
        f"{percent(reading.share_with_colour):>7} "
        f"{reading.first_L:7.1f} {reading.second_L:6.1f} {reading.diff_L:6.1f} {reading.dE00:5.1f}  "
        f"{sides_words(found)}{aside}"
    )


def reading_rows(readings: Sequence[EdgeReading], cloths: Mapping[int, Swatch]) -> list[dict[str, object]]:
    """Every edge as a row with named columns, the weakest first. cloths: that of each patch."""
    return [
        {
            "first_patch": found.first,
            "first_role": found.first_role,
            "first_cloth": found.first_cloth,
            "second_patch": found.second,
            "second_role": found.second_role,
            "second_cloth": found.second_cloth,
            "edge": found.kind,
            "should_read": "yes" if found.wanted else "no",
            "length_in": round(found.length_in, 3),
            "word": found.reading.word,
            "share_shows": round(found.reading.share_shows, 4),
            "share_with_colour": round(found.reading.share_with_colour, 4),
            "first_L": round(found.reading.first_L, 2),
            "second_L": round(found.reading.second_L, 2),
            "diff_L": round(found.reading.diff_L, 2),
            "value_steps": round(found.reading.value_steps, 2),
            "dE00": round(found.reading.dE00, 2),
            "first_busy": round(found.reading.first_busy, 4),
            "second_busy": round(found.reading.second_busy, 4),
            "merges": round(found.reading.merges, 4),
            "looks_like_one_cloth": "yes" if found.reading.one_cloth else "no",
            "hue_alone_carries_it": "yes" if found.reading.hue_alone else "no",
            "share_least": round(found.reading.share_least, 4),
            "share_most": round(found.reading.share_most, 4),
            "reason": found.reading.reason,
            "how_sure": found.reading.note,
            "colours_measured": measured_word(cloths[found.first], cloths[found.second]),
        }
        for found in readings
    ]
