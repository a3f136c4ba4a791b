"""What the page does with a photograph of cloth: lay it down with its markers, then make a swatch of it."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from pathlib import Path
from typing import Any

from blocks.lengths import parse_inches
from swatches.crop import Crop
from swatches.intake import swatch_from_photo
from swatches.scale import CardCorners, Scale, TwoPoints, TypedPpi
from ui.mistakes import Mistake, tell
from ui.page_words import mistake_html, plain
from ui.photo_tray import LaidPhoto, PhotoTray
from ui.settings import CLOTH_WIDTH, PHOTO_PPI
from ui.shelf import Shelf

__all__ = ["SCALES", "Kept", "keep_cloth", "lay_photo"]

SCALES = {
    "card": "a bank card lies on the cloth",
    "points": "a ruler lies on the cloth",
    "ppi": "I know the pixels per inch",
}

_Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Kept:
    """What the page shows of a photograph, and what there is to say."""

    photo: dict[str, Any] | None
    said: str


def lay_photo(tray: PhotoTray, uploaded: object) -> Kept:
    """The photograph with its markers where they may well belong, ready to be moved."""
    if not isinstance(uploaded, str):
        return Kept({"token": ""}, "")
    try:
        laid = tray.lay(Path(uploaded))
    except Exception as error:
        return Kept({"token": ""}, _mistaken(error))
    return Kept(_photo(laid), "")


def _photo(laid: LaidPhoto) -> dict[str, Any]:
    wide, high = laid.width_px, laid.height_px
    return {
        "token": laid.token,
        "src": f"/photo/{laid.token}.jpg",
        "width_px": wide,
        "height_px": high,
        "points": [[wide * 0.25, high * 0.5], [wide * 0.75, high * 0.5]],
        "card": [[wide * x, high * y] for x, y in ((0.3, 0.35), (0.7, 0.35), (0.7, 0.65), (0.3, 0.65))],
        "crop": [[0.0, 0.0], [float(wide), float(high)]],
        "kept": "",
    }


def keep_cloth(
    shelf: Shelf,
    tray: PhotoTray,
    held: object,
    *,
    how: object,
    name: object,
    apart: object,
    ppi: object,
    width: object,
    one_way: object,
) -> Kept:
    """The swatch made and put into the stash, or what has to be mended first; the photograph stays."""
    try:
        photo = held if isinstance(held, dict) else {}
        laid = tray.find(str(photo.get("token", "")))
        _check_moved(photo, how, before=_photo(laid))
        swatch = swatch_from_photo(
            laid.file,
            name=str(name or ""),
            scale=_scale(photo, how, apart=apart, ppi=ppi),
            crop=None if how == "card" else _crop(photo, laid),
            width_of_fabric_in=CLOTH_WIDTH.read(str(width or "")),
            one_way=one_way is True,
        )
        shelf.add(swatch)
    except Exception as error:
        return Kept(None, _mistaken(error))
    said = (
        f'<div role="status" class="kept"><p><b>{plain(swatch.name)}</b> is on your shelf: '
        f"{swatch.width_in:.1f} x {swatch.height_in:.1f} in of cloth.</p>"
        f"<p>{plain(swatch.scale_note)}</p><p>{plain(swatch.colour_note)}</p></div>"
    )
    return Kept({**photo, "kept": swatch.key}, said)


def _check_moved(photo: dict[str, Any], how: object, *, before: dict[str, Any]) -> None:
    """Markers that lie just where they were put say nothing about the scale."""
    if how in ("card", "points") and photo.get(str(how)) == before[str(how)]:
        what = "corners of the card" if how == "card" else "two points on the ruler"
        raise Mistake("The markers have not been moved.", mend=f"Move them onto the {what}.")


def _scale(photo: dict[str, Any], how: object, *, apart: object, ppi: object) -> Scale:
    match how:
        case "card":
            one, two, three, four = _points(photo, "card", 4)
            return CardCorners((one, two, three, four))
        case "points":
            first, second = _points(photo, "points", 2)
            return TwoPoints(first, second, parse_inches(str(apart or "")))
        case "ppi" if str(ppi or "").strip():
            return TypedPpi(float(PHOTO_PPI.read(str(ppi))))
    raise Mistake("The scale of the photograph is not known.", mend="Say how long an inch is in it.")


def _crop(photo: dict[str, Any], laid: LaidPhoto) -> Crop | None:
    (x, y), (across, down) = _points(photo, "crop", 2)
    crop = Crop(min(x, across), min(y, down), max(x, across), max(y, down))
    whole = (crop.left, crop.top) == (0, 0) and (crop.right, crop.bottom) == (laid.width_px, laid.height_px)
    return None if whole else crop


def _points(photo: dict[str, Any], name: str, count: int) -> list[_Point]:
    strange = Mistake("The markers did not come through.", mend="Choose the photograph again.")
    found = photo.get(name)
    if not isinstance(found, list) or len(found) != count:
        raise strange
    points = []
    for point in found:
        fine = isinstance(point, list) and len(point) == 2
        if not fine or not all(isinstance(at, int | float) and isfinite(at) for at in point):
            raise strange
        points.append((float(point[0]), float(point[1])))
    return points


def _mistaken(error: Exception) -> str:
    told = tell(error)
    if told is None:
        raise error
    return mistake_html(told)
