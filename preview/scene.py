"""What there is to draw, as plain columns of numbers: outlines that show, and the way from each to its cloth.

A quilt is not written out for it: what a design shows is worked out once and moved to every repeat.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion, Number
from blocks.quilt import Quilt
from blocks.values import Bend, Draft, Patch
from blocks.visible import Part, visible_outlines
from preview.repeating import Turns, invert, row_of, slot_rows

__all__ = ["Bent", "Scene", "scene_of"]

_Floats = NDArray[np.float64]
_Ints = NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class Bent:
    """Patches that lie along one bend, each after a motion of its own."""

    bend: Bend
    owners: _Ints
    back: _Floats
    """(n, 4) rows (cos, sin, dx, dy): from the picture to the frame of the bend."""


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """A block or a quilt ready to be cut into pixels. Patches ("owners") count from 0."""

    name: str
    width_in: Number
    height_in: Number
    numbers: NDArray[np.int32]
    """The number of each patch, from 1."""
    roles: tuple[str, ...]
    pieces: _Ints
    """The piece each patch is cut from."""
    stitched: NDArray[np.bool_]
    """Whether it is appliqué."""
    to_piece: _Floats
    """(n, 4) rows: from the picture to the cut piece; without meaning for a patch that is bent."""
    bent: tuple[Bent, ...]
    points_in: _Floats
    """Corners of all boundaries of what shows, one ring after the other; the inside on the right hand."""
    ring_first: _Ints
    """Where each ring begins, and a last entry for where they end."""
    ring_owner: _Ints
    token: object = field(default_factory=object)
    """Stands for this scene in caches."""

    def __len__(self) -> int:
        return len(self.roles)

    def outline_boxes(self) -> _Floats:
        """(rings, 4): left, top, right and bottom of every ring, in inches."""
        if not len(self.ring_owner):
            return np.empty((0, 4))
        first = self.ring_first[:-1]
        low = np.minimum.reduceat(self.points_in, first)
        return np.column_stack([low, np.maximum.reduceat(self.points_in, first)])

    def bent_owners(self) -> _Ints:
        """Patches that lie along a bend."""
        return np.concatenate([*(each.owners for each in self.bent), np.empty(0, np.int64)])


def scene_of(subject: Draft | Quilt | Scene) -> Scene:
    """The scene of a block or a quilt; patches in the order of `patches`, or of the quilt's repeats."""
    if isinstance(subject, Scene):
        return subject
    return _scene_of_quilt(subject) if isinstance(subject, Quilt) else _scene_of_draft(subject)


def _scene_of_draft(draft: Draft) -> Scene:
    points, first, owner = _flat(visible_outlines(draft))
    return Scene(
        name=draft.name,
        width_in=draft.finished_width_in,
        height_in=draft.finished_height_in,
        numbers=np.array([patch.number for patch in draft.patches], np.int32),
        roles=tuple(patch.role for patch in draft.patches),
        pieces=np.array([patch.piece for patch in draft.patches], np.int64),
        stitched=np.array([patch.is_applique() for patch in draft.patches], bool),
        to_piece=_rows(draft.patches),
        bent=tuple(
            Bent(patch.to_piece, np.array([i]), np.array([[1.0, 0.0, 0.0, 0.0]]))
            for i, patch in enumerate(draft.patches)
            if isinstance(patch.to_piece, Bend)
        ),
        points_in=points,
        ring_first=first,
        ring_owner=owner,
    )


def _scene_of_quilt(quilt: Quilt) -> Scene:
    """Each design once; then every column of every repeat by arithmetic on the design's."""
    count = len(quilt)
    roles = np.empty(count, object)
    pieces, stitched, to_piece = np.zeros(count, np.int64), np.zeros(count, bool), np.zeros((count, 4))
    rings: list[tuple[_Floats, _Ints, _Ints]] = []
    bent: list[Bent] = []
    for design in quilt.designs():
        turns = Turns.of(quilt, design)
        alone = turns.alone()
        owners = turns.first_owner[:, None] + np.arange(len(alone.patches))
        roles[owners] = [patch.role for patch in alone.patches]
        stitched[owners] = [patch.is_applique() for patch in alone.patches]
        pieces[owners], to_piece[owners] = slot_rows(quilt, design, turns)
        rings.append(_moved_rings(_flat(visible_outlines(alone)), turns))
        bent += [
            Bent(patch.to_piece, owners[:, i], invert(turns.motions))
            for i, patch in enumerate(alone.patches)
            if isinstance(patch.to_piece, Bend)
        ]
    lengths = np.concatenate([length for _, length, _ in rings])
    return Scene(
        name=quilt.name,
        width_in=quilt.finished_width_in,
        height_in=quilt.finished_height_in,
        numbers=np.arange(1, count + 1, dtype=np.int32),
        roles=tuple(roles),
        pieces=pieces,
        stitched=stitched,
        to_piece=to_piece,
        bent=tuple(bent),
        points_in=np.concatenate([points for points, _, _ in rings]),
        ring_first=np.append(0, np.cumsum(lengths)),
        ring_owner=np.concatenate([owner for _, _, owner in rings]),
    )


def _moved_rings(flat: tuple[_Floats, _Ints, _Ints], turns: Turns) -> tuple[_Floats, _Ints, _Ints]:
    """Points, ring lengths and ring owners of a design's rings in every repeat."""
    points, first, owner = flat
    cos, sin, dx, dy = (column[:, None] for column in turns.motions.T)
    x, y = points.T
    moved = np.stack([cos * x - sin * y + dx, sin * x + cos * y + dy], axis=-1).reshape(-1, 2)
    return moved, np.tile(np.diff(first), len(dx)), (turns.first_owner[:, None] + owner).ravel()


def _flat(shown: Sequence[tuple[Part, ...]]) -> tuple[_Floats, _Ints, _Ints]:
    rings = [(owner, ring) for owner, parts in enumerate(shown) for part in parts for ring in part]
    points = np.array([(float(x), float(y)) for _, ring in rings for x, y in ring]).reshape(-1, 2)
    first = np.append(0, np.cumsum([len(ring) for _, ring in rings], dtype=np.int64))
    return points, first, np.array([owner for owner, _ in rings], np.int64)


def _rows(patches: Sequence[Patch]) -> _Floats:
    stay = (1.0, 0.0, 0.0, 0.0)
    rows = [row_of(p.to_piece) if isinstance(p.to_piece, Motion) else stay for p in patches]
    return np.array(rows, np.float64).reshape(-1, 4)
