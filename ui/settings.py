"""What a user may set, declared once: the command's options and the page's fields both read it here."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from blocks.lengths import LengthError, inches_text, parse_inches
from ui.mistakes import Mistake

__all__ = ["CLOTH_WIDTH", "PHOTO_PPI", "PICTURE_PPI", "PORT", "SEAM", "VIEWS", "WIDTH", "Setting"]

# No exponents: "1e999999999" is a legal number whose exact value fills the memory.
_PLAIN_NUMBER = re.compile(r"-?\d{1,12}(\.\d{0,12})?")

VIEWS = {
    "colour": "the block in its cloth",
    "value": "light and dark alone (CIE L*)",
    "numbered": "the block in its cloth, with lines and patch numbers over it",
    "lines": "lines and patch numbers alone",
}


@dataclass(frozen=True, slots=True)
class Setting:
    """One thing that a user may set: its bounds hold for the option and for the field alike."""

    name: str
    default: Fraction
    lowest: Fraction
    highest: Fraction
    kind: Literal["length", "number", "whole"]
    unit: str
    help: str

    def read(self, typed: str | int | float | Fraction | None) -> Fraction:
        """The value that was typed, or the default for nothing; never quietly moved into bounds.

        Raises: Mistake naming the setting.
        """
        if typed is None or (isinstance(typed, str) and not typed.strip()):
            return self.default
        value = self._number(typed)
        if not self.lowest <= value <= self.highest:
            raise Mistake(
                f"{self.name.capitalize()} {self.text(value)} is out of bounds.",
                mend=f"Choose from {self.text(self.lowest)} to {self.text(self.highest)}.",
            )
        return value

    def _number(self, typed: str | int | float | Fraction) -> Fraction:
        if self.kind == "length":
            return self._length(typed if not isinstance(typed, float) else str(typed))
        plain = _PLAIN_NUMBER.fullmatch(str(typed).strip())
        value = Fraction(plain[0]) if plain else None
        if value is None or (self.kind == "whole" and value.denominator != 1):
            wanted = "whole number" if self.kind == "whole" else "number"
            raise Mistake(
                f"{self.name.capitalize()} {str(typed)[:40]!r} is not a {wanted}.",
                mend=f"Write a number such as {self.text(self.default)}.",
            )
        return value

    def _length(self, typed: str | int | Fraction) -> Fraction:
        try:
            return parse_inches(typed)
        except LengthError as error:
            raise Mistake(f"{self.name.capitalize()}: {error}", mend=error.mend) from error

    def text(self, value: Fraction) -> str:
        """A value of this setting as it is typed, with its unit."""
        number = inches_text(value) if self.kind == "length" else f"{float(value):g}"
        return f"{number} {self.unit}".strip()

    def help_line(self) -> str:
        """The help with default and bounds, for the command."""
        return (
            f"{self.help} ({self.text(self.default)} unless told; "
            f"{self.text(self.lowest)} to {self.text(self.highest)})"
        )


PICTURE_PPI = Setting(
    name="pixels per inch",
    default=Fraction(100),
    lowest=Fraction(5),
    highest=Fraction(1200),
    kind="number",
    unit="ppi",
    help="how fine the picture is: pixels for one inch of the block",
)
SEAM = Setting(
    name="seam allowance",
    default=Fraction(1, 4),
    lowest=Fraction(0),
    highest=Fraction(1),
    kind="length",
    unit="in",
    help="the seam allowance that you sew with; 7.5 mm is understood too",
)
WIDTH = Setting(
    name="finished width",
    default=Fraction(12),
    lowest=Fraction(1, 4),
    highest=Fraction(240),
    kind="length",
    unit="in",
    help="draw the block again at this finished width, or each block of a quilt; 30 cm is understood too",
)
CLOTH_WIDTH = Setting(
    name="width of fabric",
    default=Fraction(42),
    lowest=Fraction(1),
    highest=Fraction(200),
    kind="length",
    unit="in",
    help="usable width of the cloth from selvage to selvage",
)
PHOTO_PPI = Setting(
    name="photo scale",
    default=Fraction(0),
    lowest=Fraction(10),
    highest=Fraction(2400),
    kind="number",
    unit="ppi",
    help="pixels of the photograph for one inch of cloth",
)
PORT = Setting(
    name="port",
    default=Fraction(8717),
    lowest=Fraction(1024),
    highest=Fraction(65535),
    kind="whole",
    unit="",
    help="the door of this machine that the page answers at",
)
