"""The geometry of a picture: which patch owns each pixel, and by how much where several share one."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise
from math import isfinite

import numpy as np
from numpy.typing import NDArray

from blocks.quilt import Quilt
from blocks.values import Draft
from preview.coverage import Coverage, cover_outlines
from preview.scene import Scene, scene_of

__all__ = ["MOST_PIXELS", "Frame", "FrameError", "prepare_frame", "whole_px"]

MOST_PIXELS = 160_000_000
"""A picture drawn at once (ours): a 12-inch block at 1000 ppi. Larger ones are drawn in windows."""

_Ints = NDArray[np.int64]


class FrameError(ValueError):
    """A picture size that cannot be drawn. Carries how to mend it."""

    def __init__(self, message: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(message)


@dataclass(frozen=True, eq=False)
class Frame:
    """A block or a quilt cut up into pixels; no cloth in it. Build it with prepare_frame.

    Owners count from 0 in the order of the scene's patches. A pixel's place is row * width_px + column.
    Owner i has the whole runs `run_first[i]` up to `run_first[i + 1]`, and the shared pixels ("parts")
    `part_first[i]` up to `part_first[i + 1]`.

    Shared pixels are ranked by how many share them, most first. The parts are kept in layers: the first
    part of every pixel, then the second parts of all that have one more, and so on: layer k lies in the
    slots from `layer_first[k]` on, in the order of the pixels' ranks. Mixing is then plain addition.
    """

    scene: Scene
    ppi: float
    whole_width_px: int
    """Width of the whole picture: round(finished width x ppi), at least 1."""
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
    part_slot: _Ints
    """Where each part lies in the layers."""
    slot_weight: NDArray[np.float32]
    """Shares of one pixel sum to 1."""
    layer_first: _Ints
    """Where each layer begins, and a last entry for where they end."""
    shared_place: _Ints
    """The shared pixels, by rank."""
    token: object = field(default_factory=object)
    """Stands for this frame in caches."""

    @property
    def part_weight(self) -> NDArray[np.float32]:
        """The share of each part, owner by owner."""
        return self.slot_weight[self.part_slot]

    @property
    def kept_bytes(self) -> int:
        """Its size in memory, without the scene it shares with other frames."""
        arrays = (self.run_first, self.run_start, self.run_length, self.part_first, self.part_place)
        more = (self.part_slot, self.slot_weight, self.shared_place)
        return sum(array.nbytes for array in (*arrays, *more))

    @cached_property
    def labels(self) -> NDArray[np.int32]:
        """(height_px, width_px): the patch number that owns most of each pixel; 0 for none."""
        return _labels(self).reshape(self.height_px, self.width_px)

    @cached_property
    def present(self) -> NDArray[np.bool_]:
        """Which owners have any pixel of this window."""
        return np.asarray((np.diff(self.run_first) > 0) | (np.diff(self.part_first) > 0))


def prepare_frame(
    subject: Draft | Quilt | Scene, *, ppi: float, window_px: tuple[int, int, int, int] | None = None
) -> Frame:
    """The pixels of a block or a quilt at a resolution, or of a window of it.

    Pixel (r, c) of the whole picture covers [c, c+1) / ppi by [r, r+1) / ppi inches exactly, at any ppi;
    the last row and column are filled out to the edge. `window_px` is (left, top, width, height) in
    pixels of the whole picture: windows drawn apart join without a difference. For many windows of one
    subject, give its scene.
    Raises: FrameError if the size is no size, too big to draw at once, or the window leaves the picture.
    """
    scene = scene_of(subject)
    whole_w, whole_h = whole_px(scene, ppi=ppi)
    left, top, width, height = window_px if window_px is not None else (0, 0, whole_w, whole_h)
    _check_window((left, top, width, height), whole=(whole_w, whole_h))
    cover = _cover(scene, ppi=ppi, window=(left, top, width, height))
    owners = np.arange(len(scene) + 1)
    place, layer_first, slot = _in_layers(cover.part_place)
    weight = np.empty(len(slot))
    weight[slot] = cover.part_weight
    return Frame(
        scene=scene,
        ppi=float(ppi),
        whole_width_px=whole_w,
        whole_height_px=whole_h,
        left_px=left,
        top_px=top,
        width_px=width,
        height_px=height,
        run_first=np.searchsorted(cover.run_owner, owners),
        run_start=cover.run_start,
        run_length=cover.run_length,
        part_first=np.searchsorted(cover.part_owner, owners),
        part_place=cover.part_place,
        part_slot=slot,
        slot_weight=_summing_to_one(weight, layer_first, pixels=len(place)),
        layer_first=layer_first,
        shared_place=place,
    )


def whole_px(subject: Draft | Quilt | Scene, *, ppi: float) -> tuple[int, int]:
    """Width and height of the whole picture in pixels.

    Raises: FrameError if the resolution is no number above 0.
    """
    if not isfinite(ppi) or ppi <= 0:
        raise FrameError(
            f"A picture of {ppi:g} pixels per inch cannot be drawn.",
            mend="Give pixels per inch as a number above 0; 80 suits a screen, 300 a print.",
        )
    scene = scene_of(subject)
    # Half a pixel more goes to the larger size, so that no more than half a pixel of cloth is cut off.
    wide, high = (max(1, int(float(side) * ppi + 0.5)) for side in (scene.width_in, scene.height_in))
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


def _cover(scene: Scene, *, ppi: float, window: tuple[int, int, int, int]) -> Coverage:
    """The coverage of what shows, from the rings that reach into the window.

    What shows is cut out truly, not blended layer over layer: where a leaf's edge falls on a seam, pixels
    belong to three patches, and only their true areas mix to the right colour there.
    """
    left, top, width, height = window
    box = scene.outline_boxes() * ppi - (left, top, left, top)
    inside = (box[:, 2] > 0) & (box[:, 3] > 0) & (box[:, 0] < width) & (box[:, 1] < height)
    length = np.diff(scene.ring_first)
    points = scene.points_in if inside.all() else scene.points_in[np.repeat(inside, length)]
    return cover_outlines(
        points * ppi - (left, top),
        first=np.append(0, np.cumsum(length[inside])),
        owner=scene.ring_owner[inside],
        width_px=width,
        height_px=height,
    )


def _in_layers(part_place: _Ints) -> tuple[_Ints, _Ints, _Ints]:
    """Shared places by rank, where the layers begin, and the slot of every part."""
    order = np.argsort(part_place, kind="stable")
    place, first, count = np.unique(part_place[order], return_index=True, return_counts=True)
    by_rank = np.argsort(-count, kind="stable")
    rank = np.empty(len(place), np.int64)
    rank[by_rank] = np.arange(len(place))
    deepest = int(count.max()) if len(count) else 0
    widths = [int(np.count_nonzero(count > k)) for k in range(deepest)]
    layer_first = np.append(0, np.cumsum(widths, dtype=np.int64)).astype(np.int64)
    slot = np.empty(len(part_place), np.int64)
    nth = np.arange(len(part_place)) - np.repeat(first, count)
    slot[order] = layer_first[nth] + np.repeat(rank, count)
    return place[by_rank], layer_first, slot


def _summing_to_one(weight: NDArray[np.float64], layer_first: _Ints, *, pixels: int) -> NDArray[np.float32]:
    """Parts sum to 1 but for rounding, and but for the last row and column beyond the edge: then exactly."""
    sums = np.zeros(pixels)
    for first, end in pairwise(layer_first.tolist()):
        sums[: end - first] += weight[first:end]
    for first, end in pairwise(layer_first.tolist()):
        weight[first:end] /= sums[: end - first]
    return weight.astype(np.float32)


def _labels(frame: Frame) -> NDArray[np.int32]:
    size, numbers = frame.width_px * frame.height_px, frame.scene.numbers
    labels = np.zeros(size, np.int32)
    light_first = np.argsort(frame.part_weight, kind="stable")
    labels[frame.part_place[light_first]] = np.repeat(numbers, np.diff(frame.part_first))[light_first]
    # Runs of one owner are disjoint and whole pixels have one owner: ups and downs sum to its number.
    number = np.repeat(numbers, np.diff(frame.run_first))
    steps = np.zeros(size + 1, np.int32)
    np.add.at(steps, frame.run_start, number)
    np.add.at(steps, frame.run_start + frame.run_length, -number)
    whole = np.cumsum(steps[:-1], dtype=np.int32)
    return np.where(whole > 0, whole, labels)
