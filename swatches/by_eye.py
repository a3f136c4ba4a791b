"""A correction of a cloth's colour by eye, with the cloth in hand: kept beside the picture, never in it."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8, luminance, srgb8_to_lin

__all__ = ["AS_IT_IS", "ByEye", "ByEyeError", "by_eye_from_text", "by_eye_text", "corrected"]

_MOST = 100.0


class ByEyeError(ValueError):
    """A correction out of bounds. Carries how to mend it."""

    def __init__(self, why: str) -> None:
        self.mend = f"Give each of the four a number from {-_MOST:g} to {_MOST:g}; 0 changes nothing."
        super().__init__(f"{why}.")


@dataclass(frozen=True, slots=True)
class ByEye:
    """Four sliders from -100 to 100, 0 being no change."""

    light: float = 0.0
    """100: twice the light."""
    warm: float = 0.0
    """Towards yellow; below 0 towards blue. 100: half a stop between red and blue."""
    pink: float = 0.0
    """Towards magenta; below 0 towards green."""
    strong: float = 0.0
    """100: colours twice as far from grey; -100: grey."""

    def __post_init__(self) -> None:
        for name, value in asdict(self).items():
            if not isfinite(value) or abs(value) > _MOST:
                raise ByEyeError(f"{name}: {value:g} is outside {-_MOST:g} to {_MOST:g}")


AS_IT_IS = ByEye()


def corrected(tile_srgb8: NDArray[np.uint8], by_eye: ByEye) -> NDArray[np.uint8]:
    """The tile (H, W, 3) as the correction shows it, read-only; the same array when nothing changes.

    Greys keep their light unless `light` says otherwise. Light beyond white is clipped.
    """
    if by_eye == AS_IT_IS:
        return tile_srgb8
    lean = np.array([by_eye.warm / 2 + by_eye.pink / 4, -by_eye.pink / 2, -by_eye.warm / 2 + by_eye.pink / 4])
    gains = (2.0 ** (lean / 100)).astype(np.float32)
    gains *= np.float32(2.0 ** (by_eye.light / 100)) / np.float32(luminance(gains[None])[0])
    made = np.empty_like(tile_srgb8)
    for top in range(0, len(made), 256):
        light = srgb8_to_lin(tile_srgb8[top : top + 256]) * gains
        if by_eye.strong:
            grey = np.asarray(luminance(light), dtype=np.float32)[..., None]
            light = grey + (light - grey) * np.float32(1 + by_eye.strong / 100)
        made[top : top + 256] = lin_to_srgb8(light)
    made.flags.writeable = False
    return made


def by_eye_text(by_eye: ByEye) -> str:
    """The correction as one line of text for files; empty when nothing is corrected."""
    return "" if by_eye == AS_IT_IS else json.dumps(asdict(by_eye))


def by_eye_from_text(text: str) -> ByEye:
    """The correction again.

    Raises: ByEyeError for text that is none.
    """
    if not text:
        return AS_IT_IS
    try:
        return ByEye(**{key: float(value) for key, value in json.loads(text).items()})
    except ByEyeError:
        raise
    except (TypeError, AttributeError, ValueError) as fault:
        raise ByEyeError(f"{text[:40]!r} is no correction by eye") from fault
