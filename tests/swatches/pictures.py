"""Where outside pictures lie, small pictures made here, and how two pictures are compared."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image, ImageCms

from palettes.difference import ciede2000
from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.decode import PhotoError, read_photo

SHARED = Path(__file__).resolve().parents[3] / "shared"


def shared(folder: str) -> Path:
    """A folder of outside pictures; the test is skipped where they are absent, as on a maker's machine."""
    path = SHARED / folder
    if not path.is_dir():
        pytest.skip(f"the outside pictures of ../shared/{folder} are not on this machine")
    return path


def difference(first_srgb8: NDArray[np.uint8], second_srgb8: NDArray[np.uint8]) -> NDArray[np.floating]:
    """CIEDE2000 of two pictures of one shape, pixel by pixel."""
    return ciede2000(lab_from_lin(srgb8_to_lin(first_srgb8)), lab_from_lin(srgb8_to_lin(second_srgb8)))


def speckled(rows: int = 60, columns: int = 90, *, seed: int = 7) -> NDArray[np.uint8]:
    """A picture in which no two places are alike."""
    return np.random.default_rng(seed).integers(0, 256, (rows, columns, 3), dtype=np.uint8)


def smooth(rows: int = 60, columns: int = 90) -> NDArray[np.uint8]:
    """A picture of soft slopes, different in every corner and channel."""
    y, x = np.mgrid[0:rows, 0:columns]
    red, green = 40 + 150 * x / columns, 30 + 160 * y / rows
    blue = 60 + 60 * x / columns + 60 * y / rows
    return np.stack([red, green, blue], axis=-1).astype(np.uint8)


def saved(path: Path, pixels: NDArray[np.uint8] | Image.Image, **how: object) -> Path:
    """The picture written to a file, whose ending says the format."""
    image = pixels if isinstance(pixels, Image.Image) else Image.fromarray(pixels)
    image.save(path, **how)  # type: ignore[arg-type]
    return path


def srgb_profile() -> bytes:
    """An ICC profile that is sRGB."""
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


def encoded(pixels: NDArray[np.uint8], kind: str, **how: object) -> bytes:
    """The picture as the bytes of a file."""
    coded = io.BytesIO()
    Image.fromarray(pixels).save(coded, kind, **how)  # type: ignore[arg-type]
    return coded.getvalue()


def refused(path: Path) -> PhotoError:
    """The fault of a file that no photograph can be read from: it names the file, and mends in one line."""
    with pytest.raises(PhotoError) as caught:
        read_photo(path)
    assert str(path) in str(caught.value)
    assert "\n" not in str(caught.value)
    assert caught.value.mend.endswith(".")
    assert "\n" not in caught.value.mend
    return caught.value


def refusal(path: Path) -> str:
    """What is said of such a file."""
    return str(refused(path))


def written(path: Path, coded: bytes) -> Path:
    """The file, with these bytes in it."""
    path.write_bytes(coded)
    return path
