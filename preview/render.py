"""Paints a frame in the cloths of an audition: mixed in linear light, encoded once at the end."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_of_lin16
from preview.audition import Audition
from preview.frame import Frame
from preview.keeping import PaintCache
from preview.laying import Laid
from preview.sampling import group_by_cloth, prepare_group, sample_light
from preview.tiles import Tile

__all__ = ["paint", "paint_lin"]


@dataclass(slots=True, eq=False)
class _Canvas:
    """The last picture of a frame, and what it was painted from."""

    words: NDArray[np.uint32]
    """(height * width,) packed sRGB bytes."""
    part_lin16: NDArray[np.uint16]
    """(parts, 4) what each part of a shared pixel shows."""
    painted: set[tuple[object, ...]] = field(default_factory=set)
    """The keys of the groups that the pixels show now."""


def paint(frame: Frame, audition: Audition, *, cache: PaintCache | None = None) -> NDArray[np.uint8]:
    """The picture, (height, width, 3) sRGB.

    With a cache, what did not change since the frame was last painted is not painted again; the
    picture is the same to the bit. The audition must be of the frame's draft.
    """
    kept = cache if cache is not None else PaintCache()
    with kept.lock:
        canvas = kept.get(
            ("canvas", frame.token),
            lambda: _Canvas(
                np.zeros(frame.width_px * frame.height_px, np.uint32),
                np.zeros((len(frame.part_place), 4), np.uint16),
            ),
            weigh=lambda made: made.words.nbytes + made.part_lin16.nbytes,
        )
        groups = group_by_cloth(frame, audition)
        fresh = [group for group in groups if group.key not in canvas.painted]
        # Should painting fail half-way, nothing may be taken for painted.
        canvas.painted = set()
        for group in fresh:
            _fill(canvas, *prepare_group(frame, group, cache=kept))
        if fresh:
            canvas.words[frame.shared_place] = _encode(_blend(frame, canvas.part_lin16))
        canvas.painted = {group.key for group in groups}
        rgba = canvas.words.view(np.uint8).reshape(frame.height_px, frame.width_px, 4)
        return np.asarray(cv2.cvtColor(rgba, cv2.COLOR_RGBA2RGB), np.uint8)


def paint_lin(frame: Frame, audition: Audition, *, cache: PaintCache | None = None) -> NDArray[np.float32]:
    """The picture before encoding, (height, width, 3) linear light from 0 to 1: for measuring."""
    kept = cache if cache is not None else PaintCache()
    light = np.zeros((frame.width_px * frame.height_px, 4), np.uint16)
    part_lin16 = np.zeros((len(frame.part_place), 4), np.uint16)
    for group in group_by_cloth(frame, audition):
        laid, tile = prepare_group(frame, group, cache=kept)
        for stretch in sample_light(laid, tile):
            whole = len(stretch.whole_place)
            light[stretch.whole_place] = stretch.lin16[:whole]
            part_lin16[stretch.part] = stretch.lin16[whole:]
    light[frame.shared_place] = _blend(frame, part_lin16)
    return light.reshape(frame.height_px, frame.width_px, 4)[..., :3].astype(np.float32) / np.float32(65535)


def _fill(canvas: _Canvas, laid: Laid, tile: Tile) -> None:
    for stretch in sample_light(laid, tile):
        whole = len(stretch.whole_place)
        canvas.words[stretch.whole_place] = _encode(stretch.lin16[:whole])
        canvas.part_lin16[stretch.part] = stretch.lin16[whole:]


def _blend(frame: Frame, part_lin16: NDArray[np.uint16]) -> NDArray[np.uint16]:
    """Shared pixels: the light of their parts, mixed by area."""
    if not len(frame.shared_place):
        return np.empty((0, 4), np.uint16)
    order = frame.shared_order
    light = part_lin16[order] * frame.part_weight[order, None]
    return np.rint(np.add.reduceat(light, frame.shared_first, axis=0)).astype(np.uint16)


def _encode(lin16: NDArray[np.uint16]) -> NDArray[np.uint32]:
    """Packed sRGB bytes of (n, 4) linear light."""
    if not len(lin16):
        return np.empty(0, np.uint32)
    codes = np.asarray(cv2.LUT(np.ascontiguousarray(lin16), srgb8_of_lin16()[None]), np.uint8)
    return codes.reshape(-1, 4).view(np.uint32)[:, 0]
