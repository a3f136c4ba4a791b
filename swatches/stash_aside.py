"""Cloth that was taken out of a stash lies aside in the same file, whole, until it is given away for good."""

from __future__ import annotations

import sqlite3
from pathlib import Path

from swatches.stash_file import COLUMNS, StashError

__all__ = ["aside_names", "forget_aside", "lay_aside", "put_back"]


def lay_aside(connection: sqlite3.Connection, key: str) -> str:
    """The name of the cloth of that key, which then lies aside, in place of the same one taken out before."""
    name = connection.execute("SELECT name FROM swatches WHERE key = ?", (key,)).fetchone()[0]
    connection.execute(
        f"INSERT OR REPLACE INTO aside ({COLUMNS}, thumb_png, png, digest) "
        f"SELECT {COLUMNS}, thumb_png, png, digest FROM swatches JOIN tiles USING (key) WHERE key = ?",
        (key,),
    )
    connection.execute("DELETE FROM swatches WHERE key = ?", (key,))
    return str(name)


def put_back(path: Path, connection: sqlite3.Connection, key_or_name: str) -> str:
    """The name of the cloth, which then lies among the others again: the last taken out by that name.

    Raises: StashError if none lies aside, or if its name or the cloth itself is there again.
    """
    key, name = _found(path, connection, key_or_name)
    taken = connection.execute(
        "SELECT key, name FROM swatches WHERE key = ?1 OR name = ?2 ORDER BY key = ?1 DESC", (key, name)
    ).fetchone()
    if taken is not None:
        mend = "Rename that one, then put this one back."
        if taken[0] == key:
            mend = "It is the same cloth: use it as it is."
        raise StashError(path, f"has a cloth called {taken[1]!r} again", mend=mend)
    connection.execute(
        f"INSERT INTO swatches ({COLUMNS}, thumb_png) SELECT {COLUMNS}, thumb_png FROM aside WHERE key = ?",
        (key,),
    )
    connection.execute(
        "INSERT INTO tiles (key, png, digest) SELECT key, png, digest FROM aside WHERE key = ?", (key,)
    )
    connection.execute("DELETE FROM aside WHERE key = ?", (key,))
    return name


def forget_aside(path: Path, connection: sqlite3.Connection, key_or_name: str) -> str:
    """The name of the cloth, of which nothing is kept any more.

    Raises: StashError if none lies aside.
    """
    key, name = _found(path, connection, key_or_name)
    connection.execute("DELETE FROM aside WHERE key = ?", (key,))
    return name


def aside_names(connection: sqlite3.Connection) -> tuple[str, ...]:
    """The names of all that lies aside, the last one first."""
    return tuple(str(row[0]) for row in connection.execute("SELECT name FROM aside ORDER BY rowid DESC"))


def _found(path: Path, connection: sqlite3.Connection, key_or_name: str) -> tuple[str, str]:
    """Key and name of what lies aside."""
    found = connection.execute(
        "SELECT key, name FROM aside WHERE key = ?1 OR name = ?1 ORDER BY key = ?1 DESC, rowid DESC",
        (key_or_name,),
    ).fetchone()
    if found is not None:
        return str(found[0]), str(found[1])
    names = list(dict.fromkeys(aside_names(connection)))[:5]
    mend = (
        f"Choose one that was, such as {', '.join(map(repr, names))}." if names else "Add that cloth again."
    )
    raise StashError(path, f"holds no cloth called {key_or_name!r} that was taken out", mend=mend)
