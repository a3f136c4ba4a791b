"""What reaches a viewer: the cloth's light under the lamp, through the room, the lens and the cones."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from palettes.thresholds import THRESHOLDS
from palettes.viewing import YOUNG_YEARS, Viewing
from palettes.vision import as_seen_at_age, as_seen_by

__all__ = ["WARM_LAMP", "as_viewed", "under_warm_lamp"]

WARM_LAMP = ((1.2531, -0.2900, 0.0369), (0.0131, 1.0033, -0.0164), (-0.0097, 0.0151, 0.9946))
"""Linear light in daylight to linear light under illuminant A, once the eye is used to it: reds come out
2 to 4 L* lighter, blues and greens up to 2 darker, greys stay. A least-squares fit, rows summing to 1,
to 24 measured reflectances (the average of 30 colour charts, Pascale 2012) under D65 and A, with
Bradford's adaptation: an estimate, 1.6 CIEDE2000 off on average, since three bands cannot stand for a
whole spectrum."""


def as_viewed(light_lin: NDArray[np.floating], viewing: Viewing) -> NDArray[np.floating]:
    """Linear light (..., 3) as it looks to this viewer in this light. Distance is not in it.

    Places that hold nan keep it. The very same array comes back where everything is usual.
    """
    light = light_lin
    if viewing.light == "warm lamp":
        light = under_warm_lamp(light)
    if viewing.shown != "cloth":
        veil = THRESHOLDS.screen_veil if viewing.shown == "screen" else THRESHOLDS.projector_veil
        light = (light + veil) / (1 + veil)
    if viewing.eyes:
        light = as_seen_by(light, eyes=viewing.eyes, severity=viewing.severity)
    if viewing.years != YOUNG_YEARS:
        light = as_seen_at_age(light, years=viewing.years)
    return light


def under_warm_lamp(light_lin: NDArray[np.floating]) -> NDArray[np.floating]:
    """Linear light (..., 3) under a household lamp of 2856 K, clipped to 0 to 1. dtype in is dtype out."""
    matrix = np.array(WARM_LAMP, dtype=light_lin.dtype)
    return np.asarray(np.clip(light_lin @ matrix.T, 0, 1))
