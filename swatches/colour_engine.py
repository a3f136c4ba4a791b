"""Codes of 8 bits brought to sRGB by the picture library's colour engine: inks, Lab, profiles of tables."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageCms

from swatches.depth import bands

__all__ = ["Engine", "engine_of_inks", "engine_of_lab", "engine_of_profile", "run_engine"]

Engine = Callable[[Image.Image], Image.Image]
"""From a picture of some mode to the same in sRGB, mode RGB."""


def engine_of_profile(profile: ImageCms.ImageCmsProfile, *, mode: str) -> Engine:
    """The way through a profile, relative colorimetric: paper white stays white.

    Raises: what the profile parser raises at broken profiles: OSError, PyCMSError, TypeError and more.
    """
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    way = ImageCms.buildTransform(
        profile, srgb, mode, "RGB", renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC
    )

    def convert(image: Image.Image) -> Image.Image:
        converted = ImageCms.applyTransform(image, way)
        if converted is None:
            raise ImageCms.PyCMSError("no picture came back")
        return converted

    return convert


def engine_of_lab() -> Engine:
    """The way from CIELAB."""
    return engine_of_profile(ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")), mode="LAB")


def engine_of_inks() -> Engine:
    """A guess at printing inks of which no profile tells."""
    return lambda image: image.convert("RGB")


def run_engine(engine: Engine, codes8: NDArray[np.uint8], *, mode: str) -> NDArray[np.uint8]:
    """The sRGB codes (rows, columns, 3) of codes (rows, columns, channels) of a mode."""
    rows, columns = codes8.shape[:2]
    srgb8 = np.empty((rows, columns, 3), np.uint8)
    for band in bands(rows):
        part = Image.frombytes(mode, (columns, band.stop - band.start), codes8[band].tobytes())
        srgb8[band] = np.asarray(engine(part))
    return srgb8
