"""Which turns leave a print looking the same: its motifs, found again elsewhere, tell how they are turned.

A motif that lies tossed is found again at any turn as often as upright; one that stands is found again only
upright. Source for the places and their own directions: Lowe (2004), Distinctive Image Features from
Scale-Invariant Keypoints; what is compared there, and the votes, are our own.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.lightness import lab_from_lin
from swatches.lattice import Step

__all__ = ["Turns", "find_turns"]

_MOST_PPI, _MOST_PX = 110.0, 480
_MOST_PLACES, _LEAST_PIECES = 600, 8
_CONTRAST, _EDGE = 0.03, 15.0
_BINS = 8
"""Eighths of a turn."""
_SIDE = 15
_NARROW, _WIDE = 8.0, 12.0
"""Radius of the round pieces that are compared, in spreads of the spot each lies on: parts of a motif, and
most of it. Leaves of unlike sprays are alike in the narrow ones, and hardly ever in the wide (measured)."""
_ALIKE_NARROW, _ALIKE_WIDE = 0.15, 0.10
"""One less the correlation, up to which two pieces are the same."""
_UNLIKE_TIMES = 1.5
_APART = 0.8
"""Of the radius: pieces nearer each other than this are one place."""
_MOST_LARGER = 1.5
_BLOCK = 1.5
_LEAST_SHARE, _LEAST_BLOCKS = 0.05, 6.0
_LEAST_VOTES = 6.0
_EVEN, _NEARLY_EVEN, _UPRIGHT = (0.12, 0.66), (0.05, 0.76), 0.85
"""Share of votes for upright: of all where a turn does not show, of either size of piece then, and from which
on it shows. Flowers turned every way on stalks that stand come to 0.72 (measured on half of the seeds)."""

Map = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Turns:
    """What motifs that are found again say; None where there are too few to tell."""

    half: bool | None
    """Whether half a turn leaves the print the same."""
    quarter: bool | None
    """Whether a quarter of a turn does, either way."""


@dataclass(frozen=True, slots=True, eq=False)
class _Pieces:
    at: Map
    """(n, 2), in pixels."""
    turned_deg: Map
    radius_px: Map
    pixels: Map
    """(n, k): upright to their own direction, their mean 0 and their length 1."""


@dataclass(frozen=True, slots=True, eq=False)
class _Votes:
    upright: NDArray[np.float64]
    """(bins,): blocks whose pieces are found again upright but not so turned."""
    turned: NDArray[np.float64]
    """(bins,): blocks whose pieces are found again so turned but not upright."""
    share: float
    """Of the pieces, how many are found again at all."""
    blocks: int


def find_turns(cloth_lin: NDArray[np.float32], *, ppi: float, steps_in: Sequence[Step], wraps: bool) -> Turns:
    """What the motifs of cloth (H, W, 3) in linear light say of its turns.

    `steps_in`: the print's steps, so that a motif is not compared with its own copies, which always stand as
    it does. `wraps`: whether the picture goes on round its edges.
    """
    rows, columns = cloth_lin.shape[:2]
    share = min(1.0, _MOST_PPI / ppi, _MOST_PX / max(rows, columns))
    size = (max(8, round(columns * share)), max(8, round(rows * share)))
    light = cloth_lin
    if share < 1:
        light = np.asarray(cv2.resize(cloth_lin, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    lab = np.asarray(lab_from_lin(np.clip(light, 0, 1)), dtype=np.float32)
    steps = np.array(steps_in, dtype=np.float64).reshape(-1, 2) * ppi * (size[0] / columns)
    if wraps and len(steps) < 2:
        steps = np.diag([lab.shape[1], lab.shape[0]]).astype(np.float64)
    found = _places(lab, wraps=wraps)
    read = [
        _votes(_cut(lab, found, spreads=spreads, wraps=wraps), steps, alike=alike)
        for spreads, alike in ((_NARROW, _ALIKE_NARROW), (_WIDE, _ALIKE_WIDE))
    ]
    narrow, wide = read
    if narrow is None or wide is None or wide.share < _LEAST_SHARE or wide.blocks < _LEAST_BLOCKS:
        return Turns(None, None)
    return _told(narrow, wide)


def _told(narrow: _Votes, wide: _Votes) -> Turns:
    quarter, half = _BINS // 4, _BINS // 2
    ways = {at: _same(narrow, wide, [at]) for at in (half, quarter, _BINS - quarter)}
    either = (ways[quarter], ways[_BINS - quarter])
    quarters = False if False in either else (None if None in either else True)
    if ways[half] is not False and _same(narrow, wide, list(range(1, _BINS))):
        return Turns(True, True)
    return Turns(ways[half], quarters)


def _same(narrow: _Votes, wide: _Votes, bins: list[int]) -> bool | None:
    """Whether motifs are found so turned as often as upright; None where too few votes tell."""
    parts = []
    all_upright, all_turned = 0.0, 0.0
    for votes in (narrow, wide):
        upright, turned = float(votes.upright[bins].mean()), float(votes.turned[bins].mean())
        all_upright, all_turned = all_upright + upright, all_turned + turned
        if upright + turned >= _LEAST_VOTES:
            parts.append(upright / (upright + turned))
    if not parts:
        return None
    if min(parts) >= _UPRIGHT:
        return False
    even = _EVEN[0] <= all_upright / (all_upright + all_turned) <= _EVEN[1]
    return True if even and _NEARLY_EVEN[0] <= min(parts) and max(parts) <= _NEARLY_EVEN[1] else None


def _grey8(lab: Map) -> NDArray[np.uint8]:
    """The picture along the colours in which it varies most."""
    flat = lab.reshape(-1, 3) - lab.reshape(-1, 3).mean(axis=0)
    some = flat[:: max(1, len(flat) // 20_000)].astype(np.float64)
    along = np.linalg.eigh(some.T @ some)[1][:, 2].astype(np.float32)
    grey = flat @ along
    low, high = np.percentile(grey, (1, 99))
    codes = np.clip((grey - low) / max(float(high - low), 1e-3) * 255, 0, 255)
    return np.asarray(codes.reshape(lab.shape[:2]), dtype=np.uint8)


def _pad_px(lab: Map, *, wraps: bool) -> int:
    return min(80, *lab.shape[:2]) if wraps else 0


def _places(lab: Map, *, wraps: bool) -> NDArray[np.float32]:
    """Spots and corners (n, 4): x and y, the direction each has by itself in degrees, its spread."""
    grey, pad = _grey8(lab), _pad_px(lab, wraps=wraps)
    if pad:
        grey = np.asarray(cv2.copyMakeBorder(grey, pad, pad, pad, pad, cv2.BORDER_WRAP), dtype=np.uint8)
    most = int(_MOST_PLACES * grey.size / (lab.shape[0] * lab.shape[1]))
    finder = cv2.SIFT.create(nfeatures=most, contrastThreshold=_CONTRAST, edgeThreshold=_EDGE)
    rows = [(*spot.pt, spot.angle, spot.size / 2) for spot in finder.detect(grey, None)]
    places = np.array(rows, dtype=np.float32).reshape(-1, 4)
    places[:, :2] -= pad
    inside = (places[:, :2] >= 0).all(axis=1) & (places[:, :2] < (lab.shape[1], lab.shape[0])).all(axis=1)
    return np.asarray(places[inside], dtype=np.float32)


def _cut(lab: Map, places: NDArray[np.float32], *, spreads: float, wraps: bool) -> _Pieces | None:
    """The round pieces of cloth that lie whole in the picture; None for none."""
    pad = _pad_px(lab, wraps=wraps)
    if pad:
        lab = np.asarray(cv2.copyMakeBorder(lab, pad, pad, pad, pad, cv2.BORDER_WRAP), dtype=np.float32)
    at, radius = places[:, :2] + pad, places[:, 3] * spreads
    high, wide = lab.shape[:2]
    room = np.minimum(np.minimum(at[:, 0], at[:, 1]), np.minimum(wide - at[:, 0], high - at[:, 1]))
    whole = room > radius
    at, radius, turned = at[whole], radius[whole], places[whole, 2]
    if not len(at):
        return None
    span = np.linspace(-1, 1, _SIDE)
    u, v = np.meshgrid(span, span)
    disc = u * u + v * v <= 1.02
    u, v = u[disc], v[disc]
    cos, sin = np.cos(np.radians(turned))[:, None], np.sin(np.radians(turned))[:, None]
    x = (at[:, :1] + radius[:, None] * (cos * u - sin * v)).astype(np.float32)
    y = (at[:, 1:] + radius[:, None] * (sin * u + cos * v)).astype(np.float32)
    pixels = np.empty((len(at), len(u), 3), np.float32)
    # Each piece from a picture as soft as its own grid is coarse.
    level = np.clip(np.rint(2 * np.log2(np.maximum(2 * radius / _SIDE, 1))), 0, 8).astype(int)
    for each in np.unique(level):
        soft = cv2.GaussianBlur(lab, (0, 0), 0.5 * 2 ** (float(each) / 2))
        of_it = level == each
        pixels[of_it] = cv2.remap(soft, x[of_it], y[of_it], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    pixels -= pixels.mean(axis=1, keepdims=True)
    flat = pixels.reshape(len(at), -1)
    flat /= np.maximum(np.sqrt((flat**2).sum(axis=1, keepdims=True)), 1e-6)
    return _Pieces(at - pad, turned, radius, flat)


def _votes(pieces: _Pieces | None, steps: NDArray[np.float64], *, alike: float) -> _Votes | None:
    """How often a piece is found again at each turn, once for every block of cloth; None for hardly any."""
    if pieces is None or len(pieces.at) < _LEAST_PIECES:
        return None
    apart = 1 - pieces.pixels @ pieces.pixels.T
    radius = pieces.radius_px
    near = _off_px(pieces.at, steps) < _APART * np.minimum(radius[:, None], radius[None])
    larger = np.abs(np.log(radius[:, None] / radius[None])) > np.log(_MOST_LARGER)
    apart[near | larger] = 9.0
    turns = pieces.turned_deg[:, None] - pieces.turned_deg[None]
    step = 360 / _BINS
    turns = ((turns + step / 2) % 360 // step).astype(np.int8)
    best = np.stack([np.where(turns == each, apart, 9.0).min(axis=1) for each in range(_BINS)], axis=1)
    again, missed = best < alike, best > _UNLIKE_TIMES * alike
    side = _BLOCK * float(np.median(radius))
    blocks = np.floor(pieces.at / side).astype(np.int64) @ np.array([100_000, 1])
    names, block = np.unique(blocks, return_inverse=True)
    upright = _by_block(again[:, :1] & missed, block, len(names))
    turned = _by_block(missed[:, :1] & again, block, len(names))
    counted = np.maximum(upright + turned, 1)
    found = again.any(axis=1)
    return _Votes(
        (upright / counted).sum(axis=0),
        (turned / counted).sum(axis=0),
        float(found.mean()),
        len(np.unique(block[found])),
    )


def _by_block(votes: NDArray[np.bool_], block: NDArray[np.intp], count: int) -> NDArray[np.float64]:
    summed = np.zeros((count, votes.shape[1]))
    np.add.at(summed, block, votes)
    return summed


def _off_px(at: Map, steps: NDArray[np.float64]) -> NDArray[np.floating]:
    """How far every two places lie apart (n, n), whole steps of the print not counted."""
    apart = (at[:, None] - at[None]).astype(np.float32)
    if len(steps) == 2:
        shares = apart @ np.linalg.inv(steps).astype(np.float32)
        apart = (shares - np.rint(shares)) @ steps.astype(np.float32)
    elif len(steps) == 1:
        times = np.rint(apart @ (steps[0] / (steps[0] @ steps[0])).astype(np.float32))
        apart = apart - times[..., None] * steps[0].astype(np.float32)
    return np.hypot(apart[..., 0], apart[..., 1])
