"""Why an edge reads or does not, in one plain sentence; and what stands in the way of being sure."""

from __future__ import annotations

from typing import Literal

from palettes.meeting import Meeting
from palettes.thresholds import THRESHOLDS, Thresholds
from palettes.viewing import Viewing

__all__ = ["busy_word", "doubt_note", "reason_for"]


def reason_for(
    *,
    word: str,
    word_with_colour: str,
    diff_L: float,
    value_steps: float,
    dE00: float,
    share: float,
    false: float,
    turned: float,
    as_plain: float,
    one_cloth: bool,
    meeting: Meeting,
    viewing: Viewing,
    thresholds: Thresholds,
) -> str:
    """One sentence for a reading: the strongest reason only.

    word, word_with_colour: by value alone and with colour helping. share: what shows of the edge; false: what
    the prints' own false edges took off it; turned: what steps that run against the rest took off;
    as_plain: what would show if both were plain cloth of their mean light, which are diff_L, value_steps
    and dE00 apart.
    one_cloth: two prints of like scale and value.
    """
    matters = thresholds.matters_share
    shows = f"{100 * share:.0f} % of the edge shows {viewing.full_words}"
    apart = f"{diff_L:.0f} L* apart ({value_steps:.1f} value steps)" if diff_L >= 1 else "under 1 L* apart"
    if word == "clear":
        if share > as_plain + matters:
            return f"The marks of a print stop at the seam: {shows}, though the means are only {apart}."
        return f"One is plainly lighter: the means are {apart}, and {shows}."
    if one_cloth and word == "lost":
        return f"Two prints of like motifs and like value, {apart}, look like one cloth: {shows}."
    # Cloths of one colour throughout are alike, which is not the same as one holding the other's colour.
    if meeting.merges >= thresholds.merges_share and dE00 > thresholds.same_dE00:
        return _merging(meeting, share)
    if word == "lost" and word_with_colour == "clear":
        return (
            f"Colour alone carries this edge, for the values are only {apart}: "
            "it fades in dim light, in black and white, and for some eyes."
        )
    # What the cloths lose by coming close here and there, beside what their means would show.
    close = as_plain - share - false - turned
    if false > max(matters, turned, close):
        return f"The prints make edges of their own that hide this one: {shows}, with the means {apart}."
    if turned > max(matters, close):
        return f"The lighter side changes over along the seam, which breaks the line up: {shows}."
    if share < as_plain - matters:
        return f"The means are {apart}, but along part of the seam the two come close: {shows}."
    if share > as_plain + matters:
        return f"The means are only {apart}, but the marks of a print stop at the seam: {shows}."
    helps = "; colour helps a little" if word_with_colour != word else ""
    return f"The two are near in value, only {apart}: {shows}{helps}."


def _merging(meeting: Meeting, share: float) -> str:
    lost = 100 * (1 - share)
    colour = meeting.shared_colour or "same colour"
    return (
        f"The colours merge, for {meeting.first_name} and {meeting.second_name} "
        f"have {colour} in common: {lost:.0f} % of the edge disappears."
    )


def busy_word(busy: float, *, thresholds: Thresholds = THRESHOLDS) -> Literal["plain", "lively", "busy"]:
    """The one word for how busy a cloth is beside an edge: Reading.first_busy or second_busy, 0 to 1.

    Example: busy_word(0.3) -> "busy"
    """
    if busy >= thresholds.busy_share:
        return "busy"
    return "lively" if busy >= thresholds.lively_share else "plain"


def doubt_note(meeting: Meeting, *, least: float, most: float) -> str:
    """One sentence on how sure the reading is, "" where the colours are known.

    Example: "Take 40 to 90 % as the reading: neither cloth's colour was measured."
    """
    if not meeting.doubt_L or not meeting.doubt:
        return ""
    return f"Take {100 * least:.0f} to {100 * most:.0f} % as the reading, not one figure: {meeting.doubt}."
