"""The stash as a file: where it lies, how it is begun, checked and brought up to date."""

from __future__ import annotations

import os
import sqlite3
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

__all__ = ["COLUMNS", "StashError", "connect", "default_stash_path", "prepare"]

_APPLICATION_ID = 0x53_4C_53_54
"""Marks the file as a stash of ours; it reads "SLST". Source: SQLite, PRAGMA application_id."""

COLUMNS = (
    "key, name, ppi, repeats, width_of_fabric_in, scale_note, colour_note, one_way, kind, width_px, "
    "height_px, scale_off, colour_from, by_eye, about, repeat_in, photo"
)
"""All that is kept of a cloth beside its pictures, as this version keeps it."""

_MIGRATIONS: tuple[tuple[str, ...], ...] = (
    (
        """CREATE TABLE swatches (
            key TEXT PRIMARY KEY NOT NULL,
            name TEXT NOT NULL UNIQUE COLLATE NOCASE,
            ppi REAL NOT NULL,
            repeats INTEGER NOT NULL,
            width_of_fabric_in TEXT NOT NULL,
            scale_note TEXT NOT NULL,
            colour_note TEXT NOT NULL,
            one_way INTEGER NOT NULL,
            kind TEXT NOT NULL,
            width_px INTEGER NOT NULL,
            height_px INTEGER NOT NULL,
            thumb_png BLOB NOT NULL
        ) STRICT""",
        # Tiles lie apart, so that a list of hundreds of cloths reads no megabytes of pixels.
        """CREATE TABLE tiles (
            key TEXT PRIMARY KEY NOT NULL REFERENCES swatches (key) ON DELETE CASCADE,
            png BLOB NOT NULL,
            digest TEXT NOT NULL
        ) STRICT""",
    ),
    (
        "ALTER TABLE swatches ADD COLUMN scale_off REAL",
        "ALTER TABLE swatches ADD COLUMN colour_from TEXT NOT NULL DEFAULT 'stated'",
        "ALTER TABLE swatches ADD COLUMN by_eye TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE swatches ADD COLUMN about TEXT NOT NULL DEFAULT ''",
        "ALTER TABLE swatches ADD COLUMN repeat_in TEXT NOT NULL DEFAULT ''",
        # Cloth kept before this came from the one door that measured no colours, or from a colour typed.
        """UPDATE swatches SET colour_from = 'not measured'
            WHERE colour_note LIKE 'Colours as the camera gave them, not measured.%'""",
    ),
    # Which photograph cloth came from was not kept before this.
    ("ALTER TABLE swatches ADD COLUMN photo TEXT NOT NULL DEFAULT ''",),
    # Cloth that was taken out, whole, so that it can be put back. A step that adds a column adds it here too.
    (
        """CREATE TABLE aside (
            key TEXT PRIMARY KEY NOT NULL,
            name TEXT NOT NULL COLLATE NOCASE,
            ppi REAL NOT NULL,
            repeats INTEGER NOT NULL,
            width_of_fabric_in TEXT NOT NULL,
            scale_note TEXT NOT NULL,
            colour_note TEXT NOT NULL,
            one_way INTEGER NOT NULL,
            kind TEXT NOT NULL,
            width_px INTEGER NOT NULL,
            height_px INTEGER NOT NULL,
            scale_off REAL,
            colour_from TEXT NOT NULL,
            by_eye TEXT NOT NULL,
            about TEXT NOT NULL,
            repeat_in TEXT NOT NULL,
            photo TEXT NOT NULL,
            thumb_png BLOB NOT NULL,
            png BLOB NOT NULL,
            digest TEXT NOT NULL
        ) STRICT""",
    ),
)
"""Statements that lead from each version to the next; the number of the last is the file's user_version."""

_MAGIC = b"SQLite format 3\x00"
_WAIT_S = 15.0


class StashError(ValueError):
    """A stash that cannot do what was asked. Carries its path and how to mend it."""

    def __init__(self, path: str | Path, why: str, *, mend: str) -> None:
        self.path = Path(path)
        self.mend = mend
        super().__init__(f"The stash {path} {why}.")


