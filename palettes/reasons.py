"""Why an edge reads or does not, in one plain sentence."""

from __future__ import annotations

from palettes.viewing import Viewing

__all__ = ["reason_for"]

_MATTERS = 0.1
"""A tenth of the edge more or less is worth a word (ours)."""


def reason_for(
    *,
    word: str,
    word_with_colour: str,
    diff_L: float,
    value_steps: float,
    share: float,
    false: float,
    turned: float,
    as_plain: float,
    viewing: Viewing,
) -> str:
    """One sentence for a reading: the strongest reason only.

    word, word_with_colour: by value alone and with colour helping. share: what shows of the edge; false: what
    the prints' own false edges took off it; turned: what steps that run against the rest took off;
    as_plain: what would show if both were plain cloth of their mean light, diff_L and value_steps apart.
    """
    shows = f"{100 * share:.0f} % of the edge shows {viewing.words}"
    apart = f"{diff_L:.0f} L* apart ({value_steps:.1f} value steps)" if diff_L >= 1 else "under 1 L* apart"
    if word == "clear":
        if share > as_plain + _MATTERS:
            return f"The marks of a print stop at the seam: {shows}, though the means are only {apart}."
        return f"One is plainly lighter: the means are {apart}, and {shows}."
    if word == "lost" and word_with_colour == "clear":
        return (
            f"Colour alone carries this edge, for the values are only {apart}: "
            "it fades in dim light, in black and white, and for some eyes."
        )
    if false > max(_MATTERS, turned):
        return f"The prints make edges of their own that hide this one: {shows}, with the means {apart}."
    if turned > _MATTERS:
        return f"The lighter side changes over along the seam, which breaks the line up: {shows}."
    if share < as_plain - _MATTERS:
        return f"The means are {apart}, but along part of the seam the two come close: {shows}."
    if share > as_plain + _MATTERS:
        return f"The means are only {apart}, but the marks of a print stop at the seam: {shows}."
    helps = "; colour helps a little" if word_with_colour != word else ""
    return f"The two are near in value, only {apart}: {shows}{helps}."
