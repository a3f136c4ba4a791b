"""Paints a frame in its cloths: mixed in linear light, encoded once at the end."""

from __future__ import annotations

from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import srgb8_of_lin16
from preview.frame import Frame
from preview.keeping import PaintCache
from preview.laying import Laid
from preview.sampling import ClothGroup, group_by_cloth, prepare_group, sample_light
from preview.tiles import Tile
from preview.wear import Dressed, identity_of

__all__ = ["paint", "paint_lin"]

_NOTHING = -1

_FOUR_PIXELS = np.complex128
"""Sixteen bytes that are moved as one: nothing is ever computed with them."""


class _Canvas:
    """The last picture of a frame, and which cloth each patch showed in it."""

    __slots__ = ("cloth", "fours", "numbers", "place", "size", "slot_lin16", "words")

    def __init__(self, frame: Frame) -> None:
        self.size = frame.width_px * frame.height_px
        self.fours = np.zeros(-(-self.size // 4), _FOUR_PIXELS)
        self.words = self.fours.view(np.uint32)
        """Packed sRGB bytes, a few more than the picture has pixels; `fours` are the same four by four."""
        self.slot_lin16 = np.zeros((len(frame.part_slot), 4), np.uint16)
        """What each part of a shared pixel shows."""
        self.cloth = np.full(len(frame.scene), _NOTHING, np.int64)
        self.place = np.zeros((len(frame.scene), 4))
        self.numbers: dict[tuple[object, ...], int] = {}
        """Cloths that were ever shown, numbered."""

    @property
    def kept_bytes(self) -> int:
        return self.words.nbytes + self.slot_lin16.nbytes + self.cloth.nbytes + self.place.nbytes

    def changes(self, group: ClothGroup) -> tuple[int, NDArray[np.bool_]]:
        """The cloth's number, and which of the group's patches show something else so far."""
        number = self.numbers.setdefault(identity_of(group.swatch), len(self.numbers))
        other_place = (self.place[group.owners] != group.places).any(axis=1)
        return number, (self.cloth[group.owners] != number) | other_place


def paint(frame: Frame, audition: Dressed, *, cache: PaintCache | None = None) -> NDArray[np.uint8]:
    """The picture, (height, width, 3) sRGB.

    With a cache, patches that did not change since the frame was last painted are not painted again;
    the picture is the same to the bit. The audition must be of the frame's block or quilt.
    """
    if len(audition.wear) != len(frame.scene):
        raise ValueError(f"the frame has {len(frame.scene)} patches, the audition {len(audition.wear)}")
    kept = cache if cache is not None else PaintCache()
    with kept.lock:
        canvas = kept.get(("canvas", frame.token), lambda: _Canvas(frame), weigh=lambda made: made.kept_bytes)
        touched: list[NDArray[np.int64]] = []
        for whole in group_by_cloth(frame, audition.wear):
            number, changed = canvas.changes(whole)
            if not changed.any():
                continue
            group = whole.only(changed)
            # Should painting fail half-way, nothing may be taken for painted.
            canvas.cloth[group.owners] = _NOTHING
            laid, tile = prepare_group(frame, group, cache=kept)
            _fill(canvas, laid, tile)
            touched.append(laid.slot)
            canvas.cloth[group.owners], canvas.place[group.owners] = number, group.places
        _mix_shared(frame, canvas, touched)
        rgba = canvas.words[: canvas.size].view(np.uint8).reshape(frame.height_px, frame.width_px, 4)
        return np.asarray(cv2.cvtColor(rgba, cv2.COLOR_RGBA2RGB), np.uint8)


def paint_lin(frame: Frame, audition: Dressed, *, cache: PaintCache | None = None) -> NDArray[np.float32]:
    """The picture before encoding, (height, width, 3) linear light from 0 to 1: for measuring."""
    kept = cache if cache is not None else PaintCache()
    light = np.zeros((frame.width_px * frame.height_px, 4), np.uint16)
    slot_lin16 = np.zeros((len(frame.part_slot), 4), np.uint16)
    for group in group_by_cloth(frame, audition.wear):
        laid, tile = prepare_group(frame, group, cache=kept)
        for stretch in sample_light(laid, tile):
            place = stretch.whole_place
            whole = len(place)
            light[place] = stretch.lin16[:whole]
            slot_lin16[stretch.slot] = stretch.lin16[whole:]
    ranks = np.arange(len(frame.shared_place))
    light[frame.shared_place] = _mixed(frame, slot_lin16, ranks)
    return light.reshape(frame.height_px, frame.width_px, 4)[..., :3].astype(np.float32) / np.float32(65535)


def _fill(canvas: _Canvas, laid: Laid, tile: Tile) -> None:
    for stretch in sample_light(laid, tile):
        fours, lone = 4 * len(stretch.four_place), len(stretch.lone_place)
        words = _encode(stretch.lin16[: fours + lone])
        if fours:
            canvas.fours[stretch.four_place] = words[:fours].view(_FOUR_PIXELS)
        if lone:
            canvas.words[stretch.lone_place] = words[fours:]
        if len(stretch.slot):
            canvas.slot_lin16[stretch.slot] = stretch.lin16[fours + lone :]


def _mix_shared(frame: Frame, canvas: _Canvas, touched: list[NDArray[np.int64]]) -> None:
    """Shared pixels of which a part was painted anew: mixed and encoded again."""
    slots = np.concatenate([*touched, np.empty(0, np.int64)])
    if not len(slots):
        return
    if len(slots) == len(frame.part_slot):
        ranks = np.arange(len(frame.shared_place))
    else:
        layer = np.searchsorted(frame.layer_first, slots, side="right") - 1
        fresh = np.zeros(len(frame.shared_place), bool)
        fresh[slots - frame.layer_first[layer]] = True
        ranks = np.flatnonzero(fresh)
    canvas.words[frame.shared_place[ranks]] = _encode(_mixed(frame, canvas.slot_lin16, ranks))


def _mixed(frame: Frame, slot_lin16: NDArray[np.uint16], ranks: NDArray[np.int64]) -> NDArray[np.uint16]:
    """The light of the shared pixels of these ranks (ascending): that of their parts, mixed by area."""
    light = np.zeros((len(ranks), 4), np.float32)
    every = len(ranks) == len(frame.shared_place)
    for first, end in pairwise(frame.layer_first.tolist()):
        # A layer holds the first ranks, up to its length.
        count = int(np.searchsorted(ranks, end - first))
        slots = slice(first, end) if every else first + ranks[:count]
        light[:count] += slot_lin16[slots] * frame.slot_weight[slots, None]
    light += np.float32(0.5)
    return light.astype(np.uint16)


def _encode(lin16: NDArray[np.uint16]) -> NDArray[np.uint32]:
    """Packed sRGB bytes of (n, 4) linear light."""
    if not len(lin16):
        return np.empty(0, np.uint32)
    codes = np.asarray(cv2.LUT(lin16, srgb8_of_lin16()[None]), np.uint8)
    return codes.reshape(-1, 4).view(np.uint32)[:, 0]
