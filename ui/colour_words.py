"""What has to stand beside pictures and figures of cloth whose colours were not measured."""

from __future__ import annotations

from collections.abc import Iterable

from swatches.swatch import Swatch
from swatches.trust import colour_is_measured, reading_caution

__all__ = ["STARRED", "care_text", "marked", "measured_word", "mentioned", "picture_caution", "star"]

STARRED = (
    "A star marks cloth whose colours were not measured: its place here may be off by 10 L* or more. "
    "Trust only large steps, or photograph that cloth with the photo sheet."
)
"""Stands under a list of cloths in which some are starred."""


def star(swatch: Swatch) -> str:
    """What follows the cloth's name in lists: a star where its colours were not measured, else nothing."""
    return "" if colour_is_measured(swatch) else " *"


def marked(swatch: Swatch) -> str:
    """The cloth's name with its star, if it has one.

    Example: "bee skeps *"
    """
    return f"{swatch.name}{star(swatch)}"


def measured_word(*swatches: Swatch) -> str:
    """For a column of a table: "yes" where the colours of all of these were measured or stated, else "no"."""
    return "yes" if all(colour_is_measured(swatch) for swatch in swatches) else "no"


def picture_caution(swatches: Iterable[Swatch]) -> tuple[str, ...]:
    """What has to be said of a picture of these cloths; nothing when their colours were measured."""
    names = list(dict.fromkeys(each.name for each in swatches if not colour_is_measured(each)))
    if not names:
        return ()
    return (
        f"The colour of {' and '.join(names)} was not measured: beside the others it may be lighter, darker "
        "or of another hue than this picture shows.",
    )


def mentioned(*swatches: Swatch | None) -> tuple[str, ...]:
    """What has to stand beside readings of these cloths, as lines: one or none. None stands for no cloth."""
    caution = reading_caution(*(swatch for swatch in swatches if swatch is not None))
    return () if caution is None else (caution,)


def care_text(lines: Iterable[str]) -> str:
    """Cautions as they end a text: each a paragraph that begins with "Take care:"; "" for none."""
    return "".join(f"\nTake care: {line}\n" for line in lines)
