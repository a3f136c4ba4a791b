"""What the page does with a photograph: lay it down, make a swatch to look at, put it on the shelf."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from pathlib import Path
from typing import Any

from swatches.by_eye import ByEye
from swatches.keys import content_key
from swatches.swatch import Swatch, make_swatch
from ui.correct_job import retold
from ui.mistakes import Mistake, tell
from ui.page_words import mistake_html, plain
from ui.photo_form import PhotoForm, first_marks, wanted_cloth
from ui.photo_options import PRINT_KINDS, PRINT_WAYS
from ui.photo_tray import LaidPhoto, PhotoTray, TriedCloth
from ui.photo_words import size_words, trust_line
from ui.settings import CLOTH_WIDTH
from ui.shelf import Shelf
from ui.tried_view import eye_from_words, shown_in

__all__ = ["Kept", "keep_cloth", "lay_photo", "try_cloth"]

_NONE = {"token": ""}
_IN_SIGHT_IN = 3.0


@dataclass(frozen=True, slots=True)
class Kept:
    """What the page shows of a photograph and its swatch, and what there is to say; None stays as it is."""

    photo: dict[str, Any] | None
    tried: dict[str, Any] | None
    said: str


def lay_photo(tray: PhotoTray, uploaded: object) -> Kept:
    """The photograph with its markers on what was found, or where it may well belong, ready to be moved."""
    if not isinstance(uploaded, str):
        return Kept(_NONE, _NONE, "")
    try:
        laid = tray.lay(Path(uploaded))
    except Exception as error:
        return Kept(_NONE, _NONE, _mistaken(error, file=Path(uploaded)))
    return Kept(_photo(laid), _NONE, "")


_LOOK = (
    "look whether the outline lies on its edges, and move a corner if it does not. "
    "If more than cloth is seen, move the two square markers to the piece to use."
)
_FOUND = {
    "sheet": "The photo sheet was found: its markers are outlined. Nothing needs to be moved.",
    "card": f"A card was found: {_LOOK}",
    "A4": f"A sheet of A4 paper was found: {_LOOK}",
    "Letter": f"A sheet of Letter paper was found: {_LOOK}",
    "": "Neither photo sheet nor card nor white paper was found: say what lies on the cloth and move the "
    "markers onto it, or, if nothing lies on it, say how much cloth is seen.",
}

_CHART_FOUND = 'A 24-patch chart was found too: say under "What tells its colour?" when it was made.'


def _photo(laid: LaidPhoto) -> dict[str, Any]:
    return {
        "token": laid.token,
        "src": f"/photo/{laid.token}.jpg",
        "width_px": laid.width_px,
        "height_px": laid.height_px,
        **first_marks(laid),
        "sheet": [[list(point) for point in quad] for quad in laid.marks_px] if laid.found == "sheet" else [],
        "found": _FOUND[laid.found] if laid.chart_px is None else f"{_FOUND[laid.found]} {_CHART_FOUND}",
        "how": laid.found or "points",
        "colour": "" if laid.chart_px is None else "after 2014",
        "kept": "",
    }


def try_cloth(tray: PhotoTray, held: object, held_tried: object, form: PhotoForm) -> Kept:
    """The swatch to look at, with what was found and what to mend; nothing is put on the shelf."""
    try:
        tried, marking = _tried(tray, held, held_tried, form)
    except Exception as error:
        return Kept(None, None, _mistaken(error))
    lines = [size_words(tried.swatch).capitalize() + ".", trust_line(tried.swatch), *tried.found]
    if marking:
        lines = ["Move the three markers onto the same spot of three motifs that are alike, then try again."]
    photo = held if isinstance(held, dict) else {}
    paper = form.how in ("A4", "Letter") and tried.marks_px
    moved = {**photo, "card": [list(point) for point in tried.marks_px[0]]} if paper else None
    return Kept(
        moved,
        _view(tried, held_tried, photo=str(photo.get("token", "")), marking=marking),
        _status(lines, tried.faults),
    )


def keep_cloth(shelf: Shelf, tray: PhotoTray, held: object, held_tried: object, form: PhotoForm) -> Kept:
    """The swatch put into the stash, or what has to be mended first; the photograph stays."""
    try:
        width = CLOTH_WIDTH.read(str(form.width or ""))
        name = _named(form)
        tried = _settled(*_tried(tray, held, held_tried, form))
        swatch = tried.swatch
        known: dict[str, Any] = {each.name: getattr(swatch, each.name) for each in fields(Swatch)}
        known |= {
            "name": name,
            "key": content_key(swatch.tile_srgb8, ppi=swatch.ppi, name=name),
            "width_of_fabric_in": width,
            "by_eye": _eye(held_tried),
        }
        kept = retold(
            make_swatch(**known), way=_one_of(form.way, PRINT_WAYS), kind=_one_of(form.kind, PRINT_KINDS)
        )
        shelf.add(kept)
    except Exception as error:
        return Kept(None, None, _mistaken(error))
    lines = [f"{kept.name} is on your shelf: {size_words(kept)}.", trust_line(kept), *tried.found]
    photo = held if isinstance(held, dict) else {}
    # What was made last may be another cloth than the one that was put on the shelf.
    shown = _view(tried, held_tried, photo=str(photo.get("token", "")), marking=False)
    return Kept({**photo, "kept": kept.key}, shown, _status(lines, tried.faults))


def _named(form: PhotoForm) -> str:
    name = str(form.name or "").strip()
    if not name:
        raise Mistake("The cloth has no name yet.", mend="Type what you call it, then put it on the shelf.")
    return name


def _settled(tried: TriedCloth, marking: bool) -> TriedCloth:
    if marking:
        raise Mistake(
            "The repeat is not marked yet.",
            mend="Make the swatch, move the three markers on it, then put it on the shelf.",
        )
    return tried


def _tried(tray: PhotoTray, held: object, held_tried: object, form: PhotoForm) -> tuple[TriedCloth, bool]:
    """The swatch that the form asks for, and whether its repeat has yet to be marked on it."""
    photo = held if isinstance(held, dict) else {}
    before = held_tried if isinstance(held_tried, dict) else {}
    laid = tray.find(str(photo.get("token", "")))
    marked = form.repeat == "mine" and before.get("photo") == laid.token and before.get("moved") is True
    wanted = wanted_cloth(laid, photo, form, marks_in=before.get("marks") if marked else None)
    return tray.try_out(laid, wanted), form.repeat == "mine" and not marked


def _view(tried: TriedCloth, held_tried: object, *, photo: str, marking: bool) -> dict[str, Any]:
    before = held_tried if isinstance(held_tried, dict) else {}
    wide, high = shown_in(tried.swatch)
    eye = _eye(held_tried)
    # Of a large piece a phone shows the first inches alone: the markers begin there.
    x, y = min(wide, _IN_SIGHT_IN), min(high, _IN_SIGHT_IN)
    fresh = [[x * 0.3, y * 0.3], [x * 0.6, y * 0.3], [x * 0.3, y * 0.6]]
    return {
        "token": tried.token,
        "photo": photo,
        "width_in": wide,
        "height_in": high,
        "steps": [] if marking else [list(step) for step in tried.swatch.repeat_in],
        "marking": marking,
        "moved": before.get("moved") is True and not marking,
        "marks": fresh if marking else before.get("marks", fresh),
        "eye": {each.name: getattr(eye, each.name) for each in fields(ByEye)},
    }


def _eye(held_tried: object) -> ByEye:
    sent = held_tried.get("eye") if isinstance(held_tried, dict) else None
    return eye_from_words(sent if isinstance(sent, dict) else {})


def _one_of(chosen: object, known: Sequence[str]) -> str | None:
    return chosen if isinstance(chosen, str) and chosen in known else None


def _status(lines: Sequence[str], faults: Sequence[str] = ()) -> str:
    told = "".join(f"<p>{plain(line)}</p>" for line in lines)
    wrong = "".join(f"<li>{plain(fault)}</li>" for fault in faults)
    mend = f"<p><b>What to mend</b></p><ul>{wrong}</ul>" if wrong else ""
    return f'<div role="status" class="kept">{told}{mend}</div>'


def _mistaken(error: Exception, *, file: Path | None = None) -> str:
    """What is to be mended; of an uploaded file its name alone is told, for where it lies is our affair."""
    told = tell(error)
    if told is None:
        raise error
    if file is not None:
        told = replace(told, what=told.what.replace(str(file), file.name))
    return mistake_html(told)
