"""Lays one cloth under its patches: for every sample of the picture, the texel of the cloth it shows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from blocks.motion import STAY, Motion
from preview.cloth_maps import affine_of, cloth_points
from preview.frame import Frame
from preview.tiles import Tile

__all__ = ["SAMPLE_ROW", "Laid", "lay_cloth"]

SAMPLE_ROW = 1024
"""Samples are kept in rows of this many: the remapping of OpenCV wants a rectangle below 32767 a side."""

_HATCH_PX = 6
"""Width of the light and dark bands, across the picture, that mark what lies beyond the photograph."""
_HATCH_LIN16 = (np.uint16(19500), np.uint16(30000))

_Ints = NDArray[np.int64]
_Floats = NDArray[np.float64]
_Real = TypeVar("_Real", np.float32, np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """Samples of one cloth: first the pixels that one patch fills, then the parts of shared pixels."""

    x_px: NDArray[np.float32]
    """(rows, SAMPLE_ROW) texel coordinates; the last row is filled up with the first texel."""
    y_px: NDArray[np.float32]
    whole_place: _Ints
    """Picture places of the first samples."""
    part: _Ints
    """Part numbers of the frame, for the samples that follow."""
    beyond: _Ints
    """Samples that lie beyond the photographed cloth."""
    beyond_lin16: NDArray[np.uint16]
    """What they show instead: a neutral hatch, (n,)."""

    @property
    def kept_bytes(self) -> int:
        """Its size in memory."""
        return sum(a.nbytes for a in (self.x_px, self.y_px, self.whole_place, self.part, self.beyond))


@dataclass(frozen=True, slots=True, eq=False)
class _Strokes:
    """Runs of samples along picture rows: owner, first place, length."""

    owner: _Ints
    place: _Ints
    length: _Ints


def lay_cloth(frame: Frame, tile: Tile, *, owners: Sequence[int], places: Sequence[Motion]) -> Laid:
    """The samples of the patches with these indices, all cut from one cloth, each at its place."""
    whole = _runs_of(frame, owners)
    parts = _gather(frame.part_first, owners)
    part_strokes = _Strokes(
        np.repeat(np.arange(len(owners)), _counts(frame.part_first, owners)),
        frame.part_place[parts],
        np.ones(len(parts), np.int64),
    )
    pairs = zip(_fields(whole), _fields(part_strokes), strict=True)
    both = _Strokes(*(np.concatenate(pair) for pair in pairs))
    x_px, y_px = _texels(frame, tile, both, owners=owners, places=places)
    place = _all_places(both)
    beyond = np.empty(0, np.int64)
    if not tile.repeats:
        off = (x_px < -0.5) | (x_px > tile.width_px - 0.5) | (y_px < -0.5) | (y_px > tile.height_px - 0.5)
        beyond = np.flatnonzero(off)
        np.clip(x_px, 0, tile.width_px - 1, out=x_px)
        np.clip(y_px, 0, tile.height_px - 1, out=y_px)
    return Laid(
        x_px=_in_rows(x_px),
        y_px=_in_rows(y_px),
        whole_place=place[: int(whole.length.sum())],
        part=parts,
        beyond=beyond,
        beyond_lin16=_hatch(frame, place[beyond]),
    )


def _fields(strokes: _Strokes) -> tuple[_Ints, _Ints, _Ints]:
    return strokes.owner, strokes.place, strokes.length


def _counts(first: _Ints, owners: Sequence[int]) -> _Ints:
    index = np.asarray(owners, np.int64)
    return np.asarray(first[index + 1] - first[index], np.int64)


def _gather(first: _Ints, owners: Sequence[int]) -> _Ints:
    """The entries of these owners in a list sorted by owner, one owner after the other."""
    spans = [np.arange(first[owner], first[owner + 1]) for owner in owners]
    return np.concatenate(spans) if spans else np.empty(0, np.int64)


def _runs_of(frame: Frame, owners: Sequence[int]) -> _Strokes:
    runs = _gather(frame.run_first, owners)
    owner = np.repeat(np.arange(len(owners)), _counts(frame.run_first, owners))
    return _Strokes(owner, frame.run_start[runs], frame.run_length[runs])


def _all_places(strokes: _Strokes) -> _Ints:
    first = np.cumsum(strokes.length) - strokes.length
    places: _Ints = np.repeat(strokes.place - first, strokes.length)
    places += np.arange(len(places))
    return places


def _texels(
    frame: Frame, tile: Tile, strokes: _Strokes, *, owners: Sequence[int], places: Sequence[Motion]
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Texel coordinates of every sample: each stroke starts exactly and runs on in equal steps."""
    patches = [frame.draft.patches[owner] for owner in owners]
    motions = [affine_of(patch, place) for patch, place in zip(patches, places, strict=True)]
    table = [_row_of(motion or STAY) for motion in motions]
    cos, sin, dx, dy = np.array(table).reshape(-1, 4)[strokes.owner].T
    block = _block_points(frame, strokes.place)
    start_x = (cos * block[:, 0] - sin * block[:, 1] + dx) * tile.x_per_in - tile.offset_px
    start_y = (sin * block[:, 0] + cos * block[:, 1] + dy) * tile.y_per_in - tile.offset_px
    x_px = _run_on(start_x, cos * (tile.x_per_in / frame.ppi), strokes.length, _period(tile, tile.width_px))
    y_px = _run_on(start_y, sin * (tile.y_per_in / frame.ppi), strokes.length, _period(tile, tile.height_px))
    for number, motion in enumerate(motions):
        if motion is None:
            mine = strokes.owner == number
            samples = np.repeat(mine, strokes.length)
            own = _Strokes(*(field[mine] for field in _fields(strokes)))
            cloth = cloth_points(patches[number], places[number], _block_points(frame, _all_places(own)))
            across = cloth[:, 0] * tile.x_per_in - tile.offset_px
            down = cloth[:, 1] * tile.y_per_in - tile.offset_px
            x_px[samples] = _wrapped(across, _period(tile, tile.width_px))
            y_px[samples] = _wrapped(down, _period(tile, tile.height_px))
    return x_px, y_px


