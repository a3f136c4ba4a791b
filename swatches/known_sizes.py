"""Flat things of a size that a standard fixes, found in any drawer."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

__all__ = ["A4_PAPER", "CARD", "CARD_LONG_IN", "CARD_SHORT_IN", "LETTER_PAPER", "KnownSize"]

CARD_LONG_IN = Fraction(8560, 2540)
CARD_SHORT_IN = Fraction(5398, 2540)
"""85.60 x 53.98 mm. Source: ISO/IEC 7810, format ID-1."""


@dataclass(frozen=True, slots=True)
class KnownSize:
    """A flat thing of a size that a standard fixes."""

    called: str
    long_in: Fraction
    short_in: Fraction
    tolerance: float
    """Share by which its size may differ."""
    thick_in: float = 0.0
    """Its face lies so much nearer to the camera than the cloth; none for paper, at 0.1 mm."""


CARD = KnownSize("card", CARD_LONG_IN, CARD_SHORT_IN, 0.0015, 0.76 / 25.4)
"""Source: ISO/IEC 7810, format ID-1 (0.13 in 85.6 mm; thickness 0.76 mm)."""
A4_PAPER = KnownSize("sheet of A4", Fraction(29700, 2540), Fraction(21000, 2540), 0.0095)
"""Source: ISO 216 (2 mm in 210)."""
LETTER_PAPER = KnownSize("sheet of Letter", Fraction(11), Fraction(17, 2), 0.0095)
"""Source: ANSI/ASME Y14.1, size A; tolerance taken to be that of ISO 216."""
