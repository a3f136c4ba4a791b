"""The readings of a quilt, by kinds of edge, as text for people and as rows for spreadsheets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap

from palettes.viewing import ACROSS_TABLE, Viewing
from swatches.swatch import Swatch
from ui.colour_words import measured_word
from ui.kinds import KindReading, kinds_headline
from ui.reading_words import percent

__all__ = ["kind_rows", "kind_sides", "kinds_text", "read_sentence"]

_WIDE = 100

_MEANING = (
    "Each line stands for all edges of a kind, weighted by their length. shows: the share of the edge where "
    "light and dark alone tell the two cloths apart, as they lie; colour: the same with colour helping. "
    "L*: lightness of each role's patches, 0 black to 100 white; apart: their difference. dE00: CIEDE2000 "
    "colour difference. clear, soft, lost: how many of the edges that were read are so (80 % and more, 40 to "
    "80 %, less)."
)


def kind_sides(found: KindReading) -> str:
    """Which two roles meet."""
    return f"{found.first_role} {'on' if found.kind == 'applique' else 'beside'} {found.second_role}"


def read_sentence(kinds: Sequence[KindReading]) -> str:
    """How many of the quilt's edges the readings rest on."""
    edges, read = sum(found.edges for found in kinds), sum(len(found.read) for found in kinds)
    if read == edges:
        return f"All {edges} edges of the quilt were read, and gathered by kind."
    return (
        f"The quilt has {edges} edges of {len(kinds)} kinds; {read} of them were read, some of every kind, "
        "spread over the quilt."
    )


def kinds_text(
    name: str,
    kinds: Sequence[KindReading],
    *,
    viewing: Viewing = ACROSS_TABLE,
    also_unwanted: bool = False,
) -> str:
    """A heading, a line for each kind that should read (weakest first), and why the weak ones are weak."""
    shown = [found for found in kinds if found.wanted or also_unwanted]
    lines = [*wrap(f"Does it read? {name}, {viewing.full_words}", _WIDE), ""]
    lines += wrap(f"{kinds_headline(kinds)} {read_sentence(kinds)}", _WIDE)
    lines += [
        "",
        f"{'word':6} {'shows':>6} {'colour':>7} {'L* one':>7} {'other':>6} {'apart':>6} {'dE00':>5}"
        f" {'edges':>6} {'read':>5} {'clear':>6} {'soft':>5} {'lost':>5}  roles",
    ]
    lines += [_line(found) for found in shown]
    reasons = [
        f"{kind_sides(found)}: {found.read[0].reading.reason}"
        for found in shown
        if found.wanted and found.word != "clear"
    ]
    if reasons:
        lines += ["", "Why, at the weakest edge of each kind:"]
        lines += [
            line for why in reasons for line in wrap(why, _WIDE, initial_indent="- ", subsequent_indent="  ")
        ]
    lines += ["", *wrap(_MEANING, _WIDE)]
    return "\n".join(lines) + "\n"


def _line(found: KindReading) -> str:
    aside = "" if found.wanted else "  (need not read)"
    return (
        f"{found.word:6} {percent(found.share_shows):>6} {percent(found.share_with_colour):>7} "
        f"{found.mean('first_L'):7.1f} {found.mean('second_L'):6.1f} {found.mean('diff_L'):6.1f} "
        f"{found.mean('dE00'):5.1f} {found.edges:6} {len(found.read):5} {found.count('clear'):6} "
        f"{found.count('soft'):5} {found.count('lost'):5}  {kind_sides(found)}{aside}"
    )


def kind_rows(kinds: Sequence[KindReading], cloths: Mapping[int, Swatch]) -> list[dict[str, object]]:
    """Every kind as a row with named columns, the weakest first. cloths: that of each patch."""
    return [
        {
            "first_role": found.first_role,
            "second_role": found.second_role,
            "edge": found.kind,
            "should_read": "yes" if found.wanted else "no",
            "edges": found.edges,
            "read": len(found.read),
            "length_in": round(found.length_in, 3),
            "word": found.word,
            "share_shows": round(found.share_shows, 4),
            "share_with_colour": round(found.share_with_colour, 4),
            "clear": found.count("clear"),
            "soft": found.count("soft"),
            "lost": found.count("lost"),
            "first_L": round(found.mean("first_L"), 2),
            "second_L": round(found.mean("second_L"), 2),
            "diff_L": round(found.mean("diff_L"), 2),
            "dE00": round(found.mean("dE00"), 2),
            "weakest_reason": found.read[0].reading.reason,
            "colours_measured": measured_word(
                *(cloths[number] for each in found.read for number in (each.first, each.second))
            ),
        }
        for found in kinds
    ]
