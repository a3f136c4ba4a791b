"""Paints a frame in the cloths of an audition: one gather of 16-bit linear light, encoded once at the end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion
from palettes.encodings import srgb8_of_lin16
from preview.audition import Audition
from preview.frame import Frame
from preview.keeping import PaintCache
from preview.laying import SAMPLE_ROW, Laid, lay_cloth
from preview.tiles import Tile, prefilter
from swatches.swatch import Swatch

__all__ = ["paint", "paint_lin"]

_ROWS_AT_ONCE = 256
"""Rows of samples handled at a time: their light then stays in the processor's cache."""


@dataclass(frozen=True, slots=True, eq=False)
class _Group:
    """Patches of one role in one cloth."""

    key: tuple[object, ...]
    swatch: Swatch
    owners: tuple[int, ...]
    places: tuple[Motion, ...]


@dataclass(slots=True, eq=False)
class _Canvas:
    """The last picture of a frame, and what it was painted from."""

    words: NDArray[np.uint32]
    """(height * width,) packed sRGB bytes."""
    part_lin16: NDArray[np.uint16]
    """(parts, 4) what each part of a shared pixel shows."""
    painted: set[tuple[object, ...]] = field(default_factory=set)


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
        groups = _groups(frame, audition)
        fresh = [group for group in groups if group.key not in canvas.painted]
        # Should painting fail half-way, nothing may be taken for painted.
        canvas.painted = set()
        for group in fresh:
            _fill(canvas, *_prepare(frame, group, kept))
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
    for group in _groups(frame, audition):
        laid, tile = _prepare(frame, group, kept)
        for samples, lin16 in _samples(laid, tile):
            whole, part = _targets(laid, samples)
            light[whole] = lin16[: len(whole)]
            part_lin16[part] = lin16[len(whole) :]
    light[frame.shared_place] = _blend(frame, part_lin16)
    return light.reshape(frame.height_px, frame.width_px, 4)[..., :3].astype(np.float32) / np.float32(65535)


def _groups(frame: Frame, audition: Audition) -> list[_Group]:
    """Patches by role and cloth: changing a role's cloth then touches one group."""
    found: dict[tuple[object, ...], list[int]] = {}
    for owner, patch in enumerate(frame.draft.patches):
        swatch = audition.cloth_of(patch)
        found.setdefault((patch.role, *_identity(swatch)), []).append(owner)
    groups = []
    for name, owners in found.items():
        patches = [frame.draft.patches[owner] for owner in owners]
        places = tuple(audition.place_of(patch) for patch in patches)
        key = (*name, tuple(owners), places)
        groups.append(_Group(key, audition.cloth_of(patches[0]), tuple(owners), places))
    return groups


def _identity(swatch: Swatch) -> tuple[object, ...]:
    return swatch.key, swatch.ppi, swatch.repeats, swatch.tile_srgb8.shape


def _prepare(frame: Frame, group: _Group, kept: PaintCache) -> tuple[Laid, Tile]:
    tile = kept.get(
        ("tile", *_identity(group.swatch), frame.ppi),
        lambda: prefilter(group.swatch, ppi=frame.ppi),
        weigh=lambda made: made.lin16.nbytes,
    )
    laid = kept.get(
        ("laid", frame.token, group.key),
        lambda: lay_cloth(frame, tile, owners=group.owners, places=group.places),
        weigh=lambda made: made.weight_bytes,
    )
    return laid, tile


def _fill(canvas: _Canvas, laid: Laid, tile: Tile) -> None:
    for samples, lin16 in _samples(laid, tile):
        whole, part = _targets(laid, samples)
        canvas.words[whole] = _encode(lin16[: len(whole)])
        canvas.part_lin16[part] = lin16[len(whole) :]


def _samples(laid: Laid, tile: Tile) -> Iterator[tuple[slice, NDArray[np.uint16]]]:
    """Stretches of samples, as a slice and their (n, 4) light."""
    count = len(laid.whole_place) + len(laid.part)
    for row in range(0, len(laid.x_px), _ROWS_AT_ONCE):
        rows = slice(row, row + _ROWS_AT_ONCE)
        taken = cv2.remap(
            tile.lin16, laid.x_px[rows], laid.y_px[rows], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
        lin16 = np.asarray(taken, np.uint16).reshape(-1, 4)
        samples = slice(row * SAMPLE_ROW, min(row * SAMPLE_ROW + len(lin16), count))
        lin16 = lin16[: samples.stop - samples.start]
        if len(laid.beyond):
            low, high = np.searchsorted(laid.beyond, (samples.start, samples.stop))
            lin16[laid.beyond[low:high] - samples.start] = laid.beyond_lin16[low:high, None]
        yield samples, lin16


def _targets(laid: Laid, samples: slice) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Where a stretch of samples goes: whole pixels of the picture, then parts."""
    whole = len(laid.whole_place)
    return (
        laid.whole_place[samples.start : min(samples.stop, whole)],
        laid.part[max(samples.start - whole, 0) : max(samples.stop - whole, 0)],
    )


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
    codes = cv2.LUT(np.ascontiguousarray(lin16), srgb8_of_lin16()[None])
    return np.ascontiguousarray(codes).view(np.uint32)[:, 0]
