"""How far a swatch can be trusted, in plain words."""

from __future__ import annotations

from swatches.by_eye import AS_IT_IS, ByEye, by_eye_text, corrected
from swatches.swatch import ColourFrom, Swatch, make_swatch

__all__ = [
    "colour_is_measured",
    "colour_words",
    "of_one_photo",
    "reading_caution",
    "seen_swatch",
    "trust_words",
    "trust_words_of",
]

_COLOUR_WORDS: dict[ColourFrom, str] = {
    "stated": "as stated",
    "chart": "24-patch chart",
    "grey steps": "grey reference",
    "grey card": "grey card",
    "white paper": "white paper",
    "not measured": "not measured",
}
_COLOUR_OFF: dict[ColourFrom, str] = {
    "chart": "good to about 2 to 3 steps of colour difference; value within 1 or 2 L*",
    "grey steps": "good to about 5 steps of colour difference, 3 by daylight; value within 2 or 3 L*",
    "grey card": "good to about 7 steps of colour difference; value within 5 L*",
    "white paper": "good to about 6 steps of colour difference; value within 4 L*",
    "not measured": "8 to 10 steps of colour difference, often more",
}
"""CIEDE2000 and L*, from spectral simulations of two measured cameras under nine lamps."""


def trust_words(swatch: Swatch) -> str:
    """For a label: "scale ±0.3 %, colour: grey reference"."""
    return trust_words_of(swatch.scale_off, swatch.colour_from, by_eye=swatch.by_eye)


def trust_words_of(scale_off: float | None, colour_from: ColourFrom, *, by_eye: ByEye = AS_IT_IS) -> str:
    """The same from what a list knows of a swatch without opening its tile."""
    if scale_off is None:
        scale = "scale as stated" if colour_from == "stated" else "scale not measured"
    else:
        percent = 100 * scale_off
        scale = f"scale ±{percent:.1f} %" if percent >= 0.1 else f"scale ±{percent:.2f} %"
    corrected_too = "" if by_eye == AS_IT_IS else ", corrected by eye"
    return f"{scale}, colour: {_COLOUR_WORDS[colour_from]}{corrected_too}"


def colour_words(swatch: Swatch) -> str:
    """How far off its colours may be."""
    return _COLOUR_OFF.get(swatch.colour_from, "exact")


def colour_is_measured(swatch: Swatch) -> bool:
    """Whether its colours rest on something known in the photograph, or were stated outright."""
    return swatch.colour_from != "not measured"


def of_one_photo(*swatches: Swatch) -> bool:
    """Whether these come from one photograph and rest on the same thing in it, corrected alike if at all."""
    return (
        bool(swatches and swatches[0].photo)
        and len({(each.photo, each.colour_from) for each in swatches}) == 1
    )


def reading_caution(*swatches: Swatch) -> str | None:
    """What has to stand beside a reading of these cloths; None when their colours were measured."""
    names = [swatch.name for swatch in swatches if not colour_is_measured(swatch)]
    if not names:
        return None
    which = " and ".join(dict.fromkeys(names))
    if len(swatches) > 1 and of_one_photo(*swatches):
        off = "off by 7 L* or more, though both are from one photograph"
    else:
        off = "off by 10 L* or more"
    return (
        f"The colour of {which} was not measured, so this reading may be {off}; trust only "
        "large steps, or photograph the cloth with the photo sheet."
    )


def seen_swatch(swatch: Swatch) -> Swatch:
    """The swatch with its correction by eye applied, for showing and judging; itself when there is none."""
    if swatch.by_eye == AS_IT_IS:
        return swatch
    return make_swatch(
        corrected(swatch.tile_srgb8, swatch.by_eye),
        key=swatch.key,
        name=swatch.name,
        ppi=swatch.ppi,
        repeats=swatch.repeats,
        scale_note=swatch.scale_note,
        colour_note=f"{swatch.colour_note} Corrected by eye.".strip(),
        width_of_fabric_in=swatch.width_of_fabric_in,
        one_way=swatch.one_way,
        kind=swatch.kind,
        scale_off=swatch.scale_off,
        colour_from=swatch.colour_from,
        about=swatch.about,
        repeat_in=swatch.repeat_in,
        # What a photograph did to its cloths is the same for two of them only if both are corrected alike.
        photo=f"{swatch.photo} {by_eye_text(swatch.by_eye)}" if swatch.photo else "",
    )