def _row_of(motion: Motion) -> tuple[float, float, float, float]:
    return float(motion.cos), float(motion.sin), float(motion.dx_in), float(motion.dy_in)


def _period(tile: Tile, extent_px: int) -> int:
    return extent_px if tile.repeats else 0


def _run_on(start: _Floats, step: _Floats, length: _Ints, period: int) -> NDArray[np.float32]:
    """start, start + step, ... for each stroke; wrapped into the period first in double precision."""
    start = _wrapped(start, period)
    first = np.cumsum(length) - length
    total = int(length.sum())
    # Pixels of a row and their steps are exact in single precision.
    count = (np.arange(total) - np.repeat(first, length)).astype(np.float32)
    out: NDArray[np.float32] = np.repeat(step.astype(np.float32), length)
    out *= count
    out += np.repeat(start.astype(np.float32), length)
    return _wrapped(out, period)


def _wrapped(texel: NDArray[_Real], period: int) -> NDArray[_Real]:
    if not period:
        return texel
    turns = np.floor(texel * texel.dtype.type(1 / period))
    turns *= texel.dtype.type(period)
    wrapped: NDArray[_Real] = np.maximum(texel - turns, texel.dtype.type(0))
    return wrapped


def _block_points(frame: Frame, place: _Ints) -> _Floats:
    row, column = np.divmod(place, frame.width_px)
    x = (column + (frame.left_px + 0.5)) / frame.ppi
    y = (row + (frame.top_px + 0.5)) / frame.ppi
    return np.column_stack([x, y])


def _in_rows(samples: NDArray[np.float32]) -> NDArray[np.float32]:
    rows = -(-len(samples) // SAMPLE_ROW)
    padded = np.zeros(rows * SAMPLE_ROW, np.float32)
    padded[: len(samples)] = samples
    return padded.reshape(rows, SAMPLE_ROW)


def _hatch(frame: Frame, place: _Ints) -> NDArray[np.uint16]:
    row, column = np.divmod(place, frame.width_px)
    band = (row + frame.top_px + column + frame.left_px) // _HATCH_PX % 2
    return np.where(band == 0, *_HATCH_LIN16)
