"""Any photograph or scan of cloth, decoded with care: the one place where picture files are opened.

Order of work: look at the bytes, let the decoder read the header, refuse what is too large, decode in all
bits, find out what the codes mean, bring them to sRGB on white, square the pixels, turn upright. Nothing of
the file but its pixels goes on from here (no place, no camera, no thumbnail).
"""

from __future__ import annotations

import warnings
from dataclasses import replace
from logging import NullHandler, getLogger
from pathlib import Path
from typing import BinaryIO, TypeVar

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from swatches.codes import Stored, in_eight_bits, read_stored
from swatches.colour_engine import run_engine
from swatches.density import Density, read_density
from swatches.developing import Developed, develop
from swatches.inks import inks_right_way_up
from swatches.jpeg_marks import JpegMarks, is_jpeg
from swatches.jpeg_whole import is_whole_jpeg
from swatches.opening import COPY_AGAIN, HEAD_BYTES, MOST_PIXELS, check_marks, open_file, open_picture
from swatches.orientation import stored_orientation, turn_upright
from swatches.photo import Photo, PhotoError
from swatches.png_whole import is_whole_png
from swatches.profiles import Colours, HighDynamicRange, read_colours
from swatches.resampling import resample_light, shrink

__all__ = ["MOST_PIXELS", "Photo", "PhotoError", "read_photo"]

_LEAST_OUTSIDE = 0.002
# The picture library reports odd files to its log, which writes to the console where nobody listens.
getLogger("PIL").addHandler(NullHandler())

Code = TypeVar("Code", np.uint8, np.uint16)


def read_photo(path: str | Path) -> Photo:
    """The photograph in a file, told by its content and not by its name: upright, in sRGB.

    JPEG, PNG, TIFF, WebP, HEIC, AVIF, GIF, BMP and JPEG 2000; of several pictures in a file, the main one
    or the first.
    Raises: PhotoError for a file that is missing, no picture, damaged, cut short or too large.
    """
    path = Path(path)
    with open_file(path) as file:
        head = file.read(HEAD_BYTES)
        marks = check_marks(path, head + file.read()) if is_jpeg(head) else None
        file.seek(0)
        with _quiet(), open_picture(path, file, head) as image:
            return _photo(path, file, image, head, marks)


def _quiet() -> warnings.catch_warnings[None]:
    """Decoders warn about odd metadata and large pictures; both are dealt with here, not on a console."""
    return warnings.catch_warnings(action="ignore")


def _photo(path: Path, file: BinaryIO, image: Image.Image, head: bytes, marks: JpegMarks | None) -> Photo:
    notes = ["Only the first of the pictures in the file is used."] if _has_more(image) else []
    stored = read_stored(path, file, image, head)
    if not _is_whole(file, image, marks, stored):
        raise PhotoError(path, "is damaged or cut short", mend=COPY_AGAIN)
    notes += stored.notes
    turn, density = stored_orientation(image), read_density(image)
    try:
        colours = read_colours(image, head, mode=stored.mode)
    except HighDynamicRange as fault:
        raise PhotoError(
            path, "is coded for high dynamic range displays", mend="Export it as an ordinary (SDR) JPEG."
        ) from fault
    # What the decoder holds is as large as the picture, and not wanted any more.
    image.close()
    stored = _without_engine(stored, colours, marks, notes=notes)
    made = develop(stored.codes, space=colours.space, alpha=_cover(path, stored, notes=notes))
    notes += colours.notes
    if made.outside > _LEAST_OUTSIDE:
        notes.append(
            f"{made.outside:.1%} of it is more vivid than sRGB can hold: brought to its edge, with its "
            "lightness and hue all but kept."
        )
    if density.uneven:
        made, density = _squared(made, density)
        notes.append("Its pixels were not square; the finer direction was reduced to the coarser.")
    light16 = None if made.light16 is None else _upright(made.light16, turn)
    return Photo(_upright(made.srgb8, turn), tuple(notes), density.across_ppi, density.note, light16)


def _is_whole(file: BinaryIO, image: Image.Image, marks: JpegMarks | None, stored: Stored) -> bool:
    """Whether the file held all of the picture, which the decoders of two formats do not tell."""
    file.seek(0)
    if marks is not None:
        return is_whole_jpeg(file.read(), marks, np.asarray(stored.codes, dtype=np.uint8))
    return image.format != "PNG" or is_whole_png(file.read(), stored.codes)


def _has_more(image: Image.Image) -> bool:
    """Whether an animation or a document has further pages; a phone's extra pictures do not count."""
    if image.format in ("MPO", "HEIF"):
        return False
    # Counting the frames of a GIF or TIFF would walk the whole file; whether there are more does not.
    return bool(getattr(image, "is_animated", False))


def _without_engine(stored: Stored, colours: Colours, marks: JpegMarks | None, *, notes: list[str]) -> Stored:
    """The codes as a space can tell their light: those that only the colour engine understands in sRGB."""
    if colours.engine is None:
        return stored
    if stored.codes.dtype != np.uint8:
        stored = in_eight_bits(stored)
        notes.append("Its colour profile could be followed in 8 bits alone.")
    codes = np.asarray(stored.codes, dtype=np.uint8)
    if stored.mode == "CMYK" and marks is not None:
        codes, note = inks_right_way_up(codes, ink_marked=marks.adobe)
        notes += [note] if note else []
    return replace(stored, codes=run_engine(colours.engine, codes, mode=stored.mode))


def _cover(path: Path, stored: Stored, *, notes: list[str]) -> NDArray[np.uint8] | NDArray[np.uint16] | None:
    """How solid the picture is, where it is not solid everywhere."""
    if stored.alpha is None:
        return None
    if not stored.alpha.any():
        raise PhotoError(path, "is fully transparent", mend="Save it with a solid background.")
    share = 1 - float(stored.alpha.mean()) / np.iinfo(stored.alpha.dtype).max
    if share == 0:
        return None
    notes.append(f"{share:.1%} of the picture is transparent and was filled with white: crop to the cloth.")
    return stored.alpha


def _squared(made: Developed, density: Density) -> tuple[Developed, Density]:
    """The picture with as many pixels an inch both ways, which is the fewer of the two."""
    across, down = density.across_ppi, density.down_ppi
    assert across is not None
    assert down is not None
    ppi = min(across, down)
    srgb8, light16 = shrink(made.srgb8, factor_x=ppi / across, factor_y=ppi / down), made.light16
    if light16 is not None:
        high, wide = srgb8.shape[:2]
        to_stored = np.diag([across / ppi, down / ppi, 1.0])
        light16 = resample_light(light16, to_stored, width_px=wide, height_px=high)
    return Developed(srgb8, light16, made.outside), Density(ppi, ppi, density.note)


def _upright(pixels: NDArray[Code], turn: int) -> NDArray[Code]:
    upright = np.ascontiguousarray(turn_upright(pixels, turn))
    upright.flags.writeable = False
    return upright
