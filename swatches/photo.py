"""A decoded photograph, and the fault that is raised when a file cannot become one."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

__all__ = ["Photo", "PhotoError"]


class PhotoError(ValueError):
    """A file that is no usable photograph. Carries the path, what was wrong and how to mend it."""

    def __init__(self, path: str | Path, why: str, *, mend: str) -> None:
        self.path = Path(path)
        self.mend = mend
        super().__init__(f"{path}: {why}.")


@dataclass(frozen=True, slots=True, eq=False)
class Photo:
    """A photograph as the eye should see it: upright, square pixels, sRGB, no transparency."""

    srgb8: NDArray[np.uint8]
    """(H, W, 3), read-only."""
    notes: tuple[str, ...]
    """What was done on the way in that the maker should know, one plain sentence each."""
    ppi_hint: float | None
    """Pixels per inch as the file claims them; a scanner's may be true, a camera's never is."""
    density_note: str
    """What to think of that claim; empty when the file makes none."""
    light16: NDArray[np.uint16] | None = None
    """The same pixels in linear light, 0 to 65535, where the file holds more than 8 bits a channel."""
