"""A cloth that is being tried, as the page shows it at true size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from math import isfinite
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.by_eye import ByEye, corrected
from swatches.swatch import Swatch

__all__ = ["draw_tried", "eye_from_words", "shown_in", "tried_png"]

_SHOWN_PPI = 144.0
"""Half as fine again as the 96 pixels of an inch of CSS, for finer screens."""
_EVER_IN = (5.0, 4.0)
_MOST_IN = 16.0


def shown_in(swatch: Swatch) -> tuple[float, float]:
    """Inches of cloth to show, across and down: some of what goes on for ever, or all that is known."""
    if swatch.repeats:
        return _EVER_IN
    return min(swatch.width_in, _MOST_IN), min(swatch.height_in, _MOST_IN)


def draw_tried(swatch: Swatch, by_eye: ByEye) -> NDArray[np.uint8]:
    """The cloth as it will be seen with this correction, at 144 pixels an inch."""
    wide_in, high_in = shown_in(swatch)
    tile = swatch.tile_srgb8
    rows, columns = max(1, round(high_in * swatch.ppi)), max(1, round(wide_in * swatch.ppi))
    if swatch.repeats:
        tile = np.tile(tile, (-(-rows // tile.shape[0]), -(-columns // tile.shape[1]), 1))
    size = (max(1, round(wide_in * _SHOWN_PPI)), max(1, round(high_in * _SHOWN_PPI)))
    how = cv2.INTER_AREA if swatch.ppi > _SHOWN_PPI else cv2.INTER_LINEAR
    small = np.asarray(cv2.resize(tile[:rows, :columns], size, interpolation=how), dtype=np.uint8)
    return corrected(small, by_eye)


def tried_png(swatch: Swatch, by_eye: ByEye) -> bytes:
    """The same as a PNG, packed lightly because it travels no farther than this machine."""
    done, packed = cv2.imencode(
        ".png",
        cv2.cvtColor(draw_tried(swatch, by_eye), cv2.COLOR_RGB2BGR),
        [cv2.IMWRITE_PNG_COMPRESSION, 1],
    )
    if not done:
        raise RuntimeError("the swatch could not be packed as PNG")
    return packed.tobytes()


def eye_from_words(words: Mapping[str, Any]) -> ByEye:
    """The correction that the sliders, or an address, state; 0 where nothing is stated.

    Raises: ByEyeError for a number out of bounds.
    """
    return ByEye(**{each.name: _number(words.get(each.name, 0)) for each in fields(ByEye)})


def _number(word: Any) -> float:
    try:
        number = float(word)
    except (TypeError, ValueError):
        return 0.0
    return number if isfinite(number) else 0.0
