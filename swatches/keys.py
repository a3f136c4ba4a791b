"""Ids of cloth that come from what the cloth is, so that the same photograph gives the same id anywhere."""

from __future__ import annotations

import hashlib

import numpy as np
from numpy.typing import NDArray

__all__ = ["content_key", "pixels_digest"]

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
