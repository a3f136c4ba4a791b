"""Which unit of a making goes where: of four geese from one square, each takes the place its print suits.

Units of one step look alike, so a maker may put any of them in any of its places. Where a print has an up
and a down the choice matters, and the right one costs nothing.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import atan2, degrees

from shapely import unary_union
from shapely.geometry import Polygon

from blocks.motion import Motion, Point, shift
from blocks.turns import print_turn
from blocks.values import CutRectangle, Draft, Patch

__all__ = ["match_units"]

_NEAR_IN = 1e-9
_MOST_PATCHES = 8
"""No unit that shares its pieces with others has more patches; a square in a square has five."""


@dataclass(frozen=True, slots=True)
class _Place:
    """A unit's place in the block, and the spots on cloth that fill it for now."""

    patches: tuple[Patch, ...]
    from_first: Motion
    """From the first unit of the step to this one."""
    turn_deg: float
    spots: tuple[tuple[int, float], ...]
    """Of each patch in question, its piece, and how its print would lie if the unit were not turned."""


_Making = list[_Place]
_Spots = tuple[tuple[tuple[int, float], ...], ...]
"""Of each unit of a making, its spots as in `_Place`."""


def match_units(draft: Draft, *, roles: Collection[str]) -> Draft:
    """The same block, its units exchanged within their steps so that more prints of a piece lie one way.

    Only units that share pieces are exchanged, as wholes; what is cut stays the same.
    """
    patches = list(draft.patches)
    steps: dict[str, list[int]] = defaultdict(list)
    for i, patch in enumerate(patches):
        steps[patch.step].append(i)
    for members in steps.values():
        if _shares_pieces(draft, members, roles):
            for i, patch in zip(members, _matched([patches[i] for i in members], roles), strict=True):
                patches[i] = patch
    return replace(draft, patches=tuple(patches))


def _shares_pieces(draft: Draft, members: Sequence[int], roles: Collection[str]) -> bool:
    """Whether patches of these roles share rectangles of cloth with others of their step."""
    used = [draft.patches[i].piece for i in members if draft.patches[i].role in roles]
    return len(set(used)) < len(used) and all(
        isinstance(draft.pieces[piece].shape, CutRectangle) for piece in used
    )


def _matched(patches: list[Patch], roles: Collection[str]) -> list[Patch]:
    """The patches of one step, better matched if they can be; as they were if they cannot."""
    makings = _makings(_places(patches, roles))
    before = [tuple(place.turn_deg for place in making) for making in makings]
    if _worth(makings, before) == sum(len(place.spots) for making in makings for place in making):
        return patches
    after = _dealt(makings)
    chosen = [tuple(place.turn_deg for place in dealt) for dealt in after]
    if _worth(makings, chosen) <= _worth(makings, before):
        return patches
    moved = {
        patch.number: patch
        for making, dealt in zip(makings, after, strict=True)
        for spot, place in zip(making, dealt, strict=True)
        for patch in _take(spot, place)
    }
    return [moved[patch.number] for patch in patches]


def _worth(makings: Sequence[_Making], turns: Sequence[tuple[float, ...]]) -> int:
    return sum(_aligned(_spots(making), turns_deg) for making, turns_deg in zip(makings, turns, strict=True))


def _spots(making: _Making) -> _Spots:
    """The spots of a making, pieces numbered from its first one, so that like makings compare equal."""
    first = min((piece for place in making for piece, _ in place.spots), default=0)
    return tuple(tuple((piece - first, base_deg) for piece, base_deg in place.spots) for place in making)


def _aligned(spots: _Spots, turns_deg: Sequence[float]) -> int:
    """How many patches lie as most of their piece do, if units so turned take the first spots of a making."""
    found: dict[int, Counter[float]] = defaultdict(Counter)
    for unit, turn_deg in zip(spots, turns_deg, strict=False):
        for piece, base_deg in unit:
            found[piece][round(base_deg + turn_deg, 6) % 360] += 1
    return sum(max(counts.values()) for counts in found.values())


def _dealt(makings: Sequence[_Making]) -> list[_Making]:
    """The places that the units of each making go to, dealt out making by making."""
    free: dict[float, list[_Place]] = defaultdict(list)
    for place in sorted((place for making in makings for place in making), key=_number, reverse=True):
        free[place.turn_deg].append(place)
    known: dict[tuple[_Spots, tuple[tuple[float, int], ...]], tuple[float, ...]] = {}
    after = []
    for making in makings:
        turns = sorted(
            (turn_deg for turn_deg, places in free.items() if places), key=lambda t: _number(free[t][-1])
        )
        left = tuple((turn_deg, min(len(making), len(free[turn_deg]))) for turn_deg in turns)
        key = (_spots(making), left)
        if key not in known:
            known[key] = _best_turns(key[0], dict(left))
        after.append([free[turn_deg].pop() for turn_deg in known[key]])
    return after


