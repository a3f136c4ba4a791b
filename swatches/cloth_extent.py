"""How far the cloth reaches in a photograph, so that the table beside it does not become cloth."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor, log
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.card import CLEAR_OF_CARD_IN, StraightView
from swatches.cloth_edges import EdgedCloth, edged_cloth
from swatches.crop import Box
from swatches.faults import Fault
from swatches.resampling import resample
from swatches.unlike_parts import colour_numbers, unlike_parts

__all__ = ["CLOTH_ENDS", "ClothExtent", "find_cloth", "find_cloth_alone"]

_WORK_PPI = 32.0
_SOFT_IN, _EVEN_IN = 0.02, 0.25
_SHADOW_IN = 0.2
"""Room round the card for its shadow; the picture is not judged there."""
_CLEAR_OF_EDGE_IN = 0.13
"""Pinked teeth are cut up to 1/8 inch deep, from the line of their tips (common practice, no source)."""
_RUNS_THROUGH = 0.6
_SHADE, _SHADE_TINT, _SHADE_ROUGH = 0.9, 0.12, 1.6
"""Shadow and folds change all channels alike, at most 2.5 times, and leave the print as rough as it was."""
_PRINTED = 2.5
_PLAINER = 1.25
"""A card beside cloth would have the table for its cloth, and the print for the table."""
_CHOPPED = 0.8
_BAND_CHROMA, _BAND_STRONG, _BAND_ROUGH = 22.0, 0.42, 1.5
"""White tables under warm lamps have a chroma of up to a third of their lightness; wood and cutting mats have
more, but grain or lines (measured)."""
_AGAIN, _AGAIN_LAB = 0.02, 4.0
_LEAST_BEYOND = 0.03
_ON_IT = 0.3
_LEAST_EDGE_IN = 3.0
_LEAST_SHOWN_IN, _MOST_SHOWN_IN = 5.0, 14.0
"""Smaller and larger pieces are looked at as if they were so long: their edges are as plain (ours)."""
"""These limits are ours, chosen on half of 160 simulated photographs. In the other half, of 60 whose cloth
ends in them 33 are cut to it (2 with some table left), 24 are told of and 3 not seen; of 20 that cloth fills,
1 is told of. A plain band beside a chopped print looks like a table: it is told of if its colour is strong,
and may be cut off if not. With nothing on the cloth, of 30 such photographs 18 are cut, 2 of them to the
table where it lies in the middle; 9 are told of, 3 not seen. Of 20 that cloth fills none is cut; 2 with
stripes of over two inches are told of."""

_CLEAR = np.ones((13, 13), np.uint8)
_CLEAR.flags.writeable = False

CLOTH_ENDS = Fault(
    "more than cloth",
    "The cloth seems to end inside the photograph: what lies beside it may be in the swatch.",
    "Mark the piece of cloth to use (--crop), or let the cloth fill the picture.",
)

Mask = NDArray[np.bool_]
Lab = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False)
class ClothExtent:
    """Where cloth may be taken from."""

    ends: Literal["sure", "doubtful", "not seen"]
    box_px: Box | None
    """With "sure": the largest upright part of the view on the cloth, clear of the card, in whole pixels."""


@dataclass(frozen=True, slots=True, eq=False)
class _Frame:
    """A straight picture of the cloth, before any pixel is computed."""

    to_photo: NDArray[np.float64]
    """From inches of the cloth, right and down from the picture's corner, to pixels of the photograph."""
    finest_ppi: float
    width_px: int
    height_px: int
    ppi: float
    thing_px: tuple[float, float, float, float] | None


@dataclass(frozen=True, slots=True, eq=False)
class _Work:
    """The view at a few pixels an inch."""

    lin: NDArray[np.float32]
    soft_lab: Lab
    numbers: NDArray[np.int64]
    free: Mask
    card: Mask


