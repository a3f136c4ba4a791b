"""The stash: one file that keeps a maker's cloth, tiles and all, without loss.

Every operation opens the file, works in one transaction and closes it again: any number of windows and
programs may use one stash, and between operations the file is complete, so that copying it is a backup.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from hashlib import blake2s
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swatches.by_eye import by_eye_from_text, by_eye_text
from swatches.keys import pixels_digest
from swatches.print_about import PrintAbout, about_from_text, about_text
from swatches.stash_aside import aside_names, forget_aside, lay_aside, put_back
from swatches.stash_file import COLUMNS, StashError, connect, default_stash_path, prepare
from swatches.swatch import Swatch, make_swatch
from swatches.swatch_fields import check_name
from swatches.tile_bytes import bytes_to_tile, thumbnail, tile_to_bytes
from swatches.trust import trust_words_of

__all__ = ["Stash", "StashEntry", "StashError", "default_stash_path"]


@dataclass(frozen=True, slots=True, eq=False)
class StashEntry:
    """One cloth of the stash as a list shows it."""

    key: str
    name: str
    ppi: float
    width_in: float
    height_in: float
    kind: str
    thumb_srgb8: NDArray[np.uint8]
    """(h, w, 3), at most 96 pixels a side."""
    trust: str
    """How far it can be trusted: see swatches.trust.trust_words."""
    about: PrintAbout | None


class Stash:
    """The cloth kept in one file. Cloth is found by its key or by its name, capitals aside."""

    __slots__ = ("path",)

    def __init__(self, path: str | Path | None = None) -> None:
        """Open the stash, or begin one; without a path, the one in the user's own folder.

        Raises: StashError for a file that is damaged, of another program, or of a newer version.
        """
        self.path = default_stash_path() if path is None else Path(path)
        prepare(self.path)

    def add(self, swatch: Swatch) -> None:
        """Keep a new cloth.

        Raises: StashError if its name is taken or the very same cloth is there already.
        """
        row, tile = _rows(swatch)
        with self._changing() as connection:
            taken = connection.execute(
                "SELECT name FROM swatches WHERE key = ? OR name = ?", (swatch.key, swatch.name)
            ).fetchone()
            if taken is not None:
                raise StashError(
                    self.path,
                    f"already holds a cloth called {taken[0]!r}",
                    mend="Choose another name, or replace the cloth.",
                )
            _insert(connection, row, tile)

    def replace(self, swatch: Swatch) -> None:
        """Keep a cloth in place of whichever has its key or its name; a new one is simply added."""
        row, tile = _rows(swatch)
        with self._changing() as connection:
            connection.execute("DELETE FROM swatches WHERE key = ? OR name = ?", (swatch.key, swatch.name))
            _insert(connection, row, tile)

    def rename(self, key_or_name: str, name: str) -> None:
        """Call a cloth otherwise. Its key stays, by which auditions find it.

        Raises: StashError if there is none or another cloth has that name; SwatchError for what is no name.
        """
        name = check_name(name)
        with self._changing() as connection:
            key = self._key(connection, key_or_name)
            taken = connection.execute(
                "SELECT name FROM swatches WHERE name = ? AND key != ?", (name, key)
            ).fetchone()
            if taken is not None:
                raise StashError(
                    self.path, f"already holds a cloth called {taken[0]!r}", mend="Choose another name."
                )
            connection.execute("UPDATE swatches SET name = ? WHERE key = ?", (name, key))

    def remove(self, key_or_name: str) -> str:
        """Take a cloth out and lay it aside in the same file, from where it can be put back; its name.

        Raises: StashError if there is none.
        """
        with self._changing() as connection:
            return lay_aside(connection, self._key(connection, key_or_name))

    def put_back(self, key_or_name: str) -> str:
        """Put a cloth that was taken out where it was, the last of that name; its name.

        Raises: StashError if there is none aside, or if another cloth has its name or its key by now.
        """
        with self._changing() as connection:
            return put_back(self.path, connection, key_or_name)

    def forget(self, key_or_name: str) -> str:
        """Give a cloth that was taken out away for good; its name.

        Raises: StashError if there is none aside.
        """
        with self._changing() as connection:
            return forget_aside(self.path, connection, key_or_name)

    def aside(self) -> tuple[str, ...]:
        """The names of all cloth that was taken out and can be put back, the last one first."""
        with self._reading() as connection:
            return aside_names(connection)

    def get(self, key_or_name: str) -> Swatch:
        """The cloth with that key, or else of that name.

        Raises: StashError if there is none, or if its tile is damaged.
        """
        with self._reading() as connection:
            key = self._key(connection, key_or_name)
            row = connection.execute(
                f"SELECT {COLUMNS}, png, digest FROM swatches JOIN tiles USING (key) WHERE key = ?", (key,)
            ).fetchone()
        return self._swatch(row, key_or_name)

    def get_aside(self, key: str) -> Swatch | None:
        """The cloth of that key that was taken out and can be put back; None if none was.

        Raises: StashError if its tile is damaged.
        """
        with self._reading() as connection:
            row = connection.execute(
                f"SELECT {COLUMNS}, png, digest FROM aside WHERE key = ?", (key,)
            ).fetchone()
        return None if row is None else self._swatch(row, key)

    def _swatch(self, row: tuple[Any, ...] | None, called: str) -> Swatch:
        tile = bytes_to_tile(row[17]) if row is not None else None
        if row is None or tile is None or pixels_digest(tile) != row[18]:
            raise StashError(
                self.path,
                f"holds a damaged tile of {called!r}",
                mend="Photograph or add that cloth again.",
            )
        return make_swatch(
            tile,
            key=row[0],
            name=row[1],
            ppi=row[2],
            repeats=bool(row[3]),
            width_of_fabric_in=Fraction(row[4]),
            scale_note=row[5],
            colour_note=row[6],
            one_way=bool(row[7]),
            kind=row[8],
            scale_off=row[11],
            colour_from=row[12],
            by_eye=by_eye_from_text(row[13]),
            about=about_from_text(row[14]),
            repeat_in=_steps_from_text(row[15]),
            photo=row[16],
        )

    def names(self) -> tuple[str, ...]:
        """All names, in order of the alphabet."""
        with self._reading() as connection:
            return tuple(row[0] for row in connection.execute("SELECT name FROM swatches ORDER BY name"))

    def stamps(self) -> dict[str, str]:
        """By key a short mark of all that is kept beside each cloth's pixels, for which the key stands.

        A cloth has changed when its mark has. No picture is read.
        """
        with self._reading() as connection:
            rows = connection.execute(f"SELECT {COLUMNS} FROM swatches").fetchall()
        return {str(row[0]): blake2s(repr(row).encode(), digest_size=6).hexdigest() for row in rows}

    def entries(self) -> tuple[StashEntry, ...]:
        """All cloth in order of names, with small pictures; no whole tile is read."""
        with self._reading() as connection:
            rows = connection.execute(f"SELECT {COLUMNS}, thumb_png FROM swatches ORDER BY name").fetchall()
        entries = []
        for row in rows:
            thumb = bytes_to_tile(row[17])
            if thumb is None:
                raise StashError(self.path, f"holds a damaged picture of {row[1]!r}", mend="Add it again.")
            entries.append(
                StashEntry(
                    row[0],
                    row[1],
                    row[2],
                    row[9] / row[2],
                    row[10] / row[2],
                    row[8],
                    thumb,
                    trust_words_of(row[11], row[12], by_eye=by_eye_from_text(row[13])),
                    about_from_text(row[14]),
                )
            )
        return tuple(entries)

    def _key(self, connection: sqlite3.Connection, key_or_name: str) -> str:
        found = connection.execute(
            "SELECT key FROM swatches WHERE key = ?1 OR name = ?1 ORDER BY key = ?1 DESC", (key_or_name,)
        ).fetchone()
        if found is not None:
            return str(found[0])
        names = [str(row[0]) for row in connection.execute("SELECT name FROM swatches ORDER BY name")]
        near = get_close_matches(key_or_name, names, n=3) or names[:3]
        mend = f"Choose one it holds, such as {', '.join(map(repr, near))}." if near else "Add a cloth first."
        if key_or_name.casefold() in (each.casefold() for each in aside_names(connection)):
            mend = "It was taken out: put it back first."
        raise StashError(self.path, f"holds no cloth called {key_or_name!r}", mend=mend)

    @contextmanager
    def _reading(self) -> Iterator[sqlite3.Connection]:
        """One unchanging view of the file, whatever others write meanwhile."""
        with connect(self.path) as connection, closing(connection):
            connection.execute("BEGIN")
            yield connection

    @contextmanager
    def _changing(self) -> Iterator[sqlite3.Connection]:
        """A transaction that holds the only right to write from its first statement; all or nothing."""
        with connect(self.path) as connection, closing(connection):
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
            except BaseException:
                connection.execute("ROLLBACK")
                raise
            connection.execute("COMMIT")


def _rows(swatch: Swatch) -> tuple[tuple[object, ...], tuple[object, ...]]:
    """What the two tables keep of a swatch; coded before any lock is taken, as it takes a while."""
    rows, columns = swatch.tile_srgb8.shape[:2]
    row = (
        swatch.key,
        swatch.name,
        swatch.ppi,
        int(swatch.repeats),
        str(swatch.width_of_fabric_in),
        swatch.scale_note,
        swatch.colour_note,
        int(swatch.one_way),
        swatch.kind,
        columns,
        rows,
        swatch.scale_off,
        swatch.colour_from,
        by_eye_text(swatch.by_eye),
        about_text(swatch.about),
        json.dumps(swatch.repeat_in) if swatch.repeat_in else "",
        swatch.photo,
        tile_to_bytes(thumbnail(swatch.tile_srgb8)),
    )
    return row, (swatch.key, tile_to_bytes(swatch.tile_srgb8), pixels_digest(swatch.tile_srgb8))


def _steps_from_text(text: str) -> tuple[tuple[float, float], ...]:
    return tuple((float(x), float(y)) for x, y in json.loads(text)) if text else ()


def _insert(connection: sqlite3.Connection, row: tuple[object, ...], tile: tuple[object, ...]) -> None:
    marks = ", ".join("?" * len(row))
    connection.execute(f"INSERT INTO swatches ({COLUMNS}, thumb_png) VALUES ({marks})", row)
    connection.execute("INSERT INTO tiles (key, png, digest) VALUES (?, ?, ?)", tile)
