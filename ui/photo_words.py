"""Words about cloth that came from a photograph: what it is, how far to trust it, what to mend."""

from __future__ import annotations

from blocks.lengths import inches_text
from swatches.measure import Measured
from swatches.swatch import Swatch
from swatches.trust import colour_words, trust_words

__all__ = ["fault_lines", "found_lines", "size_words", "trust_line"]


def size_words(swatch: Swatch) -> str:
    """How much cloth is known, and how finely.

    Example: "5.02 x 3.51 in that go on for ever, 180.0 pixels per inch"
    """
    area = f"{swatch.width_in:.2f} x {swatch.height_in:.2f} in"
    known = f"a tile of {area} that goes on for ever" if swatch.repeats else f"{area} of cloth"
    return f"{known}, at {swatch.ppi:.1f} pixels per inch, {inches_text(swatch.width_of_fabric_in)} in wide"


def trust_line(swatch: Swatch) -> str:
    """How far it can be trusted, in one sentence."""
    words = trust_words(swatch)
    return f"Trust: {words} ({colour_words(swatch)})."


def found_lines(measured: Measured) -> tuple[str, ...]:
    """Where scale, colour and repeat come from, and what the print is; one thought each."""
    swatch = measured.swatch
    about = (f"It looks like this. {swatch.about.words}",) if swatch.about is not None else ()
    return (swatch.scale_note, swatch.colour_note, *measured.notes, *about)


def fault_lines(measured: Measured) -> tuple[str, ...]:
    """Every fault of the photograph with its mend."""
    return tuple(f"{fault.name.capitalize()}: {fault.words} Mend: {fault.mend}" for fault in measured.faults)
