"""What stands in the page's form for a photograph, turned into what is wanted of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Any, cast

from blocks.lengths import parse_inches
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
from swatches.seen_crop import SeenCrop
from ui.mistakes import Mistake
from ui.photo_known import read_bar
from ui.photo_tray import LaidPhoto, WantedCloth
from ui.settings import PHOTO_PPI

__all__ = ["COLOURS", "REPEATS", "SCALES", "PhotoForm", "first_marks", "wanted_cloth"]

SCALES = {
    "sheet": "the photo sheet lies on the cloth",
    "card": "a bank card lies on the cloth",
    "A4": "a sheet of A4 paper lies on it",
    "Letter": "a sheet of Letter paper lies on it",
    "points": "a ruler lies on the cloth",
    "ticks": "a ruler whose ticks can be counted",
    "across": "nothing: I know how much cloth is seen",
    "ppi": "I know the pixels per inch",
}
COLOURS = {
    "": "nothing else: the sheet's greys, or as the camera gave it",
    "grey": "a grey card is in the picture",
    "white": "white paper is in the picture",
    "after 2014": "a 24-patch chart, made since November 2014",
    "before 2014": "a 24-patch chart, made before",
}
REPEATS = {
    "find": "find it",
    "mine": "I mark it",
    "as it is": "none: use the cloth as it is",
}

_Point = tuple[float, float]
_Held = dict[str, Any]


@dataclass(frozen=True, slots=True)
class PhotoForm:
    """The fields as they were sent: nothing is checked yet."""

    how: object = "card"
    name: object = ""
    apart: object = ""
    tick: object = "1/16"
    bar: object = ""
    ppi: object = ""
    across: object = ""
    snap: object = True
    colour: object = ""
    repeat: object = "find"
    way: object = ""
    kind: object = ""
    width: object = ""


def first_marks(laid: LaidPhoto) -> _Held:
    """Where the markers lie before anyone moves them: on what was found, or where it may well belong."""
    wide, high = float(laid.width_px), float(laid.height_px)
    found = laid.marks_px[0] if laid.found in ("card", "A4", "Letter") else None
    guess = [[wide * x, high * y] for x, y in ((0.3, 0.35), (0.7, 0.35), (0.7, 0.65), (0.3, 0.65))]
    return {
        "points": [[wide * 0.25, high * 0.5], [wide * 0.75, high * 0.5]],
        "card": [[x, y] for x, y in found] if found is not None else guess,
        "chart": [[x, y] for x, y in laid.chart_px or _guessed_chart(wide, high)],
        "grey": [[wide * 0.1, high * 0.1]],
        "crop": [[0.0, 0.0], [wide, high]],
    }


def _guessed_chart(wide: float, high: float) -> list[tuple[float, float]]:
    return [(wide * x, high * y) for x, y in ((0.2, 0.2), (0.5, 0.2), (0.5, 0.4), (0.2, 0.4))]


def wanted_cloth(laid: LaidPhoto, held: _Held, form: PhotoForm, *, marks_in: object = None) -> WantedCloth:
    """What the form and the markers ask for; `marks_in`: three marked places of the cloth, in inches.

    Raises: Mistake, and what the values themselves raise.
    """
    return WantedCloth(
        _reference(laid, held, form),
        _colour(laid, held, form),
        None if form.how == "sheet" else _crop(laid, held),
        _repeat(form, marks_in),
    )


def _reference(laid: LaidPhoto, held: _Held, form: PhotoForm) -> Reference:
    match form.how:
        case "sheet":
            return PhotoSheet(read_bar(str(form.bar or "")))
        case "card":
            if laid.found == "card" and not _moved(laid, held, "card"):
                return Card()
            _check_moved(laid, held, "card", "corners of the card")
            return Card(_four(held, "card"), exact=form.snap is not True)
        case "A4" | "Letter":
            page = "A4" if form.how == "A4" else "Letter"
            if not _moved(laid, held, "card"):
                return Paper(cast(Any, page))
            return Paper(cast(Any, page), _four(held, "card"), exact=form.snap is not True)
        case "points":
            _check_moved(laid, held, "points", "two points on the ruler")
            first, second = _points(held, "points", 2)
            return TwoPoints(first, second, parse_inches(str(form.apart or "")))
        case "ticks":
            _check_moved(laid, held, "points", "first and the last of the ruler's ticks")
            first, second = _points(held, "points", 2)
            return RulerTicks(first, second, parse_inches(str(form.tick or "")))
        case "across" if str(form.across or "").strip():
            return ShownAcross(parse_inches(str(form.across)))
        case "across":
            raise Mistake(
                "How much cloth is seen is not said.", mend="Say how wide it is, such as 12 or 30 cm."
            )
        case "ppi" if str(form.ppi or "").strip():
            return TypedPpi(float(PHOTO_PPI.read(str(form.ppi))))
    raise Mistake("The scale of the photograph is not known.", mend="Say how long an inch is in it.")


def _colour(laid: LaidPhoto, held: _Held, form: PhotoForm) -> ColourReference | None:
    match form.colour:
        case "grey" | "white":
            what = "grey card" if form.colour == "grey" else "white paper"
            _check_moved(laid, held, "grey", what)
            (place,) = _points(held, "grey", 1)
            return GreyCard(place) if form.colour == "grey" else WhitePaper(place)
        case "after 2014" | "before 2014":
            if laid.chart_px is None:
                _check_moved(laid, held, "chart", "outer corners of the chart's field of patches")
            return Chart(_four(held, "chart"), cast(Any, form.colour))
    return None


def _repeat(form: PhotoForm, marks_in: object) -> RepeatChoice:
    if form.repeat == "as it is" or (form.repeat == "mine" and marks_in is None):
        return "as it is"
    if form.repeat != "mine":
        return "find"
    start, across, down = _points({"marks": marks_in}, "marks", 3)
    return repeat_from_clicks((start, across), (start, down), ppi=1.0)


def _moved(laid: LaidPhoto, held: _Held, group: str) -> bool:
    return bool(held.get(group) != first_marks(laid)[group])


def _check_moved(laid: LaidPhoto, held: _Held, group: str, what: str) -> None:
    """Markers that lie just where they were put say nothing."""
    if not _moved(laid, held, group):
        raise Mistake("The markers have not been moved.", mend=f"Move them onto the {what}.")


def _crop(laid: LaidPhoto, held: _Held) -> SeenCrop | None:
    return SeenCrop(*_points(held, "crop", 2)) if _moved(laid, held, "crop") else None


def _four(held: _Held, group: str) -> tuple[_Point, _Point, _Point, _Point]:
    one, two, three, four = _points(held, group, 4)
    return one, two, three, four


def _points(held: _Held, group: str, count: int) -> list[_Point]:
    strange = Mistake("The markers did not come through.", mend="Choose the photograph again.")
    found = held.get(group)
    if not isinstance(found, list) or len(found) != count:
        raise strange
    points = []
    for point in found:
        fine = isinstance(point, list) and len(point) == 2
        if not fine or not all(isinstance(at, int | float) and isfinite(at) for at in point):
            raise strange
        points.append((float(point[0]), float(point[1])))
    return points
