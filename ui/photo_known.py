"""What a maker says is known in a photograph of cloth, from words to references."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal, cast

from blocks.lengths import parse_inches
from swatches.crop import Crop
from swatches.finish import RepeatChoice
from swatches.references import (
    Card,
    Chart,
    ColourReference,
    GreyCard,
    Paper,
    PhotoSheet,
    Reference,
    WhitePaper,
)
from swatches.repeat import repeat_from_clicks
from swatches.ruler_scale import RulerTicks
from swatches.scale import ShownAcross, TwoPoints, TypedPpi
from ui.mistakes import Mistake
from ui.settings import PHOTO_PPI

__all__ = ["KnownInPhoto", "read_bar", "read_colour", "read_crop", "read_reference", "read_repeat"]

_SCALES = "--sheet, --card, --paper, --points with --apart, --ruler-ticks, --shows or --photo-ppi"
_LEAST_BAR_MM, _MOST_BAR_MM = 80.0, 120.0

Point = tuple[float, float]
Points = Sequence[str] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownInPhoto:
    """The options of a photograph as they were typed."""

    sheet: bool = False
    bar: str | None = None
    card: Points = None
    paper: Literal["A4", "Letter"] | None = None
    corners: Points = None
    exact: bool = False
    points: Points = None
    apart: str | None = None
    ruler_ticks: Points = None
    tick: str | None = None
    shows: str | None = None
    photo_ppi: str | None = None
    grey: str | None = None
    white: str | None = None
    chart: Points = None
    edition: str | None = None
    crop: Points = None
    repeat: str = "find"
    one_way: bool = False

    @property
    def places(self) -> tuple[str, ...]:
        """The options that name places of one photograph, or what holds for one cloth only."""
        said = {
            "--card with corners": bool(self.card),
            "--corners": self.corners is not None,
            "--points": self.points is not None,
            "--ruler-ticks": self.ruler_ticks is not None,
            "--grey": self.grey is not None,
            "--white": self.white is not None,
            "--chart with corners": bool(self.chart),
            "--crop": self.crop is not None,
            "--repeat": self.repeat != "find",
            "--one-way": self.one_way,
        }
        return tuple(name for name, is_there in said.items() if is_there)


def read_reference(known: KnownInPhoto) -> Reference:
    """The one thing of known size that was named.

    Raises: Mistake for none, for more than one, or for half of one; LengthError.
    """
    _check_together(known)
    given = [
        known.sheet,
        known.card is not None,
        known.paper is not None,
        known.points is not None,
        known.ruler_ticks is not None,
        known.shows is not None,
        known.photo_ppi is not None,
    ].count(True)
    if given != 1:
        what = "No scale is" if given == 0 else "More than one scale is"
        simplest = ' With nothing beside the cloth: --shows "12 in".' if given == 0 else ""
        raise Mistake(f"{what} given for the photograph.", mend=f"Give {_SCALES}.{simplest}")
    if known.sheet:
        return PhotoSheet(read_bar(known.bar))
    if known.card is not None:
        return Card(_four(known.card, "the card"), exact=known.exact)
    if known.paper is not None:
        return Paper(known.paper, _four(known.corners or (), "the paper"), exact=known.exact)
    if known.points is not None:
        first, second = (_point(text) for text in known.points)
        return TwoPoints(first, second, parse_inches(str(known.apart)))
    if known.ruler_ticks is not None:
        first, second = (_point(text) for text in known.ruler_ticks)
        return RulerTicks(first, second, _positive(known.tick or "1/16 in", "tick"))
    if known.shows is not None:
        return ShownAcross(parse_inches(known.shows))
    return TypedPpi(float(PHOTO_PPI.read(known.photo_ppi)))


def _check_together(known: KnownInPhoto) -> None:
    if (known.points is None) != (known.apart is None):
        missing = "--apart" if known.apart is None else "--points"
        raise Mistake(f"{missing} is missing.", mend="Give two points and how far apart they lie.")
    needs = (
        (known.bar is not None and not known.sheet, "--bar", "--sheet"),
        (known.tick is not None and known.ruler_ticks is None, "--tick", "--ruler-ticks"),
        (known.corners is not None and known.paper is None, "--corners", "--paper"),
        (known.edition is not None and known.chart is None, "--edition", "--chart"),
        (known.exact and not (known.card or known.corners), "--exact", "the four corners"),
    )
    for wrong, option, other in needs:
        if wrong:
            raise Mistake(f"{option} says nothing without {other}.", mend=f"Add {other}, or leave it out.")


def read_bar(typed: str | None) -> float:
    """Millimetres of the photo sheet's 100 mm bar as it was printed.

    Raises: Mistake for a length that such a bar cannot have; LengthError.
    """
    if typed is None or not typed.strip():
        return 100.0
    plain = typed.strip().replace(".", "", 1).isdecimal()
    bar_mm = float(typed) if plain else float(parse_inches(typed) * Fraction(254, 10))
    if not _LEAST_BAR_MM <= bar_mm <= _MOST_BAR_MM:
        raise Mistake(
            f"A bar of {bar_mm:.4g} mm is not the photo sheet's 100 mm bar.",
            mend='Measure that bar on the printed sheet, and give its length, such as "97 mm".',
        )
    return bar_mm


def read_colour(known: KnownInPhoto) -> ColourReference | None:
    """The one thing of known colour that was named, if any.

    Raises: Mistake for more than one.
    """
    given = [known.grey is not None, known.white is not None, known.chart is not None].count(True)
    if given > 1:
        raise Mistake("More than one thing of known colour is given.", mend="Give one of them.")
    if known.grey is not None:
        return GreyCard(_point(known.grey))
    if known.white is not None:
        return WhitePaper(_point(known.white))
    if known.chart is not None:
        new = known.edition != "before-2014"
        return Chart(_four(known.chart, "the chart"), "after 2014" if new else "before 2014")
    return None


def read_crop(corners: Points) -> Crop | None:
    """The rectangle between two opposite corners, whichever way round they were given; None for no crop."""
    if corners is None:
        return None
    (x, y), (across, down) = (_point(text) for text in corners)
    return Crop(min(x, across), min(y, down), max(x, across), max(y, down))


def read_repeat(typed: str) -> RepeatChoice:
    """How the repeat is come by: "find", "as it is", or the maker's own steps in inches.

    Raises: Mistake for other words; RepeatError for steps that are none.
    """
    if typed in ("find", "as-is"):
        return cast("Literal['find', 'as it is']", typed if typed == "find" else "as it is")
    words = typed.split()
    if not 1 <= len(words) <= 2 or "," not in typed:
        raise Mistake(
            f'"{typed}" is no repeat.', mend='Say find, as-is, or one or two steps such as "2.5,0 1.25,3".'
        )
    steps = [_point(word, what="a step across,down in inches", example="2.5,0") for word in words]
    origin = (0.0, 0.0)
    return repeat_from_clicks((origin, steps[0]), (origin, steps[1]) if len(steps) == 2 else None, ppi=1.0)


def _four(corners: Sequence[str], what: str) -> tuple[Point, Point, Point, Point] | None:
    """The four corners; None for none, which are then looked for."""
    if not corners:
        return None
    if len(corners) != 4:
        raise Mistake(
            f"{len(corners)} corners of {what} are given.", mend="Give all four, or none to have it found."
        )
    one, two, three, four = (_point(text) for text in corners)
    return one, two, three, four


def _positive(typed: str, what: str) -> Fraction:
    length_in = parse_inches(typed)
    if length_in <= 0:
        raise Mistake(f"The {what} {typed} is no length.", mend='Give a length such as "1/16 in" or "1 mm".')
    return length_in


def _point(text: str, *, what: str = "a place in the photograph", example: str = "120,340") -> Point:
    parts = text.split(",")
    try:
        x, y = (float(part) for part in parts)
    except ValueError:
        raise Mistake(f'"{text}" is not {what}.', mend=f"Write it as {example}.") from None
    return x, y
