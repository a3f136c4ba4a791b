"""Colours as the file means them, turned into sRGB: ICC profiles first, then whatever else it says."""

from __future__ import annotations

import io
import struct
from collections.abc import Mapping
from typing import Any

import numpy as np
from PIL import Image, ImageChops, ImageCms

from swatches.spaces import ADOBE_LIKE, SRGB, Space, space_from_code_points, space_from_gamma, space_to_srgb8

__all__ = ["HighDynamicRange", "to_srgb"]

_COLOUR_SPACE_OF_MODE = {"RGB": "RGB", "L": "GRAY", "CMYK": "CMYK", "LAB": "Lab"}
_RELATIVE = ImageCms.Intent.RELATIVE_COLORIMETRIC
_MOST_INK = 360 * 255 / 100
"""No press lays more than about 3.4 of its four inks on one spot, so more than 3.6 means a negative."""
_ODD_SPOTS = 0.002
_PQ, _HLG = 16, 18
_SAMPLED = 250_000
_LOST_CODES = 5
"""Rounding to 8 bits twice costs up to three codes, in dark colours of wide spaces."""
_LEAST_OUTSIDE = 0.002


class HighDynamicRange(ValueError):
    """The picture codes more light than a display's white; it cannot be placed without a choice."""


def to_srgb(image: Image.Image, head: bytes, *, ink_marked: bool = True) -> tuple[Image.Image, list[str]]:
    """A loaded picture of mode RGB, L, CMYK or LAB in sRGB (mode RGB), and what had to be done.

    `head` is the first part of the file, for what the decoder keeps to itself. `ink_marked` says that a
    four-component JPEG carries the marker of writers who store ink upside down (the decoder always
    assumes so). Relative colorimetric throughout: paper white stays white.
    Raises: HighDynamicRange for a picture coded for high dynamic range displays.
    """
    notes: list[str] = []
    if image.mode == "CMYK" and image.format in ("JPEG", "MPO"):
        image = _ink_right_way_up(image, ink_marked=ink_marked, notes=notes)
    points = _code_points(image, head)
    if points is not None and points[1] in (_PQ, _HLG):
        raise HighDynamicRange
    icc = image.info.get("icc_profile")
    png_points = points is not None and image.format == "PNG"
    if icc and not png_points:
        converted = _by_profile(image, icc, notes=notes)
        if converted is not None:
            return converted, notes
    space = _named_space(image, points)
    if space is not None and image.mode in ("RGB", "L") and space != SRGB:
        notes.append(f"Colours converted to sRGB from the colour space the file names ({space.name}).")
        return Image.fromarray(space_to_srgb8(np.asarray(image.convert("RGB")), space)), notes
    return _without_profile(image, notes=notes), notes


def _without_profile(image: Image.Image, *, notes: list[str]) -> Image.Image:
    if image.mode == "LAB":
        return _convert(image, ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")))
    if image.mode == "CMYK":
        notes.append("The file states its colours as printing inks without a profile: they are approximate.")
    return image.convert("RGB")


def _by_profile(image: Image.Image, icc: bytes, *, notes: list[str]) -> Image.Image | None:
    """The converted picture, or None (with a note) when the profile cannot be used."""
    try:
        profile = ImageCms.ImageCmsProfile(io.BytesIO(icc))
        space = str(profile.profile.xcolor_space).strip()
        if space != _COLOUR_SPACE_OF_MODE[image.mode]:
            notes.append(f"The file's colour profile is for {space} colours and was ignored.")
            return None
        changes = _changes_colours(image.mode, profile)
        if changes is None:
            notes.append("The file's colour profile does not keep white and black apart and was ignored.")
            return None
        if not changes:
            return image if image.mode == "RGB" else image.convert("RGB")
        outside = _share_outside(image, profile)
        converted = _convert(image, profile)
    except Exception:  # the profile parser raises OSError, PyCMSError, TypeError and more at broken profiles
        notes.append("The file's colour profile is damaged and was ignored.")
        return None
    notes.append("Colours converted to sRGB through the file's own colour profile.")
    if outside > _LEAST_OUTSIDE:
        notes.append(f"{outside:.1%} of it is more vivid than sRGB can hold, and was brought to its edge.")
    return converted


def _convert(image: Image.Image, profile: ImageCms.ImageCmsProfile) -> Image.Image:
    transform = ImageCms.buildTransform(
        profile, _srgb_profile(), image.mode, "RGB", renderingIntent=_RELATIVE
    )
    if image.mode == "RGB":
        ImageCms.applyTransform(image, transform, inPlace=True)
        return image
    converted = ImageCms.applyTransform(image, transform)
    if converted is None:
        raise ImageCms.PyCMSError("no picture came back")
    return converted


def _share_outside(image: Image.Image, profile: ImageCms.ImageCmsProfile) -> float:
    """Share of an RGB picture whose colours sRGB cannot hold: they do not survive the way there and back."""
    if image.mode != "RGB":
        return 0.0
    factor = max(1, round((image.width * image.height / _SAMPLED) ** 0.5))
    small = image.resize(
        (max(1, image.width // factor), max(1, image.height // factor)), Image.Resampling.NEAREST
    )
    there = ImageCms.buildTransform(profile, _srgb_profile(), "RGB", "RGB", renderingIntent=_RELATIVE)
    back = ImageCms.buildTransform(_srgb_profile(), profile, "RGB", "RGB", renderingIntent=_RELATIVE)
    seen = ImageCms.applyTransform(small, there)
    returned = ImageCms.applyTransform(seen, back) if seen is not None else None
    if returned is None:
        return 0.0
    lost = np.abs(np.asarray(returned).astype(int) - np.asarray(small).astype(int)).max(axis=2)
    return float((lost > _LOST_CODES).mean())


def _srgb_profile() -> ImageCms.ImageCmsProfile:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))


def _changes_colours(mode: str, profile: ImageCms.ImageCmsProfile) -> bool | None:
    """Whether a profile moves any colour by more than one code; None if what it does makes no sense.

    A profile that is sRGB under another name is not applied, so that the bytes stay as they were.
    """
    if mode not in ("RGB", "L"):
        return True
    steps = np.linspace(0, 255, 16).round().astype(np.uint8)
    if mode == "L":
        probe = steps[None]
        as_rgb = np.repeat(probe[..., None], 3, axis=2)
    else:
        as_rgb = np.stack(np.meshgrid(steps, steps, steps, indexing="ij"), axis=-1).reshape(64, 64, 3)
        probe = as_rgb
    seen = np.asarray(_convert(Image.fromarray(probe.copy()), profile)).astype(int)
    if seen[-1, -1].min() < 200 or seen[-1, -1].min() - seen[0, 0].max() < 100:
        return None
    return bool(np.abs(seen - as_rgb).max() > 1)


def _ink_right_way_up(image: Image.Image, *, ink_marked: bool, notes: list[str]) -> Image.Image:
    """Four-component JPEGs come inverted from the decoder; undo that where the file did not ask for it.

    The marker is no proof, so the amount of ink has the last word.
    """
    turned = ImageChops.invert(image)
    wanted, other = (image, turned) if ink_marked else (turned, image)
    if _too_much_ink(wanted) <= _ODD_SPOTS or _too_much_ink(other) > _ODD_SPOTS:
        return wanted
    notes.append("The file stores its inks the other way round than it says; the negative was undone.")
    return other


def _too_much_ink(image: Image.Image) -> float:
    """Share of the picture that bears more ink than a press can lay."""
    return float((np.asarray(image).sum(axis=2, dtype=np.uint16) > _MOST_INK).mean())


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
