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
    seen: float,
    as_plain: float,
    viewing: Viewing,
) -> str:
    """One sentence for a reading: the strongest reason only.

    word, word_with_colour: by value alone and with colour helping. share: what shows of the edge; seen:
    the same before the prints' own false edges were taken off; as_plain: what would show if both were
    plain cloth of their mean light, diff_L and value_steps apart.
    """
    shows = f"{100 * share:.0f} % of the edge shows {viewing.words}"
    apart = f"{_steps(value_steps)} apart ({diff_L:.0f} L*)"
    if word == "clear":
        if share > as_plain + _MATTERS:
            return f"The marks of a print stop at the seam: {shows}, though the means are only {apart}."
        return f"One is plainly lighter: the means are {apart}, and {shows}."
    if word == "lost" and word_with_colour == "clear":
        return (
            f"Colour alone carries this edge, for the values are only {apart}: "
            "it fades in dim light, in black and white, and for some eyes."
        )
    if seen - share > _MATTERS:
        return f"The prints make edges of their own that hide this one: {shows}, with the means {apart}."
    if share < as_plain - _MATTERS:
        return f"The means are {apart}, but along part of the seam the two come close: {shows}."
    helps = "; colour helps a little" if word_with_colour != word else ""
    return f"The two are near in value, only {apart}: {shows}{helps}."


def _steps(value_steps: float) -> str:
    """The difference in value steps, as a quilter would say it."""
    if value_steps < 0.25:
        return "no value step"
    if value_steps < 0.75:
        return "half a value step"
    whole = round(value_steps)
    return "about one value step" if whole == 1 else f"about {whole} value steps"