def find_cloth(photo_srgb8: NDArray[np.uint8], view: StraightView) -> ClothExtent:
    """Whether the cloth on which a card lies ends inside the view, and the part to use if it surely does.

    It is sure of edges that meet squarely, and of one at which a print is chopped off; a stripe or a border
    looks like any other single straight edge, which is therefore doubtful.
    """
    frame = _Frame(
        view.plane.to_photo @ np.array([[1, 0, view.left_in], [0, 1, view.top_in], [0, 0, 1]]),
        view.plane.ppi, view.width_px, view.height_px, view.ppi, view.card_px,
    )  # fmt: skip
    return _extent(photo_srgb8, frame)


def find_cloth_alone(photo_srgb8: NDArray[np.uint8], *, ppi: float) -> ClothExtent:
    """The same of a photograph taken square-on with nothing on the cloth, which lies in its middle."""
    high, wide = photo_srgb8.shape[:2]
    low, most = (max(high, wide) / inches for inches in (_MOST_SHOWN_IN, _LEAST_SHOWN_IN))
    ppi = min(max(ppi, low), most)
    return _extent(photo_srgb8, _Frame(np.diag([ppi, ppi, 1.0]), ppi, wide, high, ppi, None))


def _extent(photo_srgb8: NDArray[np.uint8], frame: _Frame) -> ClothExtent:
    work = _look(photo_srgb8, frame)
    doubtful = False
    sure: list[EdgedCloth] = []
    for part in unlike_parts(work.numbers, free=work.free, px_per_in=_WORK_PPI):
        cloth = edged_cloth(part, soft_lab=work.soft_lab, free=work.free, px_per_in=_WORK_PPI)
        if cloth is None or cloth.through > _RUNS_THROUGH or _is_shade(work, cloth):
            continue
        if _is_sure(work, cloth):
            sure.append(cloth)
        doubtful = doubtful or _is_likely(work, cloth)
    if sure:
        most = max(sure, key=lambda cloth: int(cloth.beyond.sum()))
        box = _largest_part(most, frame)
        if box is not None:
            return ClothExtent("sure", box)
    return ClothExtent("doubtful" if doubtful or sure else "not seen", None)


