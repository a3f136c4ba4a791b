"""A folder of photographs made into swatches in one go, with a picture of what became of each."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.boxes import is_boxed
from swatches.measure import Measured, measure_photo
from swatches.references import ColourReference, PhotoSheet, Reference
from swatches.swatch import Swatch
from swatches.trust import trust_words

__all__ = ["FolderError", "PhotoOutcome", "contact_sheet", "measure_folder", "photo_files", "photo_outcome"]

_ENDINGS = frozenset(
    {".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif", ".avif", ".bmp", ".jp2"}
)
_CELL_PX = (300, 225)
_GAP_PX = 14
_WORDS_PX = 58
_LETTER_PX = 7.4
_MARK = (230, 40, 60)
_FAULT_INK, _GOOD_INK = (170, 20, 30), (40, 40, 40)


class FolderError(ValueError):
    """A folder without photographs. Carries how to mend it."""

    def __init__(self, path: Path, why: str) -> None:
        self.path = path
        self.mend = "Name a folder that holds JPEG, PNG, TIFF, WebP or HEIC photographs."
        super().__init__(f"{path}: {why}.")


@dataclass(frozen=True, slots=True, eq=False)
class PhotoOutcome:
    """What became of one photograph; small pictures only, so that hundreds fit in memory."""

    path: Path
    swatch: Swatch | None
    words: str
    """Trust and faults of the swatch, or why there is none, with the mend."""
    before_srgb8: NDArray[np.uint8] | None
    """The photograph with what was found drawn in."""
    after_srgb8: NDArray[np.uint8] | None
    """The cloth, tiled to three inches where it repeats."""

    @property
    def good(self) -> bool:
        """Whether a swatch was made."""
        return self.swatch is not None


def photo_files(folder: str | Path) -> tuple[Path, ...]:
    """The photographs in a folder, by name; what is below it is left alone.

    Raises: FolderError for what is no folder, or one without any.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise FolderError(folder, "is not a folder")
    found = tuple(sorted(path for path in folder.iterdir() if path.is_file() and _is_photo(path)))
    if not found:
        raise FolderError(folder, "holds no photographs")
    return found


def _is_photo(path: Path) -> bool:
    if path.suffix.lower() in _ENDINGS:
        return True
    try:
        with path.open("rb") as file:
            head = file.read(12)
    except OSError:
        return False
    return head[:3] == b"\xff\xd8\xff" or head[:8] == b"\x89PNG\r\n\x1a\n" or is_boxed(head)


def measure_folder(
    paths: Sequence[Path],
    *,
    reference: Reference | None = None,
    colour: ColourReference | None = None,
    progress: Callable[[int, int, Path], None] | None = None,
) -> Iterator[PhotoOutcome]:
    """One outcome after the other; a photograph that fails does not stop the rest.

    `progress(done, all, path)` is called before each. Swatches are named after their files.
    """
    for done, path in enumerate(paths):
        if progress is not None:
            progress(done, len(paths), path)
        yield _outcome(path, reference or PhotoSheet(), colour)


def _outcome(path: Path, reference: Reference, colour: ColourReference | None) -> PhotoOutcome:
    name = " ".join(path.stem.replace("_", " ").replace("-", " ").split())[:80] or "cloth"
    try:
        measured = measure_photo(path, name=name, reference=reference, colour=colour)
    except ValueError as fault:
        mend = getattr(fault, "mend", None)
        if mend is None:
            raise
        return PhotoOutcome(path, None, f"{fault} {mend}", None, None)
    return photo_outcome(path, measured)


def photo_outcome(path: Path, measured: Measured) -> PhotoOutcome:
    """The outcome of a photograph that has been measured, for a contact sheet."""
    words = ". ".join([trust_words(measured.swatch), *(fault.name for fault in measured.faults)])
    return PhotoOutcome(path, measured.swatch, words, _before(measured), _after(measured.swatch))


def _before(measured: Measured) -> NDArray[np.uint8]:
    small, factor = _fitted(measured.photo.srgb8)
    chart = () if measured.chart_px is None else (measured.chart_px,)
    for quad in (*measured.marks_px, *chart):
        points = np.round(np.array(quad) * factor * 16).astype(np.int32)
        cv2.polylines(small, [points.reshape(-1, 1, 2)], True, _MARK, 2, cv2.LINE_AA, shift=4)
    return small


def _after(swatch: Swatch) -> NDArray[np.uint8]:
    tile = swatch.tile_srgb8
    if swatch.repeats:
        # Three inches of cloth across, or one tile where that is more.
        wide = max(tile.shape[1], round(3 * swatch.ppi))
        high = max(tile.shape[0], round(wide * _CELL_PX[1] / _CELL_PX[0]))
        times = (-(-high // tile.shape[0]), -(-wide // tile.shape[1]), 1)
        tile = np.tile(tile, times)[:high, :wide]
    return _fitted(tile)[0]


def _fitted(picture: NDArray[np.uint8]) -> tuple[NDArray[np.uint8], float]:
    factor = min(_CELL_PX[0] / picture.shape[1], _CELL_PX[1] / picture.shape[0])
    size = (max(1, round(picture.shape[1] * factor)), max(1, round(picture.shape[0] * factor)))
    how = cv2.INTER_AREA if factor < 1 else cv2.INTER_NEAREST
    return np.array(cv2.resize(picture, size, interpolation=how), dtype=np.uint8), factor


def contact_sheet(outcomes: Sequence[PhotoOutcome], *, columns: int = 2) -> NDArray[np.uint8]:
    """One picture of all photographs beside their cloth, with the markers drawn and a line of words."""
    wide = 2 * _CELL_PX[0] + 3 * _GAP_PX
    high = _CELL_PX[1] + _WORDS_PX + _GAP_PX
    rows = -(-len(outcomes) // columns)
    sheet = np.full((max(rows, 1) * high + _GAP_PX, columns * wide, 3), 250, np.uint8)
    for place, outcome in enumerate(outcomes):
        left = (place % columns) * wide + _GAP_PX
        top = (place // columns) * high + _GAP_PX
        for i, picture in enumerate((outcome.before_srgb8, outcome.after_srgb8)):
            x = left + i * (_CELL_PX[0] + _GAP_PX)
            if picture is None:
                cv2.rectangle(sheet, (x, top), (x + _CELL_PX[0], top + _CELL_PX[1]), (225, 225, 225), -1)
            else:
                sheet[top : top + picture.shape[0], x : x + picture.shape[1]] = picture
        ink = _GOOD_INK if outcome.good else _FAULT_INK
        lines = [outcome.path.name, *_wrapped(outcome.words, wide - 2 * _GAP_PX)]
        for i, line in enumerate(lines[:3]):
            place_px = (left, top + _CELL_PX[1] + 16 + 17 * i)
            cv2.putText(sheet, line, place_px, cv2.FONT_HERSHEY_SIMPLEX, 0.42, ink, 1, cv2.LINE_AA)
    return sheet


def _wrapped(words: str, wide_px: int) -> list[str]:
    most = int(wide_px / _LETTER_PX)
    # The drawn letters know no signs beyond ASCII.
    plain = words.replace("±", "+/-").replace("°", " deg").encode("ascii", "replace").decode()
    lines = [""]
    for word in plain.split():
        if len(lines[-1]) + len(word) + 1 > most:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines
