"""How sure a reading is, in words: over many cuttings, and by which figures it was judged."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from palettes.thresholds import FOOTING, Figure, deciding_figures
from preview.cuttings import EdgeCuttings
from ui.reading_words import percent

__all__ = ["cuttings_text", "figures_text", "with_cuttings"]

_WIDE = 100


def cuttings_text(cuttings: Sequence[EdgeCuttings]) -> str:
    """A table of every edge that should read over its many cuttings, the weakest first; "" for none."""
    wanted = sorted((each for each in cuttings if each.wanted), key=lambda each: each.share_shows.mean)
    if not wanted:
        return ""
    lines = [
        "",
        "As cut from many places (mean, and what lies between the 10th and the 90th percentile):",
        "",
        f"{'mean':>6} {'10th':>6} {'90th':>6}  {'patches':9}  words",
        *(
            f"{percent(each.share_shows.mean):>6} {percent(each.share_shows.low):>6} "
            f"{percent(each.share_shows.high):>6}  {f'{each.first}, {each.second}':9}  {_words(each)}"
            for each in wanted
        ),
    ]
    unsure = sum(not each.is_sure and not each.fixed for each in wanted)
    told = (
        f"{unsure} of {len(wanted)} edges change their word with the cutting in more than one case of ten."
        if unsure
        else "Nine cuttings in ten agree on the word of every edge."
    )
    return "\n".join([*lines, "", told]) + "\n"


def _words(found: EdgeCuttings) -> str:
    if found.fixed:
        return f"{found.words[0][0]}, cut where it is"
    return ", ".join(f"{word} {percent(share)}" for word, share in found.words)


def with_cuttings(
    rows: Sequence[dict[str, object]], cuttings: Sequence[EdgeCuttings]
) -> list[dict[str, object]]:
    """The rows of the readings with the figures over many cuttings beside them, where there are any."""
    if not cuttings:
        return list(rows)
    found: dict[tuple[object, object], EdgeCuttings] = {(each.first, each.second): each for each in cuttings}
    return [row | _figures(found[row["first_patch"], row["second_patch"]]) for row in rows]


def _figures(found: EdgeCuttings) -> dict[str, object]:
    shows = found.share_shows
    return {
        "cuttings_mean": round(shows.mean, 4),
        "cuttings_10th": round(shows.low, 4),
        "cuttings_90th": round(shows.high, 4),
        "cuttings_words": "; ".join(f"{word} {share:.2f}" for word, share in found.words),
    }


def figures_text() -> str:
    """Every figure that decides what an edge is called, with its meaning and source, and some to compare."""
    return (
        "\n".join(
            [
                "",
                "The figures behind the words:",
                *_lines(deciding_figures()),
                "",
                "Published figures to hold them against; they decide nothing here:",
                *_lines(FOOTING),
            ]
        )
        + "\n"
    )


def _lines(figures: Sequence[Figure]) -> list[str]:
    return [
        line
        for each in figures
        for line in wrap(
            f"{' '.join(f'{each.value:g} {each.unit}'.split())}: {each.meaning} ({each.source})",
            _WIDE,
            initial_indent="- ",
            subsequent_indent="  ",
        )
    ]