def _look(photo: NDArray[np.uint8], frame: _Frame) -> _Work:
    shrunk = min(1.0, 2 * _WORK_PPI / frame.finest_ppi)
    size = (max(8, round(photo.shape[1] * shrunk)), max(8, round(photo.shape[0] * shrunk)))
    small = np.asarray(cv2.resize(photo, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    to_small = np.diag([size[0] / photo.shape[1], size[1] / photo.shape[0], 1.0])
    to_plane = np.diag([1 / _WORK_PPI, 1 / _WORK_PPI, 1.0])
    per = _WORK_PPI / frame.ppi
    wide, high = max(16, int(frame.width_px * per)), max(16, int(frame.height_px * per))
    seen = resample(small, to_small @ frame.to_photo @ to_plane, width_px=wide, height_px=high)
    light = np.asarray(srgb8_to_lin(seen), dtype=np.float32)
    lab = np.asarray(lab_from_lin(light), dtype=np.float32)
    soft = np.asarray(cv2.GaussianBlur(lab, (0, 0), _SOFT_IN * _WORK_PPI), dtype=np.float32)
    if frame.thing_px is None:
        free = np.ones((high, wide), dtype=bool)
        middle = _block((high, wide), [wide * 0.4, high * 0.4, wide * 0.6, high * 0.6], grown=0)
        return _Work(light, soft, colour_numbers(soft, free=free), free, middle)
    card = [side * per for side in frame.thing_px]
    free = ~_block((high, wide), card, grown=_SHADOW_IN * _WORK_PPI)
    return _Work(light, soft, colour_numbers(soft, free=free), free, _block((high, wide), card, grown=0))


def _block(shape: tuple[int, int], sides: list[float], *, grown: float) -> Mask:
    left, top, right, bottom = (
        max(0, floor(sides[0] - grown)),
        max(0, floor(sides[1] - grown)),
        max(0, ceil(sides[2] + grown)),
        max(0, ceil(sides[3] + grown)),
    )
    made = np.zeros(shape, dtype=bool)
    made[top:bottom, left:right] = True
    return made


def _well_inside(work: _Work, cloth: EdgedCloth) -> Mask:
    """What is cloth beyond doubt if this is cloth: neither edge, nor teeth, nor the card's shadow."""
    return (cv2.erode(cloth.inside.astype(np.uint8), _CLEAR, borderValue=1) > 0) & work.free


def _well_beyond(work: _Work, cloth: EdgedCloth) -> Mask:
    away = np.asarray(cv2.dilate(cloth.inside.astype(np.uint8), _CLEAR) == 0)
    return away & cloth.beyond & work.free


def _roughness(work: _Work, where: Mask) -> float:
    """Spread of colour round its own mean in every half inch, which no slow change of light adds to."""
    wide = (0, 0), _EVEN_IN * _WORK_PPI
    weight = cv2.GaussianBlur(where.astype(np.float32), *wide)
    mean = cv2.GaussianBlur(work.soft_lab * where[..., None], *wide) / np.maximum(weight, 1e-3)[..., None]
    off = (work.soft_lab - mean)[where]
    return float(np.sqrt((off**2).sum(axis=1).mean())) if len(off) else 0.0


def _is_shade(work: _Work, cloth: EdgedCloth) -> bool:
    """Whether the step may be a shadow or a fold of one and the same cloth."""
    inside, beyond = _well_inside(work, cloth), _well_beyond(work, cloth)
    if not inside.any() or not beyond.any():
        return True
    change = np.log((work.lin[beyond].mean(axis=0) + 1e-4) / (work.lin[inside].mean(axis=0) + 1e-4))
    rough = [_roughness(work, inside) + 0.5, _roughness(work, beyond) + 0.5]
    return bool(
        abs(change.mean()) < _SHADE
        and np.ptp(change) < _SHADE_TINT
        and abs(log(rough[0] / rough[1])) < log(_SHADE_ROUGH)
    )


def _is_likely(work: _Work, cloth: EdgedCloth) -> bool:
    """Whether what lies past the edges is much, and reaches the border of the picture with the cloth."""
    length = sum(float(np.hypot(*(end - start))) for start, end in cloth.edges_px) / _WORK_PPI
    border = np.ones_like(cloth.inside)
    border[2:-2, 2:-2] = False
    reaches = bool((cloth.inside & border).any()) or _lies_on(work, cloth)
    return length >= _LEAST_EDGE_IN and cloth.beyond.mean() >= _LEAST_BEYOND and reaches


def _is_sure(work: _Work, cloth: EdgedCloth) -> bool:
    if (
        not cloth.whole
        or not _lies_on(work, cloth)
        or cloth.beyond.mean() < _LEAST_BEYOND
        or _comes_again(work, cloth)
        or _is_band(work, cloth)
    ):
        return False
    if cloth.square:
        return True
    rough = _roughness(work, _well_inside(work, cloth))
    plainer = _roughness(work, _well_beyond(work, cloth)) < _PLAINER * rough
    return rough >= _PRINTED and plainer and _chopped(work, cloth) >= _CHOPPED


def _is_band(work: _Work, cloth: EdgedCloth) -> bool:
    """Whether what lies past the edges is plain and of a strong colour, as bands are and few tables."""
    beyond = _well_beyond(work, cloth)
    if not beyond.any():
        return False
    lightness, a, b = work.soft_lab[beyond].mean(axis=0)
    strong = np.hypot(a, b) > max(_BAND_CHROMA, _BAND_STRONG * float(lightness))
    return bool(strong and _roughness(work, beyond) < _BAND_ROUGH)


def _lies_on(work: _Work, cloth: EdgedCloth) -> bool:
    return float((cloth.inside & work.card).sum()) >= _ON_IT * float(work.card.sum())


def _chopped(work: _Work, cloth: EdgedCloth) -> float:
    """Likeness, up to 1, of the colours close to the edges and further in: prints do not heed them."""
    away = _from_edges_in(cloth)
    inside = cloth.inside & work.free
    count = int(work.numbers.max()) + 1
    near, far = (
        np.bincount(work.numbers[inside & band], minlength=count).astype(np.float64)
        for band in ((away > 0.08) & (away < 0.35), (away >= 0.35) & (away < 2))
    )
    total = near.sum() * far.sum()
    return float(np.sqrt(near * far).sum() / np.sqrt(total)) if total > 0 else 0.0


def _from_edges_in(cloth: EdgedCloth) -> NDArray[np.float64]:
    """How far each pixel lies from the nearest of the edges' lines, which bound convex cloth everywhere."""
    rows, columns = cloth.inside.shape
    x, y = np.meshgrid(np.arange(columns, dtype=np.float64), np.arange(rows, dtype=np.float64))
    away = np.full((rows, columns), np.inf)
    for start, end in cloth.edges_px:
        along = end - start
        off = (x - start[0]) * along[1] - (y - start[1]) * along[0]
        away = np.minimum(away, np.abs(off) / np.hypot(*along))
    return away / _WORK_PPI


def _comes_again(work: _Work, cloth: EdgedCloth) -> bool:
    """Whether places of the cloth look like what lies past its edges, in more light or less."""
    wide = (0, 0), 0.12 * _WORK_PPI
    mean = cv2.GaussianBlur(work.soft_lab, *wide)
    rough = np.sqrt(np.maximum(cv2.GaussianBlur(work.soft_lab**2, *wide) - mean**2, 0).sum(axis=2))
    looks = np.dstack([mean * np.array([0.4, 1, 1], np.float32), rough])
    every = np.zeros_like(cloth.inside)
    every[::6, ::6] = True
    one, other = looks[_well_inside(work, cloth) & every], looks[_well_beyond(work, cloth) & every]
    if not len(one) or not len(other):
        return False
    apart = np.sqrt(((one[:, None] - other[None]) ** 2).sum(axis=2)).min(axis=1)
    return float((apart < _AGAIN_LAB).mean()) > _AGAIN


def _largest_part(cloth: EdgedCloth, frame: _Frame) -> Box | None:
    """The largest upright rectangle of the view on the cloth and clear of the card; None under an inch."""
    kept = cloth.inside & (_from_edges_in(cloth) >= _CLEAR_OF_EDGE_IN)
    per = frame.ppi / _WORK_PPI
    if frame.thing_px is not None:
        card = [at / per for at in frame.thing_px]
        kept &= ~_block(kept.shape, card, grown=CLEAR_OF_CARD_IN * _WORK_PPI)
    left, top, right, bottom = _largest_true(kept)
    if min(right - left, bottom - top) < _WORK_PPI:
        return None
    return (
        ceil(left * per),
        ceil(top * per),
        min(floor(right * per), frame.width_px),
        min(floor(bottom * per), frame.height_px),
    )


def _largest_true(mask: Mask) -> Box:
    """The largest rectangle of a mask that is true all over: left, top, right, bottom."""
    best, found = 0, (0, 0, 0, 0)
    heights = np.zeros(mask.shape[1] + 1, dtype=np.int64)
    for row, line in enumerate(mask):
        heights[:-1] = np.where(line, heights[:-1] + 1, 0)
        # What goes on in the next row all along is larger there.
        if row + 1 < len(mask) and not (line & ~mask[row + 1]).any():
            continue
        tall: list[int] = heights.tolist()
        stack: list[int] = []
        for column, height in enumerate(tall):
            while stack and tall[stack[-1]] >= height:
                high = tall[stack.pop()]
                left = stack[-1] + 1 if stack else 0
                if high * (column - left) > best:
                    best, found = high * (column - left), (left, row + 1 - high, column, row + 1)
            stack.append(column)
    return found
