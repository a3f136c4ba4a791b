"""Photographs that lie on the page waiting to become swatches: each by a token, the oldest going first."""

from __future__ import annotations

import secrets
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.decode import read_photo
from ui.mistakes import Mistake

__all__ = ["LaidPhoto", "PhotoTray"]

_MOST_LAID = 4
_LONGEST_SHOWN_PX = 2400
"""Fine enough to place a marker to the pixel of most photographs; the swatch comes from the file itself."""


@dataclass(frozen=True, slots=True, eq=False)
class LaidPhoto:
    """A photograph on the tray."""

    token: str
    file: Path
    width_px: int
    height_px: int
    jpeg: bytes
    """A picture of it to place markers on, upright; not for judging colour."""


class PhotoTray:
    """The last few photographs that were uploaded. The files stay where the upload put them."""

    def __init__(self) -> None:
        self._laid: OrderedDict[str, LaidPhoto] = OrderedDict()
        self._lock = Lock()

    def lay(self, file: Path) -> LaidPhoto:
        """The photograph, opened and laid on the tray.

        Raises: PhotoError for a file that is no usable photograph.
        """
        photo = read_photo(file)
        height_px, width_px = photo.srgb8.shape[:2]
        laid = LaidPhoto(secrets.token_urlsafe(12), file, width_px, height_px, _jpeg(photo.srgb8))
        with self._lock:
            self._laid[laid.token] = laid
            while len(self._laid) > _MOST_LAID:
                self._laid.popitem(last=False)
        return laid

    def find(self, token: str) -> LaidPhoto:
        """The photograph of that token.

        Raises: Mistake if it has gone from the tray.
        """
        with self._lock:
            laid = self._laid.get(token)
        if laid is None:
            raise Mistake("The photograph is no longer at hand.", mend="Choose the photograph again.")
        return laid


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