def default_stash_path() -> Path:
    """Where the stash of this user lies, by the custom of the platform.

    The environment variable SEAMLIGHT_STASH overrules it.
    Source: XDG Base Directory Specification 0.8 for Linux.
    """
    chosen = os.environ.get("SEAMLIGHT_STASH")
    if chosen:
        return Path(chosen)
    if sys.platform == "darwin":
        folder = Path.home() / "Library" / "Application Support"
    elif sys.platform == "win32":
        folder = Path(os.environ.get("LOCALAPPDATA") or Path.home() / "AppData" / "Local")
    else:
        stated = Path(os.environ.get("XDG_DATA_HOME", ""))
        # The specification has relative paths ignored.
        folder = stated if stated.is_absolute() else Path.home() / ".local" / "share"
    return folder / "seamlight" / "stash.sqlite"


def prepare(path: Path) -> None:
    """A stash at that path that is whole and of this version, begun if there is none.

    Raises: StashError for a file that is no stash, damaged, or written by a newer version. Such a file is
        never changed.
    """
    _check_file(path)
    with connect(path) as connection, closing(connection):
        # One view of the file: another window may be beginning it at this very moment.
        connection.execute("BEGIN")
        version = _check_identity(path, connection)
        if version and connection.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
            raise _damaged(path)
        connection.execute("COMMIT")
        # Persistent in the file; needed only when it is begun.
        if version < len(_MIGRATIONS):
            _keep_log_beside(connection)
            _migrate(path, connection)


def _keep_log_beside(connection: sqlite3.Connection) -> None:
    """Write-ahead logging, once nobody else uses the file: SQLite itself waits for no one there."""
    until = time.monotonic() + _WAIT_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
        except sqlite3.OperationalError:
            if time.monotonic() > until:
                raise
            time.sleep(0.01)
        else:
            return


@contextmanager
def connect(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection whose faults, here and in the block, come out as StashError; the caller closes it."""
    try:
        connection = sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)
        connection.execute("PRAGMA foreign_keys = ON")
        yield connection
    except sqlite3.OperationalError as fault:
        raise StashError(
            path,
            f"cannot be used just now ({fault})",
            mend="Close other programs that use it, and check the free space and that you may write there.",
        ) from fault
    except sqlite3.DatabaseError as fault:
        raise _damaged(path) from fault


def _check_file(path: Path) -> None:
    try:
        if path.is_dir():
            raise StashError(path, "is a folder", mend="Name a file for the stash.")
        path.parent.mkdir(parents=True, exist_ok=True)
        if path.exists() and path.stat().st_size:
            with path.open("rb") as file:
                if file.read(len(_MAGIC)) != _MAGIC:
                    raise _damaged(path)
    except OSError as fault:
        raise StashError(
            path, f"cannot be opened ({fault.strerror})", mend="Choose a file in a folder you may write to."
        ) from fault


def _check_identity(path: Path, connection: sqlite3.Connection) -> int:
    """The version of the file, 0 for one that is still empty."""
    identity = connection.execute("PRAGMA application_id").fetchone()[0]
    version = int(connection.execute("PRAGMA user_version").fetchone()[0])
    tables = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]
    if identity != _APPLICATION_ID and (identity or version or tables):
        raise StashError(path, "belongs to another program", mend="Name another file for the stash.")
    if version > len(_MIGRATIONS):
        raise StashError(
            path,
            f"was written by a newer version (its format is {version}, this one reads {len(_MIGRATIONS)})",
            mend="Update Seamlight, or name another file for the stash.",
        )
    return version


def _migrate(path: Path, connection: sqlite3.Connection) -> None:
    connection.execute("BEGIN IMMEDIATE")
    try:
        # Another window may have done it while this one waited for its turn.
        version = _check_identity(path, connection)
        for statement in (text for step in _MIGRATIONS[version:] for text in step):
            connection.execute(statement)
        connection.execute(f"PRAGMA application_id = {_APPLICATION_ID}")
        connection.execute(f"PRAGMA user_version = {len(_MIGRATIONS)}")
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def _damaged(path: Path) -> StashError:
    return StashError(
        path,
        "is damaged or is no stash",
        mend="Keep the file, put a backup copy in its place or name another file; it was not changed.",
    )
