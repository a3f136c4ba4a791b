"""What a print is, in the trade's words: computed from the picture, and open to the maker's own view."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from typing import Literal, get_args

__all__ = ["Colouring", "PrintAbout", "PrintWord", "Way", "about_from_text", "about_text"]

Way = Literal["one-way", "two-way", "all-way"]
PrintWord = Literal["plain", "tone-on-tone", "small print", "medium print", "large print", "stripe"]

_UNSURE: dict[Way, str] = {
    "one-way": " Not sure that it has an up: turn the cloth, and say another way if it looks the same.",
    "two-way": " Not sure about quarter turns: turn the cloth, and say all-way if it looks the same.",
    "all-way": " Not sure that any turn does: turn the cloth, and say one-way or two-way if it looks wrong.",
}


@dataclass(frozen=True, slots=True)
class Colouring:
    """One colour of a print."""

    name: str
    hex: str
    share: float
    """Of the cloth's area, 0 to 1."""


@dataclass(frozen=True, slots=True)
class PrintAbout:
    """What the picture says of a print. A maker who knows better replaces a field."""

    word: PrintWord
    way: Way
    motif_in: float | None
    """How large its motifs are, across; None for plain cloth and for cloth without motifs."""
    coverage: float
    """Share of the ground that is covered, 0 to 1."""
    colours: tuple[Colouring, ...]
    """Largest share first; the first is the ground."""
    way_sure: bool = True
    """False where the picture cannot tell whether turning shows: `way` spoils nothing then."""

    @property
    def words(self) -> str:
        """In one plain sentence."""
        colours = ", ".join(f"{colour.name} {colour.share:.0%}" for colour in self.colours[:4])
        if self.word == "plain":
            return f"Plain: {colours}."
        size = f", motifs about {self.motif_in:.1f} in" if self.motif_in is not None else ""
        covered = f"{self.coverage:.0%} of the ground covered"
        said = f"{self.word.capitalize()}{size}, {self.way}; {covered}: {colours}."
        return said if self.way_sure else said + _UNSURE[self.way]


def about_text(about: PrintAbout | None) -> str:
    """As text for files; empty for None."""
    return "" if about is None else json.dumps(asdict(about))


def about_from_text(text: str) -> PrintAbout | None:
    """From such text; None for empty text and for text of another make, which can be computed again."""
    if not text:
        return None
    try:
        raw = json.loads(text)
        known = raw["word"] in get_args(PrintWord) and raw["way"] in get_args(Way)
        motif_in = None if raw["motif_in"] is None else float(raw["motif_in"])
        colours = tuple(
            Colouring(str(each["name"]), str(each["hex"]), float(each["share"])) for each in raw["colours"]
        )
        # Text from before doubt was written down says nothing of it.
        sure = bool(raw.get("way_sure", True))
        about = PrintAbout(raw["word"], raw["way"], motif_in, float(raw["coverage"]), colours, sure)
    except (AttributeError, KeyError, TypeError, ValueError):
        return None
    return about if known else None
