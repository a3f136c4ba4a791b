"""Strips across the width of fabric: pieces of one cut height share strips, and full strips come first.

Everything is exact: a float loses one piece in six exact fits of blocks cut in thirds, fifths and sevenths.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import lcm

__all__ = ["Blank", "Strip", "cut_strips"]

_NOTHING = Fraction(0)


@dataclass(frozen=True, slots=True)
class Blank:
    """A rectangle to cut from a strip; `key` says whose it is."""

    key: int
    width_in: Fraction
    height_in: Fraction
    turned: bool = False
    """A rectangle laid a quarter turned."""


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


@dataclass(frozen=True, slots=True)
class _Cut:
    """A blank measured in marks: whole numbers of the largest length that measures everything exactly."""

    blank: Blank
    width: int
    height: int


@dataclass(slots=True)
class _Row:
    """A strip while it is being filled; lengths in marks."""

    height: int
    room: int
    cuts: list[_Cut] = field(default_factory=list)
    used: int = 0
    ends: list[_Row] = field(default_factory=list)
    end_height: int = field(init=False)
    """Height of the end that is not yet cut into shorter strips."""

    def __post_init__(self) -> None:
        self.end_height = self.height

    def take(self, cut: _Cut) -> None:
        self.cuts.append(cut)
        self.used += cut.width

    def has_room(self, cut: _Cut) -> bool:
        return self.used + cut.width <= self.room

    def add_end(self, end: _Row) -> None:
        self.ends.append(end)
        self.end_height -= end.height

    def trial(self) -> _Row:
        """The same row, to be filled without changing this one."""
        row = _Row(self.height, self.room, list(self.cuts), self.used)
        for end in self.ends:
            row.add_end(end.trial())
        return row

    def at(self, left_in: Fraction, top_in: Fraction, *, mark_in: Fraction) -> Strip:
        ends, end_top_in = [], top_in
        for end in self.ends:
            ends.append(end.at(left_in + self.used * mark_in, end_top_in, mark_in=mark_in))
            end_top_in += end.height * mark_in
        blanks = tuple(cut.blank for cut in self.cuts)
        return Strip(left_in, top_in, self.height * mark_in, self.room * mark_in, blanks, tuple(ends))


def cut_strips(
    blanks: Sequence[Blank], *, usable_in: Fraction, left_in: Fraction = _NOTHING
) -> tuple[Strip, ...]:
    """Strips that give every blank, the tallest first, one below the other from the top of the cloth.

    First fit, widest first, among strips of the blank's own height; then strips whose every blank fits into
    the ends of taller ones are cut there instead. `left_in` is where the usable width begins. No blank may be
    wider than `usable_in`.
    """
    sides = [side for blank in blanks for side in (blank.width_in, blank.height_in)]
    mark_in = Fraction(1, lcm(*(length.denominator for length in (usable_in, *sides))))
    cuts = [_Cut(blank, int(blank.width_in / mark_in), int(blank.height_in / mark_in)) for blank in blanks]
    rows = _fold_in(_fill(cuts, usable=int(usable_in / mark_in)))
    strips, top_in = [], _NOTHING
    for row in rows:
        strips.append(row.at(left_in, top_in, mark_in=mark_in))
        top_in += row.height * mark_in
    return tuple(strips)


def _fill(cuts: Sequence[_Cut], *, usable: int) -> list[_Row]:
    rows: list[_Row] = []
    of_height = first = 0  # where the strips of this height begin, and the first that may have room
    last: _Cut | None = None
    for cut in sorted(cuts, key=lambda cut: (-cut.height, -cut.width, cut.blank.key)):
        if last is None or cut.height != last.height:
            of_height = first = len(rows)
        elif cut.width != last.width:
            first = of_height
        while first < len(rows) and not rows[first].has_room(cut):
            first += 1
        if first == len(rows):
            rows.append(_Row(cut.height, usable))
        rows[first].take(cut)
        last = cut
    return rows


def _fold_in(rows: list[_Row]) -> list[_Row]:
    """The rows without those that the ends of others can give whole; each one left out saves its height."""
    for row in sorted(rows, key=lambda row: (-row.height, row.used)):
        if row.ends:
            continue
        hosts = [host for host in rows if host is not row and host.height >= row.height]
        trials = _trial_in_ends(row, hosts)
        if trials is not None:
            for host, trial in trials:
                host.ends, host.end_height = trial.ends, trial.end_height
            rows = [kept for kept in rows if kept is not row]
    return rows


def _trial_in_ends(row: _Row, hosts: list[_Row]) -> list[tuple[_Row, _Row]] | None:
    """The hosts with this row's blanks cut from their ends, or None if one blank finds no place."""
    trials: list[tuple[_Row, _Row]] = []
    waiting = row.cuts
    for host in hosts:
        if not waiting:
            break
        # Blanks wait widest first: if the last is too wide for this end, all are.
        if host.room - host.used < waiting[-1].width:
            continue
        trial = host.trial()
        still_waiting: list[_Cut] = []
        for cut in waiting:
            # What found no place here will not find one for its like.
            refused = bool(still_waiting) and still_waiting[-1].width == cut.width
            if refused or not _seat_in_end(cut, trial):
                still_waiting.append(cut)
        if len(still_waiting) < len(waiting):
            trials.append((host, trial))
        waiting = still_waiting
    return None if waiting else trials


def _seat_in_end(cut: _Cut, host: _Row) -> bool:
    """Whether the blank found a place, in a strip already cut from the end or in a new one."""
    for end in host.ends:
        if end.height == cut.height and not end.ends and end.has_room(cut):
            end.take(cut)
            return True
        if end.height >= cut.height and _seat_in_end(cut, end):
            return True
    new = _Row(cut.height, host.room - host.used)
    if host.end_height >= cut.height and new.has_room(cut):
        new.take(cut)
        host.add_end(new)
        return True
    return False