def _number(place: _Place) -> int:
    return place.patches[0].number


def _best_turns(spots: _Spots, left: Mapping[float, int]) -> tuple[float, ...]:
    """The turns of the places that suit a making best, from how many there are of each.

    Every turn is tried for its first unit; each further unit goes where it fits those before it best.
    """
    best: tuple[float, ...] = ()
    for first_deg in left:
        tried: tuple[float, ...] = (first_deg,)
        for _ in spots[1:]:
            free = [turn_deg for turn_deg, count in left.items() if tried.count(turn_deg) < count]
            tried = max(((*tried, turn_deg) for turn_deg in free), key=lambda turns: _aligned(spots, turns))
        if not best or _aligned(spots, tried) > _aligned(spots, best):
            best = tried
    return best


def _take(spot: _Place, place: _Place) -> list[Patch]:
    """The patches at a place, cut from the spots that another place had."""
    across = spot.from_first.after(place.from_first.inverse())
    taken = []
    for patch, source in zip(place.patches, spot.patches, strict=True):
        assert isinstance(source.to_piece, Motion)
        taken.append(replace(patch, piece=source.piece, to_piece=source.to_piece.after(across)))
    return taken


def _makings(places: Sequence[_Place]) -> list[_Making]:
    """Places whose units come from the same pieces, together."""
    makings: list[_Making] = []
    making_of: dict[int, _Making] = {}
    for place in places:
        pieces = [patch.piece for patch in place.patches]
        making = next((making_of[piece] for piece in pieces if piece in making_of), [])
        if not making:
            makings.append(making)
        making.append(place)
        making_of.update(dict.fromkeys(pieces, making))
    return makings


def _places(patches: list[Patch], roles: Collection[str]) -> list[_Place]:
    """The units of a step: runs of patches that fill a rectangle, all alike; none if it has no such runs."""
    size = next((n for n in range(1, _MOST_PATCHES + 1) if _fills_rectangle(patches[:n])), 0)
    if size < 2 or len(patches) % size:
        return []
    first = patches[:size]
    places = []
    for start in range(0, len(patches), size):
        unit = patches[start : start + size]
        motion = _motion_between(first, unit)
        if motion is None:
            return []
        turn_deg = round(degrees(atan2(motion.sin, motion.cos)) % 360, 6) % 360
        spots = tuple(
            (patch.piece, print_turn(patch.to_piece) - turn_deg)
            for patch in unit
            if patch.role in roles and isinstance(patch.to_piece, Motion)
        )
        places.append(_Place(tuple(unit), motion, turn_deg, spots))
    return places


def _fills_rectangle(patches: Sequence[Patch]) -> bool:
    shapes = [Polygon([(float(x), float(y)) for x, y in patch.outline]) for patch in patches]
    box = unary_union(shapes).minimum_rotated_rectangle
    gap = float(box.area) - sum(float(shape.area) for shape in shapes)
    return abs(gap) < _NEAR_IN * max(1.0, float(box.area))


def _motion_between(first: Sequence[Patch], other: Sequence[Patch]) -> Motion | None:
    """The motion that lays one unit on another patch by patch; None if they are not alike."""
    (px, py), (qx, qy) = first[0].outline[:2]
    (ux, uy), (vx, vy) = other[0].outline[:2]
    ax, ay, bx, by = qx - px, qy - py, vx - ux, vy - uy
    long = ax * ax + ay * ay
    spin = Motion((ax * bx + ay * by) / long, (ax * by - ay * bx) / long, Fraction(0), Fraction(0))
    moved_x, moved_y = spin((px, py))
    motion = shift(ux - moved_x, uy - moved_y).after(spin)
    alike = all(
        patch.role == twin.role and _same_outline(motion.all(patch.outline), twin.outline)
        for patch, twin in zip(first, other, strict=True)
    )
    return motion if alike else None


def _same_outline(one: Sequence[Point], other: Sequence[Point]) -> bool:
    return len(one) == len(other) and all(
        abs(float(x - u)) < _NEAR_IN and abs(float(y - v)) < _NEAR_IN
        for (x, y), (u, v) in zip(one, other, strict=True)
    )
