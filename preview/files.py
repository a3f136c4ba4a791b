"""Writes pictures that keep their colours and their true size: sRGB profile and pixels per inch inside."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from io import BytesIO
from math import isfinite
from pathlib import Path
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms
from PIL.TiffImagePlugin import IFDRational

from preview.writing import OutputError, write_whole

__all__ = [
    "SUFFIXES",
    "OutputError",
    "check_picture",
    "check_ppi",
    "jpeg_bytes",
    "save_picture",
    "save_png",
    "srgb_profile",
]

SUFFIXES = MappingProxyType(
    {".png": "PNG", ".jpg": "JPEG", ".jpeg": "JPEG", ".webp": "WEBP", ".tif": "TIFF", ".tiff": "TIFF"}
)
"""The format that each ending of a file name stands for."""

_MOST_PIXELS = 400_000_000
_MOST_PPI = 10_000.0
_LONGEST_SIDE_PX = 100_000
_LONGEST_PX = {"JPEG": 65_535, "WEBP": 16_383}
"""What the formats themselves can hold."""

_QUALITY = 92
_PROFILE_DATE = slice(24, 36)


def save_picture(
    path: Path | str,
    picture_srgb8: NDArray[np.uint8],
    *,
    ppi: float,
    quality: int = _QUALITY,
    lossless: bool = False,
) -> Path:
    """The path of the picture now written, in the format of its name: PNG, JPEG, WebP or TIFF.

    All carry an sRGB profile and their resolution. PNG counts whole pixels per metre, so 80 ppi is written as
    3150 (80.01 ppi); JPEG and WebP give it exactly in Exif, JPEG also in whole pixels per inch. JPEG keeps
    full colour resolution. `quality` is for JPEG and WebP (at least 92), `lossless` for WebP. The file
    appears whole or not at all.
    Raises: OutputError if the folder is missing or closed, the name fits no format, or the size is absurd.
    """
    path = Path(path)
    kind = SUFFIXES.get(path.suffix.lower())
    if kind is None:
        raise OutputError(
            path, "is not named as a picture", mend=f"End the file name in one of {', '.join(SUFFIXES)}."
        )
    check_picture(path, picture_srgb8, ppi=ppi, kind=kind)
    if not _QUALITY <= quality <= 100:
        raise OutputError(
            path, f"quality {quality} is outside {_QUALITY} to 100", mend=f"Give {_QUALITY} to 100."
        )
    body = BytesIO()
    Image.fromarray(picture_srgb8).save(
        body, kind, **_options(kind, ppi=ppi, quality=quality, lossless=lossless)
    )
    write_whole(path, body.getvalue())
    return path


def save_png(path: Path | str, picture_srgb8: NDArray[np.uint8], *, ppi: float) -> Path:
    """The path of the PNG now written. Raises: OutputError, as save_picture does."""
    path = Path(path)
    if path.suffix.lower() != ".png":
        raise OutputError(path, "is not named as a PNG picture", mend='End the file name in ".png".')
    return save_picture(path, picture_srgb8, ppi=ppi)


def jpeg_bytes(picture_srgb8: NDArray[np.uint8], *, ppi: float, quality: int = _QUALITY) -> bytes:
    """A JPEG at full colour resolution, with profile and resolution, for putting into another file."""
    body = BytesIO()
    options = _options("JPEG", ppi=ppi, quality=quality, lossless=False)
    Image.fromarray(picture_srgb8).save(body, "JPEG", **options)
    return body.getvalue()


def _options(kind: str, *, ppi: float, quality: int, lossless: bool) -> dict[str, Any]:
    options: dict[str, Any] = {"icc_profile": srgb_profile()}
    exact = IFDRational(*Fraction(ppi).limit_denominator(10_000).as_integer_ratio())
    if kind in ("JPEG", "WEBP"):
        exif = Image.Exif()
        # Exif 2.3: XResolution, YResolution, and ResolutionUnit 2 for inches.
        exif[282], exif[283], exif[296] = exact, exact, 2
        options["exif"] = exif
    if kind == "PNG":
        options["dpi"] = (ppi, ppi)
    elif kind == "JPEG":
        options |= {"dpi": (round(ppi) or 1,) * 2, "quality": quality, "subsampling": "4:4:4"}
    elif kind == "WEBP":
        options |= {"quality": quality, "lossless": lossless, "method": 4, "exact": True}
    else:
        options |= {
            "compression": "tiff_adobe_deflate",
            "x_resolution": exact,
            "y_resolution": exact,
            "resolution_unit": 2,
        }
    return options


@cache
def srgb_profile() -> bytes:
    """An ICC profile for sRGB (IEC 61966-2-1), the same bytes every time."""
    made = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    # The library stamps the hour of making; a picture should not differ for that.
    made[_PROFILE_DATE] = b"".join(n.to_bytes(2, "big") for n in (2000, 1, 1, 0, 0, 0))
    return bytes(made)


def check_picture(path: Path, picture_srgb8: NDArray[np.uint8], *, ppi: float, kind: str = "PNG") -> None:
    """Nothing, if this is a picture that can be written. Raises: OutputError, or TypeError for no picture."""
    if picture_srgb8.dtype != np.uint8 or picture_srgb8.ndim != 3 or picture_srgb8.shape[2] != 3:
        raise TypeError(f"a picture is (rows, columns, 3) of uint8, got {picture_srgb8.shape}")
    height, width = picture_srgb8.shape[:2]
    if not height or not width:
        raise OutputError(path, "the picture has no pixels", mend="Ask for a larger picture.")
    if max(height, width) > _LONGEST_SIDE_PX or height * width > _MOST_PIXELS:
        raise OutputError(
            path, f"a picture of {width} x {height} pixels is absurd", mend="Ask for fewer pixels per inch."
        )
    if max(height, width) > _LONGEST_PX.get(kind, _LONGEST_SIDE_PX):
        raise OutputError(
            path,
            f"{width} x {height} pixels are more than this format holds",
            mend="Write a PNG or a TIFF.",
        )
    check_ppi(path, ppi)


def check_ppi(path: Path, ppi: float) -> None:
    """Nothing, if this is a resolution. Raises: OutputError."""
    if not isfinite(ppi) or not 0 < ppi <= _MOST_PPI:
        raise OutputError(
            path,
            f"{ppi:g} pixels per inch is no resolution",
            mend=f"Give pixels per inch above 0 and up to {_MOST_PPI:g}.",
        )
