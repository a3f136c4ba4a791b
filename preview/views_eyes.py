"""The picture through other eyes: differing colour vision, and a lens that has yellowed with age."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from palettes.vision import Eyes, as_seen_at_age, as_seen_by

__all__ = ["aged_view", "eyes_view"]

_Picture = NDArray[np.uint8]


def eyes_view(picture_srgb8: _Picture, *, eyes: Eyes, severity: float = 1.0) -> _Picture:
    """The picture as it looks to eyes whose red ("protan"), green or blue cones differ.

    Raises: ValueError for a severity outside 0 to 1.
    """
    return lin_to_srgb8(as_seen_by(srgb8_to_lin(picture_srgb8), eyes=eyes, severity=severity))


def aged_view(picture_srgb8: _Picture, *, years: float) -> _Picture:
    """The picture through the lens of someone of this age, against a young eye's.

    Raises: ValueError for an age that palettes.vision has no measurements for.
    """
    return lin_to_srgb8(as_seen_at_age(srgb8_to_lin(picture_srgb8), years=years))
