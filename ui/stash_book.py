"""The maker's stash as it is just now: looked through again only after it has changed."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from threading import RLock
from types import MappingProxyType

from swatches.stash import Stash, StashEntry
from swatches.swatch import Swatch

__all__ = ["StashBook"]

_SETTLED_NS = 200_000_000
"""A file may be written twice within one tick of its clock; what is older than this is as it looks (ours)."""

_Mark = tuple[tuple[int, int, int], ...]


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """What was seen of the stash at one moment."""

    mark: _Mark
    settled: bool
    """Whether the file was old enough then for its times to tell of any later change."""
    stash: Stash
    stamps: Mapping[str, str]


class StashBook:
    """For one stash, whose file need not be there yet; None for no stash at all. Several threads may ask.

    Other programs may change the stash at any time. Whether they have is asked of the file's times, which
    costs some microseconds; only then is it opened.
    """

    def __init__(self, file: Path | None) -> None:
        self._file = file
        self._lock = RLock()
        self._seen: _Seen | None = None
        self._entries: tuple[Mapping[str, str], tuple[StashEntry, ...]] = ({}, ())

    def stamps(self) -> Mapping[str, str]:
        """By key a mark of each cloth: another one whenever anything of it was changed."""
        seen = self._look()
        return MappingProxyType({}) if seen is None else seen.stamps

    def entries(self) -> tuple[StashEntry, ...]:
        """All cloth in order of names.

        Raises: what opening the stash raises.
        """
        with self._lock:
            seen = self._look()
            if seen is None:
                return ()
            if self._entries[0] != seen.stamps:
                self._entries = seen.stamps, seen.stash.entries()
            return self._entries[1]

    def get(self, key: str) -> Swatch:
        """The cloth of that key, as it is kept.

        Raises: StashError if there is none.
        """
        return self.begun().get(key)

    def begun(self) -> Stash:
        """The stash, begun if its file is not there yet.

        Raises: ValueError for no stash at all; what opening it raises.
        """
        if self._file is None:
            raise ValueError("there is no stash")
        seen = self._look()
        return Stash(self._file) if seen is None else seen.stash

    def _look(self) -> _Seen | None:
        """The stash as it is now; None while there is none."""
        if self._file is None:
            return None
        with self._lock:
            mark = _mark(self._file)
            if not mark:
                self._seen = None
            elif self._seen is None or self._seen.mark != mark:
                self._seen = _see(Stash(self._file), mark)
            elif not self._seen.settled:
                self._seen = _see(self._seen.stash, mark)
            return self._seen


def _see(stash: Stash, mark: _Mark) -> _Seen:
    settled = time.time_ns() - max(changed_ns for _, _, changed_ns in mark) > _SETTLED_NS
    return _Seen(mark, settled, stash, MappingProxyType(stash.stamps()))


def _mark(file: Path) -> _Mark:
    """Which file it is, how long, and when it was changed; and so of what is not yet written into it."""
    found = []
    for path in (file, file.with_name(f"{file.name}-wal")):
        try:
            told = path.stat()
        except OSError:
            continue
        # Anyone who reads has an empty one for a moment.
        if path == file or told.st_size:
            found.append((told.st_ino, told.st_size, told.st_mtime_ns))
    return tuple(found)
