"""Lays one cloth under its patches: for every sample of the picture, the texel of the cloth it shows."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from preview.cloth_maps import along_bend
from preview.frame import Frame
from preview.repeating import compose
from preview.scene import Bent
from preview.tiles import Tile

__all__ = ["SAMPLE_ROW", "Laid", "lay_cloth"]

SAMPLE_ROW = 1024
"""Samples are kept in rows of this many: the remapping of OpenCV wants a rectangle below 32767 a side."""

_SAMPLES_AT_ONCE = 1 << 17
"""Laid at a time, so that what is only needed on the way stays in the processor's cache."""

_FOUR = 4

_TURNED = 0.5
_STRIP_PX = 64
"""A row of a patch that is turned on its cloth runs down the cloth's picture, through one page of memory
after another. Strips of this width keep to few pages: a tenth of the time saved on large cloths."""

_HATCH_PX = 6
"""Width of the light and dark bands, across the picture, that mark what lies beyond the photograph."""
_HATCH_LIN16 = (np.uint16(19500), np.uint16(30000))

_Ints = NDArray[np.int64]
_Floats = NDArray[np.float64]
_Singles = NDArray[np.float32]
_Real = TypeVar("_Real", np.float32, np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """Samples of one cloth: pixels that one patch fills, by fours and then singly; then parts of shared ones.

    Four pixels that follow each other, the first at a multiple of four, are put into the picture as one.
    """

    x_px: _Singles
    """(rows, SAMPLE_ROW) texel coordinates; the last row is filled up with the first texel."""
    y_px: _Singles
    four_place: _Ints
    """For the first samples, four at a time: the first one's place in the picture, divided by four."""
    lone_place: _Ints
    """Picture places of the samples after them."""
    slot: _Ints
    """The slots of the frame's parts that the samples after them are."""
    beyond: _Ints
    """Samples that lie beyond the photographed cloth."""
    beyond_lin16: NDArray[np.uint16]
    """What they show instead: a neutral hatch, (n,)."""

    @property
    def kept_bytes(self) -> int:
        """Its size in memory."""
        kept = (self.x_px, self.y_px, self.four_place, self.lone_place, self.slot, self.beyond)
        return sum(array.nbytes for array in kept)


@dataclass(frozen=True, slots=True, eq=False)
class _Strokes:
    """Runs of samples along picture rows."""

    owner: _Ints
    """Index among the owners that are laid."""
    place: _Ints
    length: _Ints
    first: _Ints
    """The number of its first sample."""

    def some(self, chosen: NDArray[np.bool_] | slice) -> _Strokes:
        """These strokes only."""
        return _Strokes(self.owner[chosen], self.place[chosen], self.length[chosen], self.first[chosen])


def lay_cloth(frame: Frame, tile: Tile, *, owners: _Ints, places: _Floats) -> Laid:
    """The samples of these patches, all cut from one cloth; `places` has a row for each of them."""
    to_cloth = compose(places, frame.scene.to_piece[owners])
    strokes, fours, lone, parts = _strokes_of(frame, owners, turned=np.abs(to_cloth[:, 1]) > _TURNED)
    wholes = fours + lone
    count = wholes + len(parts)
    rows = -(-count // SAMPLE_ROW)
    x_px, y_px = np.zeros(rows * SAMPLE_ROW, np.float32), np.zeros(rows * SAMPLE_ROW, np.float32)
    for some in _in_bits(strokes):
        _lay_straight(frame, tile, some, to_cloth, x_px=x_px, y_px=y_px)
    for bent in frame.scene.bent:
        _lay_bent(frame, tile, strokes, bent, owners=owners, places=places, x_px=x_px, y_px=y_px)
    quads, singles = strokes.first < fours, (strokes.first >= fours) & (strokes.first < wholes)
    four_place = _all_places(strokes.place[quads] // _FOUR, strokes.length[quads] // _FOUR)
    lone_place = _all_places(strokes.place[singles], strokes.length[singles])
    beyond = np.empty(0, np.int64)
    if not tile.repeats:
        x, y = x_px[:count], y_px[:count]
        off = (x < -0.5) | (x > tile.width_px - 0.5) | (y < -0.5) | (y > tile.height_px - 0.5)
        beyond = np.flatnonzero(off)
        np.clip(x, 0, tile.width_px - 1, out=x)
        np.clip(y, 0, tile.height_px - 1, out=y)
    place = np.empty(0, np.int64)
    if len(beyond):
        by_fours = (four_place[:, None] * _FOUR + np.arange(_FOUR)).ravel()
        place = np.concatenate([by_fours, lone_place, frame.part_place[parts]])[beyond]
    return Laid(
        x_px=x_px.reshape(rows, SAMPLE_ROW),
        y_px=y_px.reshape(rows, SAMPLE_ROW),
        four_place=four_place,
        lone_place=lone_place,
        slot=frame.part_slot[parts],
        beyond=beyond,
        beyond_lin16=_hatch(frame, place),
    )


def _strokes_of(
    frame: Frame, owners: _Ints, *, turned: NDArray[np.bool_]
) -> tuple[_Strokes, int, int, _Ints]:
    """Fours, lone pixels, single parts; how many samples the first and second are; the parts' numbers."""
    runs, run_owner = _gather(frame.run_first, owners)
    parts, part_owner = _gather(frame.part_first, owners)
    start, length = frame.run_start[runs], frame.run_length[runs]
    if turned.any() and len(runs) and int(length.max()) > _STRIP_PX:
        run_owner, start, length = _in_strips(frame, run_owner, start, length, turned=turned)
    end = start + length
    first_four = np.minimum(-(-start // _FOUR) * _FOUR, end)
    last_four = np.maximum(end // _FOUR * _FOUR, first_four)
    pieces = [
        (run_owner, first_four, last_four - first_four),
        (run_owner, start, first_four - start),
        (run_owner, last_four, end - last_four),
        (part_owner, frame.part_place[parts], np.ones(len(parts), np.int64)),
    ]
    owner, place, long = (np.concatenate(column) for column in zip(*pieces, strict=True))
    some = long > 0
    strokes = _Strokes(owner[some], place[some], long[some], (np.cumsum(long) - long)[some])
    fours, heads, tails = (int(piece[2].sum()) for piece in pieces[:3])
    return strokes, fours, heads + tails, parts


def _in_strips(
    frame: Frame, owner: _Ints, start: _Ints, length: _Ints, *, turned: NDArray[np.bool_]
) -> tuple[_Ints, _Ints, _Ints]:
    """The runs of turned patches cut at every _STRIP_PX columns and taken strip by strip."""
    column = start % frame.width_px
    first = column // _STRIP_PX
    last = np.where(turned[owner], (column + length - 1) // _STRIP_PX, first)
    which = np.repeat(np.arange(len(start)), last - first + 1)
    nth = np.arange(len(which)) - np.repeat(
        np.cumsum(last - first + 1) - (last - first + 1), last - first + 1
    )
    row_start = (start - column)[which]
    begin = np.maximum(column[which], (first[which] + nth) * _STRIP_PX * (nth > 0))
    end = np.where(
        nth < (last - first)[which], (first[which] + nth + 1) * _STRIP_PX, (column + length)[which]
    )
    strip = np.where(turned[owner[which]], first[which] + nth, 0)
    order = np.lexsort((row_start, strip, owner[which]))
    return owner[which][order], (row_start + begin)[order], (end - begin)[order]


def _gather(first: _Ints, owners: _Ints) -> tuple[_Ints, _Ints]:
    """The entries of these owners in a list sorted by owner, owner after owner, and whose they are."""
    counts = first[owners + 1] - first[owners]
    whose = np.repeat(np.arange(len(owners)), counts)
    begin = np.cumsum(counts) - counts
    return np.arange(len(whose)) + (first[owners] - begin)[whose], whose


def _in_bits(strokes: _Strokes) -> list[_Strokes]:
    if not len(strokes.first):
        return []
    bit = strokes.first // _SAMPLES_AT_ONCE
    cuts = [0, *(np.flatnonzero(np.diff(bit)) + 1).tolist(), len(bit)]
    return [strokes.some(slice(a, b)) for a, b in pairwise(cuts)]


def _all_places(place: _Ints, length: _Ints) -> _Ints:
    """place, place + 1, ... for each run."""
    places: _Ints = np.repeat(place - (np.cumsum(length) - length), length)
    places += np.arange(len(places))
    return places


def _lay_straight(
    frame: Frame, tile: Tile, strokes: _Strokes, to_cloth: _Floats, *, x_px: _Singles, y_px: _Singles
) -> None:
    """Texels of every sample of these strokes: each starts exactly and runs on in equal steps."""
    cos, sin, dx, dy = to_cloth[strokes.owner].T
    x_in, y_in = _block_points(frame, strokes.place).T
    start_x = (cos * x_in - sin * y_in + dx) * tile.x_per_in - tile.offset_px
    start_y = (sin * x_in + cos * y_in + dy) * tile.y_per_in - tile.offset_px
    # Pixels of a row and their steps are exact in single precision.
    first = strokes.first[0]
    samples = slice(first, strokes.first[-1] + strokes.length[-1])
    count = np.arange(samples.stop - first, dtype=np.float32)
    count -= np.repeat((strokes.first - first).astype(np.float32), strokes.length)
    for out, start, step, period in (
        (x_px, start_x, cos * (tile.x_per_in / frame.ppi), _period(tile, tile.width_px)),
        (y_px, start_y, sin * (tile.y_per_in / frame.ppi), _period(tile, tile.height_px)),
    ):
        run = np.repeat(step.astype(np.float32), strokes.length)
        run *= count
        run += np.repeat(_wrapped(start, period).astype(np.float32), strokes.length)
        out[samples] = _wrapped(run, period)


def _lay_bent(
    frame: Frame,
    tile: Tile,
    strokes: _Strokes,
    bent: Bent,
    *,
    owners: _Ints,
    places: _Floats,
    x_px: _Singles,
    y_px: _Singles,
) -> None:
    """All samples along one bend at once, however many repeats have it."""
    index = np.flatnonzero(np.isin(owners, bent.owners))
    if not len(index):
        return
    row = np.zeros(len(owners), np.int64)
    row[index] = np.searchsorted(bent.owners, owners[index])
    mine = strokes.some(np.isin(strokes.owner, index))
    if not len(mine.first):
        return
    samples, whose = np.repeat(mine.first, mine.length), np.repeat(mine.owner, mine.length)
    step = np.arange(len(samples)) - np.repeat(np.cumsum(mine.length) - mine.length, mine.length)
    points = _block_points(frame, np.repeat(mine.place, mine.length) + step)
    strip = along_bend(bent.bend, _moved(bent.back[row[whose]], points))
    cloth = _moved(places[whose], strip)
    samples += step
    across = cloth[:, 0] * tile.x_per_in - tile.offset_px
    down = cloth[:, 1] * tile.y_per_in - tile.offset_px
    x_px[samples] = _wrapped(across, _period(tile, tile.width_px))
    y_px[samples] = _wrapped(down, _period(tile, tile.height_px))


def _moved(rows: _Floats, points: _Floats) -> _Floats:
    cos, sin, dx, dy = rows.T
    x, y = points.T
    return np.column_stack([cos * x - sin * y + dx, sin * x + cos * y + dy])


def _period(tile: Tile, extent_px: int) -> int:
    return extent_px if tile.repeats else 0


def _wrapped(texel: NDArray[_Real], period: int) -> NDArray[_Real]:
    """The texel within the period, the far end included: the tile goes on a little beyond it."""
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


def _hatch(frame: Frame, place: _Ints) -> NDArray[np.uint16]:
    row, column = np.divmod(place, frame.width_px)
    band = (row + frame.top_px + column + frame.left_px) // _HATCH_PX % 2
    return np.where(band == 0, *_HATCH_LIN16)
