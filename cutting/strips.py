"""Strips across the width of fabric: pieces of one cut height share strips, and full strips come first.

Everything is exact: a float loses one piece in six exact fits of blocks cut in thirds, fifths and sevenths.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

__all__ = ["Blank", "Strip", "cut_strips"]

_NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True)
class Blank:
    """A rectangle to cut from a strip; `key` says whose it is."""

    key: int
    width_in: Fraction
    height_in: Fraction


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip and what is cut from it, from left to right; then its end, cut into shorter strips if it is.

    The ends lie below one another, to the right of the blanks; an end may be cut into shorter strips in turn.
    """

    left_in: Fraction
    top_in: Fraction
    height_in: Fraction
    room_in: Fraction
    """Length of the strip: the usable width of fabric, or what was left at the end of a taller strip."""
    blanks: tuple[Blank, ...]
    ends: tuple[Strip, ...] = ()

    def used_in(self) -> Fraction:
        """Length taken by the blanks."""
        return sum((blank.width_in for blank in self.blanks), _NOTHING)

    def reach_in(self) -> Fraction:
        """How far to the right anything of this strip or its ends lies."""
        return max([self.left_in + self.used_in(), *(end.reach_in() for end in self.ends)])

    def seats(self) -> Iterator[tuple[Blank, Fraction, Fraction]]:
        """Every blank with its left and its top, ends included."""
        left_in = self.left_in
        for blank in self.blanks:
            yield blank, left_in, self.top_in
            left_in += blank.width_in
        for end in self.ends:
            yield from end.seats()


@dataclass(slots=True)
class _Row:
    """A strip while it is being filled."""

    height_in: Fraction
    room_in: Fraction
    blanks: list[Blank] = field(default_factory=list)
    used_in: Fraction = _NOTHING
    ends: list[_Row] = field(default_factory=list)

    def take(self, blank: Blank) -> None:
        self.blanks.append(blank)
        self.used_in += blank.width_in

    def has_room(self, blank: Blank) -> bool:
        return self.used_in + blank.width_in <= self.room_in

    def end_height_in(self) -> Fraction:
        """Height of the end that is not yet cut into shorter strips."""
        return self.height_in - sum((end.height_in for end in self.ends), _NOTHING)

    def trial(self) -> _Row:
        """The same row, to be filled without changing this one."""
        return _Row(
            self.height_in, self.room_in, list(self.blanks), self.used_in, [end.trial() for end in self.ends]
        )

    def at(self, left_in: Fraction, top_in: Fraction) -> Strip:
        ends, end_top_in = [], top_in
        for end in self.ends:
            ends.append(end.at(left_in + self.used_in, end_top_in))
            end_top_in += end.height_in
        return Strip(left_in, top_in, self.height_in, self.room_in, tuple(self.blanks), tuple(ends))


def cut_strips(
    blanks: Sequence[Blank], *, usable_in: Fraction, left_in: Fraction = _NOTHING
) -> tuple[Strip, ...]:
    """Strips that give every blank, the tallest first, one below the other from the top of the cloth.

    First fit, widest first, among strips of the blank's own height; then strips whose every blank fits into
    the ends of taller ones are cut there instead. `left_in` is where the usable width begins. No blank may be
    wider than `usable_in`.
    """
    rows = _fold_in(_fill(blanks, usable_in=usable_in))
    strips, top_in = [], _NOTHING
    for row in rows:
        strips.append(row.at(left_in, top_in))
        top_in += row.height_in
    return tuple(strips)


def _fill(blanks: Sequence[Blank], *, usable_in: Fraction) -> list[_Row]:
    rows: list[_Row] = []
    of_height = first = 0  # where the strips of this height begin, and the first that may have room
    last: Blank | None = None
    for blank in sorted(blanks, key=lambda blank: (-blank.height_in, -blank.width_in, blank.key)):
        if last is None or blank.height_in != last.height_in:
            of_height = first = len(rows)
        elif blank.width_in != last.width_in:
            first = of_height
        while first < len(rows) and not rows[first].has_room(blank):
            first += 1
        if first == len(rows):
            rows.append(_Row(blank.height_in, usable_in))
        rows[first].take(blank)
        last = blank
    return rows


def _fold_in(rows: list[_Row]) -> list[_Row]:
    """The rows without those that the ends of others can give whole; each one left out saves its height."""
    for row in sorted(rows, key=lambda row: (-row.height_in, row.used_in)):
        if row.ends:
            continue
        hosts = [host for host in rows if host is not row and host.height_in >= row.height_in]
        trials = _trial_in_ends(row, hosts)
        if trials is not None:
            for host, trial in trials:
                host.ends = trial.ends
            rows = [kept for kept in rows if kept is not row]
    return rows


def _trial_in_ends(row: _Row, hosts: list[_Row]) -> list[tuple[_Row, _Row]] | None:
    """The hosts with this row's blanks cut from their ends, or None if one blank finds no place."""
    trials: list[tuple[_Row, _Row]] = []
    waiting = list(row.blanks)
    for host in hosts:
        if not waiting:
            break
        if host.room_in - host.used_in < min(blank.width_in for blank in waiting):
            continue
        trial = host.trial()
        waiting = [blank for blank in waiting if not _seat_in_end(blank, trial, height_in=row.height_in)]
        trials.append((host, trial))
    return None if waiting else trials


def _seat_in_end(blank: Blank, host: _Row, *, height_in: Fraction) -> bool:
    """Whether the blank found a place, in a strip already cut from the end or in a new one."""
    for end in host.ends:
        if end.height_in == height_in and not end.ends and end.has_room(blank):
            end.take(blank)
            return True
        if end.height_in >= height_in and _seat_in_end(blank, end, height_in=height_in):
            return True
    new = _Row(height_in, host.room_in - host.used_in)
    if host.end_height_in() >= height_in and new.has_room(blank):
        new.take(blank)
        host.ends.append(new)
        return True
    return False
