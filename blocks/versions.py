"""Units that come in two mirror versions, which no turning can replace."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from blocks.laying import lay_unit
from blocks.motion import STAY, Motion, Point
from blocks.pieced import turned_unit
from blocks.units import Joined, Unit

__all__ = ["mirror_notes"]

_Look = frozenset[tuple[str, frozenset[Point]]]


def mirror_notes(units: Mapping[str, Unit], whole: Unit) -> tuple[str, ...]:
    """One sentence for every pair of the block's units that are mirror images but not turns of each other."""
    names = {id(unit): name for name, unit in units.items()}
    counts: dict[str, int] = {}
    for unit in _inner_units(whole):
        if id(unit) in names and not isinstance(unit, Joined):
            counts[names[id(unit)]] = counts.get(names[id(unit)], 0) + 1
    turns = {name: _four_looks(units[name]) for name in counts}
    notes = []
    listed = list(counts)
    for i, name in enumerate(listed):
        for other in listed[i + 1 :]:
            mirrored = _mirrored_look(units[other])
            if mirrored in turns[name] and turns[name].isdisjoint(turns[other]):
                notes.append(
                    f"{name} and {other} are mirror images: make {counts[name]} of the first and "
                    f"{counts[other]} of the second; turning one never gives the other."
                )
    return tuple(notes)


def _inner_units(unit: Unit) -> Iterator[Unit]:
    """The unit and every unit inside it, as often as it occurs."""
    yield unit
    if isinstance(unit, Joined):
        for _, part in unit.parts:
            yield from _inner_units(part)


def _look(unit: Unit, motion: Motion) -> _Look:
    return frozenset((patch.role, frozenset(patch.outline)) for patch in lay_unit(unit, motion, made={}))


def _four_looks(unit: Unit) -> frozenset[_Look]:
    return frozenset(_look(unit, turned_unit(unit, quarters)[0]) for quarters in range(4))


def _mirrored_look(unit: Unit) -> _Look:
    return frozenset(
        (role, frozenset((unit.width_in - x, y) for x, y in outline)) for role, outline in _look(unit, STAY)
    )
