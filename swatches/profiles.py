"""What the codes of a file mean as colours: its ICC profile first, then whatever else it says."""

from __future__ import annotations

import io
import struct
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from palettes.encodings import lin_to_srgb8
from swatches.colour_engine import Engine, engine_of_inks, engine_of_lab, engine_of_profile, run_engine
from swatches.icc_spaces import space_from_icc
from swatches.spaces import (
    ADOBE_LIKE,
    SRGB_SPACE,
    Space,
    light_by_space,
    space_from_code_points,
    space_from_gamma,
)

__all__ = ["Colours", "HighDynamicRange", "read_colours"]

_Way = Callable[[NDArray[np.uint8]], NDArray[np.uint8]]

_COLOUR_SPACE_OF_MODE = {"RGB": "RGB", "L": "GRAY", "CMYK": "CMYK", "LAB": "Lab"}
_PQ, _HLG = 16, 18
_BY_PROFILE = "Colours converted to sRGB through the file's own colour profile."


class HighDynamicRange(ValueError):
    """The picture codes more light than a display's white; it cannot be placed without a choice."""


@dataclass(frozen=True, slots=True, eq=False)
class Colours:
    """What turns codes into light, and what is to be said of it."""

    space: Space = SRGB_SPACE
    engine: Engine | None = None
    """Where there is one, it comes first, in 8 bits, and what it makes is sRGB."""
    notes: tuple[str, ...] = ()


def read_colours(image: Image.Image, head: bytes, *, mode: str) -> Colours:
    """What the codes of a picture mean, whose mode is RGB, L, CMYK or LAB.

    `head` is the first part of the file, for what the decoder keeps to itself.
    Raises: HighDynamicRange for a picture coded for high dynamic range displays.
    """
    points = _code_points(image, head)
    if points is not None and points[1] in (_PQ, _HLG):
        raise HighDynamicRange
    icc = image.info.get("icc_profile")
    ignored: tuple[str, ...] = ()
    if icc and not (points is not None and image.format == "PNG"):
        found = _from_profile(icc, mode=mode)
        if isinstance(found, Colours):
            return found
        ignored = (f"The file's colour profile {found} and was ignored.",)
    if mode == "LAB":
        return Colours(engine=engine_of_lab(), notes=ignored)
    if mode == "CMYK":
        guessed = "The file states its colours as printing inks without a profile: they are approximate."
        return Colours(engine=engine_of_inks(), notes=(*ignored, guessed))
    space = _named_space(image, points)
    if space is None or _effect(_space_way(space), mode=mode) == "none":
        return Colours(notes=ignored)
    named = f"Colours converted to sRGB from the colour space the file names ({space.name})."
    return Colours(space, notes=(*ignored, named))


def _from_profile(icc: bytes, *, mode: str) -> Colours | str:
    """What a profile says, or why it cannot be used."""
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(icc))
        meant = str(profile.profile.xcolor_space).strip()
        if meant != _COLOUR_SPACE_OF_MODE[mode]:
            return f"is for {meant} colours"
        space = space_from_icc(icc)
        engine = engine_of_profile(profile, mode=mode) if space is None else None
        way = _engine_way(engine, mode=mode) if engine is not None else _space_way(space or SRGB_SPACE)
        effect = "some" if mode in ("CMYK", "LAB") else _effect(way, mode=mode)
    except Exception:  # the profile parser raises OSError, PyCMSError, TypeError and more at broken profiles
        return "is damaged"
    if effect == "nonsense":
        return "does not keep white and black apart"
    if effect == "none":
        return Colours()
    return Colours(space or SRGB_SPACE, engine, (_BY_PROFILE,))


def _space_way(space: Space) -> _Way:
    light_of = light_by_space(space, most_code=255)
    return lambda codes8: lin_to_srgb8(light_of(codes8))


def _engine_way(engine: Engine, *, mode: str) -> _Way:
    return lambda codes8: run_engine(engine, codes8, mode=mode)


def _effect(way: _Way, *, mode: str) -> Literal["some", "none", "nonsense"]:
    """Whether a way to sRGB moves any colour by more than one code, and whether what it does makes sense.

    One that is sRGB under another name is not gone, so that the bytes stay as they were.
    """
    steps = np.linspace(0, 255, 16).round().astype(np.uint8)
    if mode == "L":
        probe = steps[None, :, None]
    else:
        probe = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(64, 64, 3)
    seen = way(probe).astype(int)
    black, white = seen[0, 0].max(), seen[-1, -1].min()
    if white < 200 or white - black < 100:
        return "nonsense"
    return "some" if np.abs(seen - probe).max() > 1 else "none"


def _code_points(image: Image.Image, head: bytes) -> tuple[int, int] | None:
    """Primaries and transfer that a PNG, AVIF or HEIC states beside any ICC profile."""
    if image.format == "PNG":
        return _png_code_points(head)
    if image.format == "HEIF":
        stated = image.info.get("nclx_profile")
        if isinstance(stated, Mapping):
            return int(stated["color_primaries"]), int(stated["transfer_characteristics"])
        return None
    place = head.find(b"colrnclx") if image.format == "AVIF" else -1
    if place < 0 or len(head) < place + 12:
        return None
    primaries, transfer = struct.unpack_from(">HH", head, place + 8)
    return int(primaries), int(transfer)


def _png_code_points(head: bytes) -> tuple[int, int] | None:
    place = 8
    while place + 12 <= len(head):
        length, kind = struct.unpack_from(">I4s", head, place)
        if kind == b"cICP" and length == 4:
            return head[place + 8], head[place + 9]
        if kind == b"IDAT":
            return None
        place += 12 + length
    return None


def _named_space(image: Image.Image, points: tuple[int, int] | None) -> Space | None:
    """The colour space a file names without a profile; None when it names none that is known."""
    if points is not None:
        return space_from_code_points(*points)
    if image.format == "PNG" and "srgb" not in image.info:
        gamma, chromaticity = image.info.get("gamma"), image.info.get("chromaticity")
        if gamma is not None or chromaticity is not None:
            return space_from_gamma(gamma, chromaticity)
    return ADOBE_LIKE if _camera_says_wide(image) else None


def _camera_says_wide(image: Image.Image) -> bool:
    """Whether a camera marked the picture as its wide colour space without a profile.

    Source: CIPA DC-008 (EXIF 2.32), tag 40961, with DCF 2.0: interoperability index "R03".
    """
    try:
        exif = image.getexif()
        detail: Mapping[int, Any] = exif.get_ifd(0x8769)
        index = str(exif.get_ifd(0xA005).get(1, ""))
    except Exception:  # metadata readers raise almost anything at broken files; the picture is still good
        return False
    return detail.get(0xA001) == 65535 and index.strip("\x00 ") == "R03"
