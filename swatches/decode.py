"""Any photograph or scan of cloth, decoded with care: the one place where picture files are opened.

Order of work: look at the bytes, let the decoder read the header, refuse what is too large, decode,
bring to 8 bits, colours to sRGB, transparency onto white, square pixels, upright. Nothing of the file
but its pixels goes on from here (no place, no camera, no thumbnail).
"""

from __future__ import annotations

import warnings
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from swatches.density import read_density
from swatches.depth import eight_bits_of_grey, eight_bits_of_rgb, has_deep_rgb, light_of_deep
from swatches.jpeg_marks import JpegMarks, is_jpeg
from swatches.opening import (
    COPY_AGAIN,
    HEAD_BYTES,
    MOST_PIXELS,
    SAVE_AGAIN,
    check_marks,
    open_file,
    open_picture,
)
from swatches.orientation import stored_orientation, turn_upright
from swatches.photo import Photo, PhotoError
from swatches.profiles import HighDynamicRange, to_srgb
from swatches.resampling import shrink
from swatches.transparency import lay_on_white

__all__ = ["MOST_PIXELS", "Photo", "PhotoError", "read_photo"]


def read_photo(path: str | Path) -> Photo:
    """The photograph in a file, told by its content and not by its name: upright, in sRGB.

    JPEG, PNG, TIFF, WebP, HEIC, AVIF, GIF, BMP and JPEG 2000; of several pictures in a file, the first.
    Raises: PhotoError for a file that is missing, no picture, damaged, cut short or too large.
    """
    path = Path(path)
    with open_file(path) as file:
        head = file.read(HEAD_BYTES)
        marks = check_marks(path, head + file.read()) if is_jpeg(head) else None
        file.seek(0)
        with _quiet(), open_picture(path, file, head) as image:
            return _photo(path, image, head, marks)


def _quiet() -> warnings.catch_warnings[None]:
    """Decoders warn about odd metadata and large pictures; both are dealt with here, not on a console."""
    return warnings.catch_warnings(action="ignore")


def _photo(path: Path, image: Image.Image, head: bytes, marks: JpegMarks | None) -> Photo:
    notes = ["Only the first of the pictures in the file is used."] if _has_more(image) else []
    try:
        image.load()
    except Exception as fault:  # decoders raise almost anything at broken files
        raise PhotoError(path, "is damaged or cut short", mend=COPY_AGAIN) from fault
    orientation, density = stored_orientation(image), read_density(image)
    deep = has_deep_rgb(image, head)
    if deep:
        image, note = eight_bits_of_rgb(path, image)
        notes.append(note)
    image, alpha = _plain_mode(path, image, notes=notes)
    try:
        coloured, colour_notes = to_srgb(image, head, ink_marked=marks is None or marks.adobe)
    except HighDynamicRange as fault:
        raise PhotoError(
            path, "is coded for high dynamic range displays", mend="Export it as an ordinary (SDR) JPEG."
        ) from fault
    pixels = np.asarray(coloured)
    # The decoded picture is four bytes a pixel that are not wanted any more.
    coloured.close()
    image.close()
    if alpha is not None:
        pixels = _solid(path, pixels, alpha, notes=notes)
    hint_ppi = density.across_ppi
    if density.uneven and density.across_ppi is not None and density.down_ppi is not None:
        hint_ppi = min(density.across_ppi, density.down_ppi)
        pixels = shrink(pixels, factor_x=hint_ppi / density.across_ppi, factor_y=hint_ppi / density.down_ppi)
        notes.append("Its pixels were not square; the finer direction was reduced to the coarser.")
    light16 = None
    # Only where the codes are sRGB as they stand; other spaces are converted in 8 bits.
    if deep and alpha is None and not colour_notes and not density.uneven:
        light16 = light_of_deep(path, pixels)
        if light16 is not None:
            light16 = np.array(turn_upright(light16, orientation), order="C", copy=True)
            light16.flags.writeable = False
    upright = np.array(turn_upright(pixels, orientation), order="C", copy=True)
    upright.flags.writeable = False
    return Photo(upright, (*notes, *colour_notes), hint_ppi, density.note, light16)


def _has_more(image: Image.Image) -> bool:
    """Whether an animation or a document has further pages; a phone's extra pictures do not count."""
    if image.format in ("MPO", "HEIF"):
        return False
    # Counting the frames of a GIF or TIFF would walk the whole file; whether there are more does not.
    return bool(getattr(image, "is_animated", False))


def _plain_mode(
    path: Path, image: Image.Image, *, notes: list[str]
) -> tuple[Image.Image, NDArray[np.uint8] | None]:
    """The picture in mode RGB, L, CMYK or LAB, and its transparency apart where it has any."""
    info, source = dict(image.info), image.format
    alpha: NDArray[np.uint8] | None = None
    if image.mode.startswith("I;16"):
        image, note = eight_bits_of_grey(image)
        notes.append(note)
    if image.mode in ("I", "F"):
        raise PhotoError(path, "holds measured numbers, not a picture", mend=SAVE_AGAIN)
    if image.mode in ("RGBa", "La"):
        image = image.convert(image.mode.upper())
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in info:
        clear = image.convert("RGBA")
        alpha = np.asarray(clear.getchannel("A"))
        image = image.getchannel("L") if image.mode == "LA" else clear.convert("RGB")
    elif image.mode == "1":
        image = image.convert("L")
        notes.append("The picture is only black and white.")
    elif image.mode not in ("RGB", "L", "CMYK", "LAB"):
        image = image.convert("RGB")
    if image.mode == "L":
        notes.append("The picture is grey: it says nothing of the cloth's colour.")
    image.info, image.format = info, source
    return image, alpha


def _solid(
    path: Path, pixels: NDArray[np.uint8], alpha: NDArray[np.uint8], *, notes: list[str]
) -> NDArray[np.uint8]:
    if not alpha.any():
        raise PhotoError(path, "is fully transparent", mend="Save it with a solid background.")
    share = 1 - float(alpha.mean()) / 255
    if share == 0:
        return pixels
    notes.append(f"{share:.1%} of the picture is transparent and was filled with white: crop to the cloth.")
    return lay_on_white(pixels, alpha)
