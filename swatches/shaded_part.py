"""A shadow of any shape on cloth, such as that of a hand or a phone, told from a map of the light in steps.

Every quarter inch takes the lightness at which most pairs of like places agree with the rest of the cloth. A
dark motif looks the same where the cloth has one colour only; it is told apart by its hard edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from swatches.cloth_shadow import HuePairs
from swatches.like_places import Places
from swatches.shadow_votes import (
    AGREE,
    FURTHEST,
    LEAST_AGREEING,
    LEAST_DEPTH,
    STEPS,
    is_proof,
    near_votes,
    step_of,
)

__all__ = ["ShadedPart", "edge_width_in", "find_shaded_part"]

_SIDE = 6
"""Places to the side of a square of the map: a quarter inch."""
_ROUNDS = 4
_LEAST_VOTES = 30.0
_LEAST_AGREED = 0.5
_SMALLEST, _LARGEST, _MOST_OF_ALL = 0.02, 0.6, 0.6
_FINE_PPI = 80.0
_STEADY_IN, _NEAR_IN = 0.06, 0.3
_ONE_HUE, _ROOM = 0.2, 0.25
_LEAST_OWN, _LEAST_AT = 0.2, 12

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class ShadedPart:
    """Where the cloth is in shadow."""

    squares: Mask
    """(rows, columns) of squares that cover the cloth."""
    share: float
    depth: float
    """Logarithm of the light it takes, below 0."""
    lit: NDArray[np.intp]
    """Numbers of the lit places that say so."""


def find_shaded_part(places: Places, pairs: HuePairs) -> ShadedPart | None:
    """The one part of the cloth, if any, where all colours are darker by one factor; 2 % to 60 % of it."""
    wide, high = -(-places.columns // _SIDE), -(-places.rows // _SIDE)
    row, column = np.divmod(np.arange(places.columns * places.rows), places.columns)
    square = (row // _SIDE) * wide + column // _SIDE
    first, second = square[pairs.first], square[pairs.second]
    levels, agreed, known = _levels(first, second, pairs.lighter, (high, wide))
    flat = levels.ravel()
    agreeing = float((np.abs(pairs.lighter - flat[first] + flat[second]) < AGREE).mean()) if len(first) else 0
    if agreeing < LEAST_AGREEING:
        return None
    dark = known & (levels < -LEAST_DEPTH) & (agreed > _LEAST_AGREED * agreeing)
    count, numbered = cv2.connectedComponents(dark.astype(np.uint8), connectivity=4)
    if count < 2:
        return None
    sizes = np.bincount(numbered.ravel())[1:]
    part = np.asarray(numbered == 1 + int(np.argmax(sizes)), dtype=np.bool_)
    share = float(part.mean())
    if not _SMALLEST < share < _LARGEST or sizes.max() < _MOST_OF_ALL * dark.sum():
        return None
    return _agreed_on(pairs, (first, second), part, agreeing)


def _levels(
    first: NDArray[np.intp], second: NDArray[np.intp], lighter: Floats, shape: tuple[int, int]
) -> tuple[Floats, Floats, Mask]:
    """Logarithm of the light in every square, the share of pairs that agree on it, and which are known."""
    high, wide = shape
    here, there = np.concatenate([first, second]), np.concatenate([second, first])
    apart = np.concatenate([lighter, -lighter])
    levels = np.zeros(high * wide)
    agreed, known = np.zeros(shape), np.zeros(shape, dtype=np.bool_)
    for _ in range(_ROUNDS):
        voted = here * STEPS + step_of(apart + levels[there])
        counted = np.bincount(voted, minlength=high * wide * STEPS).astype(np.float32)
        votes = cv2.blur(counted.reshape(high, wide, STEPS), (3, 3), borderType=cv2.BORDER_REFLECT)
        near, depths, total = near_votes(np.asarray(votes, dtype=np.float32))
        known = total * 9 > _LEAST_VOTES
        agreed = near.max(axis=2) / np.maximum(total, 1e-6)
        found = depths[near.argmax(axis=2)]
        middle = float(np.median(found[known])) if known.any() else 0.0
        levels = np.where(known, found - middle, 0.0).ravel()
    return levels.reshape(shape), agreed, known


def _agreed_on(
    pairs: HuePairs,
    squares: tuple[NDArray[np.intp], NDArray[np.intp]],
    part: Mask,
    agreeing: float,
) -> ShadedPart | None:
    """The part, if pairs of which one place lies well inside it and the other well outside say so."""
    around = np.ones((3, 3), np.uint8)
    core = cv2.erode(part.astype(np.uint8), around).ravel() > 0
    if core.sum() < 3:
        core = part.ravel()
    clear = cv2.dilate(part.astype(np.uint8), around).ravel() == 0
    first, second = squares
    into, out_of = core[first] & clear[second], clear[first] & core[second]
    lighter = np.concatenate([pairs.lighter[into], -pairs.lighter[out_of]])
    lit = np.concatenate([pairs.second[into], pairs.first[out_of]])
    if not len(lighter):
        return None
    depths = np.arange(-FURTHEST, -LEAST_DEPTH, 2 * FURTHEST / STEPS)
    near = np.abs(lighter[:, None] - depths) < AGREE
    depth = float(depths[int(np.argmax(near.sum(axis=0)))])
    there = np.abs(lighter - depth) < AGREE
    shaded, unshaded = float(there.mean()), float((np.abs(lighter) < AGREE).mean())
    if not is_proof(len(lighter), shaded / agreeing, unshaded / agreeing):
        return None
    return ShadedPart(part, float(part.mean()), float(np.median(lighter[there])), lit[there])


def edge_width_in(
    cloth_lin: NDArray[np.float32], shaded: Mask, *, ppi: float, colour_logs: Floats, depth: float
) -> float:
    """Over how many inches one colour of the cloth darkens at the edge of a shaded part (any grid over it).

    `colour_logs`: (3,), logarithm of its light where it is lit. 0 where there is too little of it.
    """
    factor = max(1.0, ppi / _FINE_PPI)
    size = (max(8, int(cloth_lin.shape[1] / factor)), max(8, int(cloth_lin.shape[0] / factor)))
    fine_ppi = size[0] / cloth_lin.shape[1] * ppi
    small = np.asarray(cv2.resize(cloth_lin, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    off = np.log(np.maximum(small, 1e-3)) - colour_logs.astype(np.float32)
    # As in pairs of one hue, dark channels say little.
    trust = np.exp(colour_logs) / (np.exp(colour_logs) + 0.02)
    level = (off @ (trust / trust.sum()).astype(np.float32)).astype(np.float32)
    own = (np.abs(off - level[..., None]) * trust).max(axis=2) < _ONE_HUE
    own &= (level > depth - _ROOM) & (level < _ROOM)
    inside = cv2.resize(shaded.astype(np.uint8), size, interpolation=cv2.INTER_NEAREST)
    reach = max(1, round(_NEAR_IN * fine_ppi))
    wide = np.ones((2 * reach + 1, 2 * reach + 1), np.uint8)
    near = (cv2.dilate(inside, wide) > 0) & (cv2.erode(inside, wide) == 0)
    weight = cv2.GaussianBlur(own.astype(np.float32), (0, 0), _STEADY_IN * fine_ppi)
    steady = cv2.GaussianBlur(level * own, (0, 0), _STEADY_IN * fine_ppi) / np.maximum(weight, 1e-6)
    used = near & own & (weight > _LEAST_OWN)
    below = np.where(near & (weight > _LEAST_OWN), steady < depth / 2, inside > 0).astype(np.uint8)
    far = cv2.distanceTransform(1 - below, cv2.DIST_L2, 3) - cv2.distanceTransform(below, cv2.DIST_L2, 3)
    width_px = _width_px(far[used], level[used], depth=depth, reach=reach)
    return float(width_px / fine_ppi)


def _width_px(far: NDArray[np.float32], level: NDArray[np.float32], *, depth: float, reach: int) -> float:
    """The depth of an edge over its steepest rise, from levels at distances from its middle."""
    # Half a pixel of distance on either side of the edge is lost in whole pixels.
    at = np.clip(np.rint(far + np.where(far > 0, -0.5, 0.5)).astype(int), -reach, reach)
    order = np.argsort(at, kind="stable")
    parts = np.split(level[order], np.searchsorted(at[order], np.arange(1 - reach, reach + 1)))
    enough = np.array([len(part) >= _LEAST_AT for part in parts])
    if not enough[reach // 2 : -(reach // 2)].all():
        return 0.0
    # The median passes over what little is left of other colours.
    profile = np.array([np.median(part) for part, kept in zip(parts, enough, strict=True) if kept])
    return float(abs(depth) / max(float(np.diff(profile).max()), 1e-6))
