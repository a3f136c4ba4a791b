"""What a user may set about looking and reading, declared once beside `ui.settings`."""

from __future__ import annotations

from fractions import Fraction

from ui.settings import VIEWS, Setting

__all__ = ["ALL_VIEWS", "CUTTINGS", "DISTANCE", "SEVERAL", "SEVERITY", "SHOWN_BEST", "YEARS"]

ALL_VIEWS = {
    **VIEWS,
    "three-steps": "lights, mediums and darks alone",
    "five-steps": "light and dark in five steps",
    "step-back": "as the eye gets it from the distance of --from",
    "seen": "as it reaches the eye told of by --shown, --light, --eyes and --years",
    "dim": "as in a room with one lamp",
    "roles": "one flat colour and pattern for each role, without its cloth",
    "seams": "each edge marked by its word: a line where clear, dashes where soft, dots where lost",
    "lost": "dots along every stretch where an edge that should read is lost",
    "sewn": "with a hint of the relief of its seams",
}
"""Every view that the command draws; those of `VIEWS` are on the page too."""

DISTANCE = Setting(
    name="distance",
    default=Fraction(72),
    lowest=Fraction(12),
    highest=Fraction(1200),
    kind="length",
    unit="in",
    help='from how far it is looked at, such as "6 ft" or "2 m"',
)
SEVERITY = Setting(
    name="severity",
    default=Fraction(1),
    lowest=Fraction(0),
    highest=Fraction(1),
    kind="number",
    unit="",
    help="how much the eyes of --eyes differ",
)
YEARS = Setting(
    name="years",
    default=Fraction(25),
    lowest=Fraction(25),
    highest=Fraction(100),
    kind="number",
    unit="years",
    help="age of the eye whose lens it is seen through; lenses yellow",
)
CUTTINGS = Setting(
    name="number of cuttings",
    default=Fraction(25),
    lowest=Fraction(2),
    highest=Fraction(500),
    kind="whole",
    unit="",
    help="also read it as cut from so many other places on the cloth",
)
SEVERAL = Setting(
    name="number of pictures",
    default=Fraction(6),
    lowest=Fraction(2),
    highest=Fraction(24),
    kind="whole",
    unit="",
    help="draw it as cut from so many different places on the cloth, side by side",
)
SHOWN_BEST = Setting(
    name="number shown",
    default=Fraction(10),
    lowest=Fraction(1),
    highest=Fraction(100),
    kind="whole",
    unit="",
    help="how many to show, the best first",
)
