"""The geometry of a picture: which patch owns each pixel, and by how much where several share one."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from blocks.values import Draft
from blocks.visible import visible_outlines
from preview.coverage import Coverage, cover_pixels

__all__ = ["MOST_PIXELS", "Frame", "FrameError", "prepare_frame"]

MOST_PIXELS = 160_000_000
"""A picture drawn at once (ours): a 12-inch block at 1000 ppi. Larger ones are drawn in windows."""

_Ints = NDArray[np.int64]


class FrameError(ValueError):
    """A picture size that cannot be drawn. Carries how to mend it."""

    def __init__(self, message: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(message)


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """A block cut up into pixels; no cloth in it. Build it with prepare_frame.

    Owners count from 0 in the order of `draft.patches`. A pixel's place is row * width_px + column.
    Owner i has the whole runs `run_first[i]` up to `run_first[i + 1]`, and the shared pixels ("parts")
    `part_first[i]` up to `part_first[i + 1]`.
    """

    draft: Draft
    ppi: float
    whole_width_px: int
    """Width of the whole block: round(finished width x ppi), at least 1."""
    whole_height_px: int
    left_px: int
    """Where this frame's window begins in the whole picture."""
    top_px: int
    width_px: int
    height_px: int
    run_first: _Ints
    run_start: _Ints
    run_length: _Ints
    part_first: _Ints
    part_place: _Ints
    part_weight: NDArray[np.float32]
    """Shares of one pixel sum to 1."""
    shared_place: _Ints
    """Each shared pixel once, ascending."""
    shared_first: _Ints
    """Where the pixel's parts begin in `shared_order`."""
    shared_order: _Ints
    """Part numbers, sorted by pixel."""
    labels: NDArray[np.int32]
    """(height_px, width_px): the patch number that owns most of each pixel; 0 for none."""
    token: object = field(default_factory=object)
    """Stands for this frame in caches."""


def prepare_frame(draft: Draft, *, ppi: float, window_px: tuple[int, int, int, int] | None = None) -> Frame:
    """The pixels of the block at a resolution, or of a window of it.

    Pixel (r, c) of the whole picture covers [c, c+1) / ppi by [r, r+1) / ppi inches exactly, at any ppi;
    the last row and column are filled out to the edge. `window_px` is (left, top, width, height) in
    pixels of the whole picture: windows drawn apart join without a difference.
    Raises: FrameError if the size is no size, too big to draw at once, or the window leaves the block.
    """
    whole_w, whole_h = _whole_px(draft, ppi)
    left, top, width, height = window_px if window_px is not None else (0, 0, whole_w, whole_h)
    _check_window((left, top, width, height), whole=(whole_w, whole_h))
    outlines = _in_pixels(draft, ppi=ppi, window=(left, top, width, height))
    cover = cover_pixels(outlines, width_px=width, height_px=height)
    count = len(draft.patches)
    order = np.argsort(cover.part_place, kind="stable")
    place, first = np.unique(cover.part_place[order], return_index=True)
    weight = cover.part_weight
    if len(place):
        # Parts sum to 1 but for rounding, and but for the last row and column beyond the block's edge.
        sums = np.add.reduceat(weight[order], first)
        weight[order] = weight[order] / np.repeat(sums, np.diff(first, append=len(order)))
    numbers = np.array([patch.number for patch in draft.patches], np.int32)
    return Frame(
        draft=draft,
        ppi=float(ppi),
        whole_width_px=whole_w,
        whole_height_px=whole_h,
        left_px=left,
        top_px=top,
        width_px=width,
        height_px=height,
        run_first=np.searchsorted(cover.run_owner, np.arange(count + 1)),
        run_start=cover.run_start,
        run_length=cover.run_length,
        part_first=np.searchsorted(cover.part_owner, np.arange(count + 1)),
        part_place=cover.part_place,
        part_weight=weight.astype(np.float32),
        shared_place=place,
        shared_first=first,
        shared_order=order,
        labels=_labels(cover, numbers, size=width * height).reshape(height, width),
    )


def _whole_px(draft: Draft, ppi: float) -> tuple[int, int]:
    if not isfinite(ppi) or ppi <= 0:
        raise FrameError(
            f"A picture of {ppi:g} pixels per inch cannot be drawn.",
            mend="Give pixels per inch as a number above 0; 80 suits a screen, 300 a print.",
        )
    sides = (draft.finished_width_in, draft.finished_height_in)
    # Half a pixel more goes to the larger size, so that no more than half a pixel of cloth is cut off.
    wide, high = (max(1, int(float(side) * ppi + 0.5)) for side in sides)
    return wide, high


def _check_window(window: tuple[int, int, int, int], *, whole: tuple[int, int]) -> None:
    left, top, width, height = window
    if width < 1 or height < 1 or left < 0 or top < 0 or left + width > whole[0] or top + height > whole[1]:
        raise FrameError(
            f"The window {width} x {height} px at ({left}, {top}) leaves the picture of "
            f"{whole[0]} x {whole[1]} px.",
            mend="Choose a window inside the picture.",
        )
    if width * height > MOST_PIXELS:
        raise FrameError(
            f"A picture of {width} x {height} pixels is too big to draw at once.",
            mend=f"Ask for fewer pixels per inch; up to {MOST_PIXELS // 1_000_000} million pixels are drawn.",
        )


def _in_pixels(
    draft: Draft, *, ppi: float, window: tuple[int, int, int, int]
) -> list[tuple[int, NDArray[np.float64]]]:
    """The boundaries of what shows, in pixels of the window, with their owners; those outside it left out.

    What shows is cut out truly, not blended layer over layer: where a leaf's edge falls on a seam, pixels
    belong to three patches, and only their true areas mix to the right colour there.
    """
    left, top, width, height = window
    found = []
    for owner, parts in enumerate(visible_outlines(draft)):
        for ring in (ring for part in parts for ring in part):
            moved = np.array([(float(x), float(y)) for x, y in ring]) * ppi - (left, top)
            low, high = moved.min(axis=0), moved.max(axis=0)
            if high[0] > 0 and high[1] > 0 and low[0] < width and low[1] < height:
                found.append((owner, moved))
    return found


def _labels(cover: Coverage, numbers: NDArray[np.int32], *, size: int) -> NDArray[np.int32]:
    labels = np.zeros(size, np.int32)
    light_first = np.argsort(cover.part_weight, kind="stable")
    labels[cover.part_place[light_first]] = numbers[cover.part_owner[light_first]]
    ends = cover.run_start + cover.run_length
    # Runs of one owner are disjoint and whole pixels have one owner: ups and downs sum to its number.
    steps = np.zeros(size + 1, np.int32)
    np.add.at(steps, cover.run_start, numbers[cover.run_owner])
    np.add.at(steps, ends, -numbers[cover.run_owner])
    whole = np.cumsum(steps[:-1], dtype=np.int32)
    return np.where(whole > 0, whole, labels)
