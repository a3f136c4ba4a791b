"""Photographs that lie on the page, and swatches tried from them, each by a token; the oldest go first."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.card_find import find_card
from swatches.card_plane import CardError
from swatches.chart import ChartError
from swatches.chart_find import Corners, find_chart
from swatches.decode import read_photo
from swatches.finish import RepeatChoice
from swatches.known_sizes import A4_PAPER
from swatches.measure import measure_photo
from swatches.paper_find import find_any_paper
from swatches.references import ColourReference, Reference
from swatches.seen_crop import SeenCrop
from swatches.sheet_find import SheetError, find_sheet
from swatches.swatch import Swatch
from ui.mistakes import Mistake
from ui.photo_words import fault_lines, found_lines

__all__ = ["LaidPhoto", "PhotoTray", "TriedCloth", "WantedCloth"]

_MOST_LAID = 4
_MOST_TRIED = 4
_LONGEST_SHOWN_PX = 2400
"""Fine enough to place a marker to the pixel of most photographs; the swatch comes from the file itself."""

Quad = tuple[tuple[float, float], ...]
FoundThing = Literal["sheet", "card", "A4", "Letter", ""]


@dataclass(frozen=True, slots=True, eq=False)
class LaidPhoto:
    """A photograph on the tray."""

    token: str
    file: Path
    width_px: int
    height_px: int
    jpeg: bytes
    """A picture of it to place markers on, upright; not for judging colour."""
    found: FoundThing
    """What of known size was found in it by itself."""
    marks_px: tuple[Quad, ...]
    """The photo sheet's markers, or the corners of the card or the paper."""
    chart_px: Corners | None
    """A 24-patch chart's corners, round from dark skin, if one was found."""


@dataclass(frozen=True, slots=True)
class WantedCloth:
    """What is to be made of a photograph."""

    reference: Reference
    colour: ColourReference | None
    crop: SeenCrop | None
    repeat: RepeatChoice


@dataclass(frozen=True, slots=True, eq=False)
class TriedCloth:
    """A swatch that was made to be looked at; it has no name of its own yet."""

    token: str
    swatch: Swatch
    found: tuple[str, ...]
    faults: tuple[str, ...]
    marks_px: tuple[Quad, ...]


class PhotoTray:
    """The last few photographs that were uploaded. The files stay where the upload put them."""

    def __init__(self) -> None:
        self._laid: OrderedDict[str, LaidPhoto] = OrderedDict()
        self._tried: OrderedDict[tuple[str, WantedCloth], TriedCloth] = OrderedDict()
        self._lock = Lock()

    def lay(self, file: Path) -> LaidPhoto:
        """The photograph, opened and laid on the tray, with what is found in it.

        Raises: PhotoError for a file that is no usable photograph.
        """
        photo = read_photo(file)
        height_px, width_px = photo.srgb8.shape[:2]
        found, marks_px = _found(photo.srgb8)
        laid = LaidPhoto(
            token=secrets.token_urlsafe(12),
            file=file,
            width_px=width_px,
            height_px=height_px,
            jpeg=_jpeg(photo.srgb8),
            found=found,
            marks_px=marks_px,
            chart_px=_chart(photo.srgb8),
        )
        with self._lock:
            self._laid[laid.token] = laid
            while len(self._laid) > _MOST_LAID:
                self._laid.popitem(last=False)
        return laid

    def find(self, token: str) -> LaidPhoto:
        """The photograph of that token.

        Raises: Mistake if it has gone from the tray, or none was ever chosen.
        """
        if not token:
            raise Mistake("No photograph is chosen yet.", mend="Choose a photograph or scan first.")
        with self._lock:
            laid = self._laid.get(token)
        if laid is None:
            raise Mistake("The photograph is no longer at hand.", mend="Choose the photograph again.")
        return laid

    def try_out(self, laid: LaidPhoto, wanted: WantedCloth) -> TriedCloth:
        """The swatch that was wanted; made once, however often it is asked for.

        Raises: what `measure_photo` raises.
        """
        asked = (laid.token, wanted)
        with self._lock:
            tried = self._tried.get(asked)
        if tried is not None:
            return tried
        measured = measure_photo(
            laid.file,
            name="new cloth",
            reference=wanted.reference,
            colour=wanted.colour,
            crop=wanted.crop,
            repeat=wanted.repeat,
        )
        tried = TriedCloth(
            secrets.token_urlsafe(12),
            measured.swatch,
            found_lines(measured),
            fault_lines(measured),
            measured.marks_px,
        )
        with self._lock:
            self._tried[asked] = tried
            while len(self._tried) > _MOST_TRIED:
                self._tried.popitem(last=False)
        return tried

    def find_tried(self, token: str) -> TriedCloth:
        """The swatch of that token.

        Raises: Mistake if it has gone.
        """
        with self._lock:
            found = [tried for tried in self._tried.values() if tried.token == token]
        if not found:
            raise Mistake("The swatch is no longer at hand.", mend="Make it again.")
        return found[0]


def _found(picture_srgb8: NDArray[np.uint8]) -> tuple[FoundThing, tuple[Quad, ...]]:
    try:
        sheet = find_sheet(picture_srgb8)
        return "sheet", tuple(tuple((float(x), float(y)) for x, y in quad) for _, quad in sheet.corners_px)
    except SheetError:
        pass
    try:
        return "card", (find_card(picture_srgb8).corners_px,)
    except CardError:
        pass
    try:
        paper = find_any_paper(picture_srgb8)
    except CardError:
        paper = None
    if paper is None:
        return "", ()
    thing, found = paper
    return ("A4" if thing is A4_PAPER else "Letter"), (found.corners_px,)


def _chart(picture_srgb8: NDArray[np.uint8]) -> Corners | None:
    try:
        return find_chart(picture_srgb8).corners_px
    except ChartError:
        return None


def _jpeg(picture_srgb8: NDArray[np.uint8]) -> bytes:
    height_px, width_px = picture_srgb8.shape[:2]
    part = min(1.0, _LONGEST_SHOWN_PX / max(height_px, width_px))
    size = (max(1, round(width_px * part)), max(1, round(height_px * part)))
    small = cv2.resize(picture_srgb8, size, interpolation=cv2.INTER_AREA)
    done, packed = cv2.imencode(
        ".jpg", cv2.cvtColor(small, cv2.COLOR_RGB2BGR), [cv2.IMWRITE_JPEG_QUALITY, 92]
    )
    if not done:
        raise RuntimeError("the photograph could not be packed for the page")
    return packed.tobytes()
