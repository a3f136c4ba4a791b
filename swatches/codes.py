"""What a picture file stores, decoded: its codes in as many bits as it holds, and its transparency apart."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from os import SEEK_END
from pathlib import Path
from typing import Any, BinaryIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from swatches.depth import codes8_of, deep_codes, deep_heif, eight_bits, stored_bits, twelve_bits_widened
from swatches.opening import COPY_AGAIN, SAVE_AGAIN
from swatches.photo import PhotoError
from swatches.spaces import Codes
from swatches.tiff_layout import OtherPlanes, has_planes, reach, read_planes, tags_wanted

__all__ = ["Stored", "in_eight_bits", "read_stored"]

_ORIENTATION, _PHOTOMETRIC, _LIGHT_IS_ZERO = 274, 262, 0
_GREY = "The picture is grey: it says nothing of the cloth's colour."


@dataclass(frozen=True, slots=True, eq=False)
class Stored:
    """The codes of a file, not yet colours."""

    mode: str
    """RGB, L (grey), CMYK or LAB."""
    codes: Codes
    """(rows, columns, 3, 1, 4 or 3), upright only where the decoder has turned them."""
    alpha: Codes | None
    """(rows, columns), as deep as the codes, its most code being solid."""
    notes: tuple[str, ...]


def read_stored(path: Path, file: BinaryIO, image: Image.Image, head: bytes) -> Stored:
    """All codes of an opened picture.

    Raises: PhotoError for what is damaged, cut short or no picture.
    """
    try:
        # Before loading, which forgets how the picture had to be turned.
        bits, tags = stored_bits(image, head), tags_wanted(image)
        turn = int(tags.get(_ORIENTATION, 1))
        whole = image.format != "TIFF" or reach(tags) <= file.seek(0, SEEK_END)
        deep = _read_apart(file, image, bits=bits, tags=tags) if whole else None
        if whole and deep is None:
            image.load()
    except OtherPlanes as fault:
        raise PhotoError(
            path, "keeps its colours in planes of a kind not known here", mend=SAVE_AGAIN
        ) from fault
    except Exception as fault:  # decoders raise almost anything at broken files
        raise PhotoError(path, "is damaged or cut short", mend=COPY_AGAIN) from fault
    if not whole:
        raise PhotoError(path, "is cut short", mend=COPY_AGAIN)
    if deep is not None:
        return _deep(deep)
    if image.mode in ("I", "F"):
        raise PhotoError(path, "holds measured numbers, not a picture", mend=SAVE_AGAIN)
    key = image.info.get("transparency")
    if image.mode.startswith("I;16"):
        grey = np.asarray(image).astype(np.uint16)[..., None]
        # The decoder leaves this kind as it is stored: a negative.
        return _deep(65535 - grey if tags.get(_PHOTOMETRIC) == _LIGHT_IS_ZERO else grey, key=key)
    if bits <= 8 or image.mode not in ("RGB", "RGBA"):
        return _shallow(image, notes=())
    deep = deep_codes(file, image, bits=bits, turn=turn)
    if deep is None:
        return _shallow(image, notes=(f"Only the upper 8 of its {bits} bits a channel could be read.",))
    return _deep(deep, key=key)


def _read_apart(
    file: BinaryIO, image: Image.Image, *, bits: int, tags: Mapping[int, Any]
) -> NDArray[np.uint16] | None:
    """The codes of a picture that the picture library would not read right or whole; None for others."""
    if has_planes(tags):
        file.seek(0)
        return read_planes(file.read(), tags)
    return deep_heif(file, bits=bits) if image.format == "HEIF" and bits > 8 else None


def in_eight_bits(stored: Stored) -> Stored:
    """The same rounded to 8 bits, for a way to sRGB that knows no other."""
    alpha = None if stored.alpha is None else eight_bits(stored.alpha)
    return Stored(stored.mode, eight_bits(stored.codes), alpha, stored.notes)


def _deep(codes: NDArray[np.uint16], *, key: object = None) -> Stored:
    """What 16-bit codes of 1, 3 or 4 channels hold; `key` is a colour that stands for nothing."""
    alpha: NDArray[np.uint16] | None = None
    if codes.shape[2] == 4:
        codes, alpha = codes[..., :3], np.ascontiguousarray(codes[..., 3])
    elif key is not None:
        alpha = np.where((codes == key).all(axis=2), np.uint16(0), np.uint16(65535))
    codes, note = twelve_bits_widened(codes)
    grey = codes.shape[2] == 1
    notes = tuple(said for said in (note, _GREY if grey else "") if said)
    return Stored("L" if grey else "RGB", np.ascontiguousarray(codes), alpha, notes)


def _shallow(image: Image.Image, *, notes: tuple[str, ...]) -> Stored:
    """What a loaded picture of 8 bits holds."""
    alpha: NDArray[np.uint8] | None = None
    if image.mode in ("RGBa", "La"):
        image = image.convert(image.mode.upper())
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        clear = image.convert("RGBA")
        alpha = np.asarray(clear.getchannel("A"))
        image = image.getchannel("L") if image.mode == "LA" else clear.convert("RGB")
    elif image.mode == "1":
        image = image.convert("L")
        notes = (*notes, "The picture is only black and white.")
    elif image.mode not in ("RGB", "L", "CMYK", "LAB"):
        image = image.convert("RGB")
    if image.mode == "L":
        notes = (*notes, _GREY)
    return Stored(image.mode, codes8_of(image), alpha, notes)
