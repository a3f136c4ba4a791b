"""Families of hue, for keeping a choice to its colours."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Literal, get_args

import numpy as np
from numpy.typing import ArrayLike, NDArray

from palettes.difference import ciede2000
from palettes.looks import Look
from palettes.thresholds import THRESHOLDS

__all__ = ["FAMILIES", "Family", "allowed_in_families", "allowed_near", "hue_family"]

Family = Literal["neutral", "red", "orange", "yellow", "green", "teal", "blue", "violet", "pink"]

FAMILIES: tuple[Family, ...] = get_args(Family)

_FROM_DEG: tuple[tuple[float, Family], ...] = (
    (0, "pink"),
    (18, "red"),
    (42, "orange"),
    (75, "yellow"),
    (112, "green"),
    (170, "teal"),
    (225, "blue"),
    (292, "violet"),
    (330, "pink"),
)
"""Where each family begins on the circle of CIELAB hue angles (ours, set by the CSS colours so named)."""


def hue_family(lab: ArrayLike) -> Family:
    """The family of a CIELAB colour (3,).

    Example: hue_family((40, -30, 25)) -> "green"
    """
    a, b = (float(each) for each in np.asarray(lab, dtype=np.float64)[1:])
    if np.hypot(a, b) < THRESHOLDS.neutral_C:
        return "neutral"
    hue_deg = float(np.degrees(np.arctan2(b, a)) % 360)
    return [family for start, family in _FROM_DEG if hue_deg >= start][-1]


def allowed_in_families(
    looks: Sequence[Look], families: Sequence[Collection[Family] | None]
) -> NDArray[np.bool_]:
    """Which cloth may take which role (roles, cloths): of its families, or for None of any."""
    own = [hue_family(look.mean_lab) for look in looks]
    return np.array([[kept is None or each in kept for each in own] for kept in families], dtype=bool)


def allowed_near(
    looks: Sequence[Look], wished_lab: ArrayLike, *, roles: int, within_dE00: float = 15.0
) -> NDArray[np.bool_]:
    """Which cloth is near a colour of a wished palette (k, 3): (roles, cloths), the same for every role."""
    wished = np.atleast_2d(np.asarray(wished_lab, dtype=np.float64))
    means = np.stack([look.mean_lab for look in looks])
    near = (ciede2000(means[:, None], wished[None]) <= within_dE00).any(axis=1)
    return np.tile(near, (roles, 1))
