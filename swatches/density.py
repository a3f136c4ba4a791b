"""The pixel density that a file claims: a hint for scans, never the scale of photographed cloth."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from PIL import Image

__all__ = ["Density", "question_ppi", "read_density"]

_X, _Y, _UNIT = 282, 283, 296
_PER_UNIT = {2: 1.0, 3: 2.54}
_LEAST, _MOST = 50.0, 9600.0
# What programs write when they know nothing: 72 and 96 dots per inch, and 28 per cm (71.12).
_DEFAULTS = (71.12, 72.0, 96.0)
_MOST_UNEVEN = 4.0
_UNASKED = (*_DEFAULTS, 300.0)

Pair = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Density:
    """Claimed pixels per inch along the stored columns and rows, and what to think of the claim."""

    across_ppi: float | None
    down_ppi: float | None
    note: str

    @property
    def uneven(self) -> bool:
        """Whether the pixels are claimed not to be square, as some scanners and fax machines make them."""
        if self.across_ppi is None or self.down_ppi is None:
            return False
        return abs(self.across_ppi / self.down_ppi - 1) > 0.01


def read_density(image: Image.Image) -> Density:
    """What a loaded picture says about its density; None where it says nothing that can be true.

    Read from the tags themselves, because decoders invent 72 or 1 where nothing is stated. EXIF wins
    over the container, as scanner software writes the one and libraries the other.
    """
    stated = _exif_density(image)
    container = _container_density(image)
    note = ""
    if stated and container and abs(stated[0] / container[0] - 1) > 0.02:
        note = f"The file claims both {container[0]:.4g} and {stated[0]:.4g} pixels per inch. "
    pair = stated or container
    if pair is None:
        return Density(None, None, note="")
    if not all(_LEAST <= claim <= _MOST for claim in pair):
        return Density(None, None, note + f"The {pair[0]:.4g} pixels per inch it claims cannot be true.")
    if any(abs(pair[0] / default - 1) < 0.005 for default in _DEFAULTS) and pair[0] == pair[1]:
        return Density(None, None, note + f"The {pair[0]:.4g} pixels per inch it claims mean nothing.")
    if max(pair) / min(pair) > _MOST_UNEVEN:
        return Density(None, None, note + "The pixels it claims are far from square, which was ignored.")
    return Density(*pair, note=f"{note}The file claims {pair[0]:.4g} pixels per inch.")


def question_ppi(ppi: float) -> str:
    """What to ask about typed pixels per inch that programs write unasked; empty for others."""
    if any(abs(ppi / usual - 1) < 0.002 for usual in _UNASKED):
        return (
            f"{ppi:g} is what programs write when nobody told them: is it what the scanner was set to? Check "
            "one inch of the cloth with a ruler."
        )
    return ""


def _exif_density(image: Image.Image) -> Pair | None:
    try:
        tags: Mapping[int, Any] = getattr(image, "tag_v2", None) or image.getexif()
        return _pair(tags.get(_X), tags.get(_Y), tags.get(_UNIT, 2))
    except Exception:  # metadata readers raise almost anything at broken files; the picture is still good
        return None


def _container_density(image: Image.Image) -> Pair | None:
    info = image.info
    if image.format in ("JPEG", "MPO") and info.get("jfif_unit"):
        across, down = info.get("jfif_density", (None, None))
        return _pair(across, down, {1: 2, 2: 3}.get(info["jfif_unit"]))
    if image.format in ("PNG", "BMP"):
        across, down = info.get("dpi", (None, None))
        return _pair(across, down, 2)
    return None


def _pair(across: Any, down: Any, unit: Any) -> Pair | None:
    """Pixels per inch both ways, or None where the tags do not state an absolute density."""
    if across is None or unit not in _PER_UNIT:
        return None
    try:
        claims = (float(across) * _PER_UNIT[unit], float(across if down is None else down) * _PER_UNIT[unit])
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return claims if all(isfinite(claim) and claim > 0 for claim in claims) else None
