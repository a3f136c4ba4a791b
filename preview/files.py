"""Writes pictures that keep their colours and their true size: sRGB profile and pixels per inch inside."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from functools import cache
from io import BytesIO
from math import isfinite
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

__all__ = ["OutputError", "save_png", "srgb_profile"]

_MOST_PIXELS = 400_000_000
_MOST_PPI = 10_000.0
_LONGEST_SIDE_PX = 100_000

_PROFILE_DATE = slice(24, 36)


class OutputError(ValueError):
    """A picture that could not be written. Names the file and carries how to mend it."""

    def __init__(self, path: Path, why: str, *, mend: str) -> None:
        self.path = path
        self.mend = mend
        super().__init__(f"{path}: {why}.")


def save_png(path: Path | str, picture_srgb8: NDArray[np.uint8], *, ppi: float) -> Path:
    """The path of the PNG now written, with an sRGB profile and its resolution.

    PNG counts whole pixels per metre, so 80 ppi is written as 3150 (80.01 ppi). The file appears
    whole or not at all: it is written beside its place and then moved there.
    Raises: OutputError if the folder is missing or closed, the name is no PNG, or the size is absurd.
    """
    path = Path(path)
    _check_size(path, picture_srgb8, ppi=ppi)
    if path.suffix.lower() != ".png":
        raise OutputError(path, "is not named as a PNG picture", mend='End the file name in ".png".')
    body = BytesIO()
    Image.fromarray(picture_srgb8).save(body, "PNG", dpi=(ppi, ppi), icc_profile=srgb_profile())
    _write_whole(path, body.getvalue())
    return path


@cache
def srgb_profile() -> bytes:
    """An ICC profile for sRGB (IEC 61966-2-1), the same bytes every time."""
    made = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    # The library stamps the hour of making; a picture should not differ for that.
    made[_PROFILE_DATE] = b"".join(n.to_bytes(2, "big") for n in (2000, 1, 1, 0, 0, 0))
    return bytes(made)


def _check_size(path: Path, picture_srgb8: NDArray[np.uint8], *, ppi: float) -> None:
    if picture_srgb8.dtype != np.uint8 or picture_srgb8.ndim != 3 or picture_srgb8.shape[2] != 3:
        raise TypeError(f"a picture is (rows, columns, 3) of uint8, got {picture_srgb8.shape}")
    height, width = picture_srgb8.shape[:2]
    if not height or not width:
        raise OutputError(path, "the picture has no pixels", mend="Ask for a larger picture.")
    if max(height, width) > _LONGEST_SIDE_PX or height * width > _MOST_PIXELS:
        raise OutputError(
            path, f"a picture of {width} x {height} pixels is absurd", mend="Ask for fewer pixels per inch."
        )
    if not isfinite(ppi) or not 0 < ppi <= _MOST_PPI:
        raise OutputError(
            path,
            f"{ppi:g} pixels per inch is no resolution",
            mend=f"Give pixels per inch above 0 and up to {_MOST_PPI:g}.",
        )


def _write_whole(path: Path, body: bytes) -> None:
    beside = path.with_name(f".{path.name[:100]}.{secrets.token_hex(4)}.part")
    try:
        with beside.open("xb") as file:
            file.write(body)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except FileNotFoundError as fault:
        raise OutputError(path, "its folder does not exist", mend="Make the folder first.") from fault
    except IsADirectoryError as fault:
        raise OutputError(path, "is a folder", mend="Give the name of a file.") from fault
    except PermissionError as fault:
        raise OutputError(
            path, "may not be written here", mend="Choose a folder that you may write to."
        ) from fault
    except OSError as fault:
        raise OutputError(
            path,
            f"could not be written ({fault.strerror or fault})",
            mend="Choose another folder, or make room on the disk.",
        ) from fault
    finally:
        with suppress(OSError):
            beside.unlink()
