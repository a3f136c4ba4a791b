"""Ids of cloth that come from what the cloth is, so that the same photograph gives the same id anywhere."""

from __future__ import annotations

import hashlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

__all__ = ["content_key", "photo_key", "pixels_digest"]

_KEY_LENGTH = 16


def content_key(tile_srgb8: NDArray[np.uint8], *, ppi: float, name: str) -> str:
    """The first 16 hexadecimal digits of a hash over pixels, scale and name."""
    digest = hashlib.sha256(pixels_digest(tile_srgb8).encode())
    digest.update(f"|{ppi!r}|{name}".encode())
    return digest.hexdigest()[:_KEY_LENGTH]


def pixels_digest(tile_srgb8: NDArray[np.uint8]) -> str:
    """The hash of a picture's size and bytes."""
    rows, columns = tile_srgb8.shape[:2]
    digest = hashlib.sha256(f"{rows}x{columns}|".encode())
    digest.update(np.ascontiguousarray(tile_srgb8).data)
    return digest.hexdigest()


def photo_key(path: str | Path) -> str:
    """The first 16 hexadecimal digits of a hash over a file's bytes: one for every cloth taken from it."""
    with Path(path).open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()[:_KEY_LENGTH]
