"""Text files and whole folders that appear complete or not at all."""

from __future__ import annotations

import csv
import io
import os
import shutil
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path

from ui.mistakes import Mistake

__all__ = ["check_place", "csv_text", "filled_folder", "write_whole"]


def check_place(path: Path, *, ends: Sequence[str]) -> Path:
    """The same path, if a file of this kind can be put there. Asked before long work begins.

    Raises: Mistake for another ending, a missing folder, a folder of that name, or one closed to writing.
    """
    if path.suffix.lower() not in ends:
        raise Mistake(f"{path} ends in none of {', '.join(ends)}.", mend=f"End the name in {ends[0]}.")
    if path.is_dir():
        raise Mistake(f"{path} is a folder.", mend="Give the name of a file.")
    if not path.parent.is_dir():
        raise Mistake(f"The folder {path.parent} is not there.", mend="Make the folder first.")
    if not os.access(path.parent, os.W_OK):
        raise Mistake(f"Nothing may be written into {path.parent}.", mend="Choose a folder of your own.")
    return path


def write_whole(path: Path, text: str) -> None:
    """Puts the text into a file in one step: written beside its place, then moved there."""
    handle, beside = tempfile.mkstemp(dir=path.parent, prefix=".seamlight-", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
            file.write(text)
        Path(beside).chmod(0o666 & ~_umask())
        Path(beside).replace(path)
    finally:
        Path(beside).unlink(missing_ok=True)


def _umask() -> int:
    """The permissions that this person's new files do without; it can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


@contextmanager
def filled_folder(folder: Path) -> Iterator[Path]:
    """A place to write into; what stands there at the end is moved into the folder, file by file.

    When the work fails or is stopped, the folder is left as it was. Other files in it stay.
    Raises: Mistake if the folder cannot be made or written to.
    """
    if folder.exists() and not folder.is_dir():
        raise Mistake(f"{folder} is a file.", mend="Name a folder, or a new name.")
    parent = folder if folder.is_dir() else folder.parent
    if not parent.is_dir():
        raise Mistake(f"The folder {parent} is not there.", mend="Make that folder first.")
    if not os.access(parent, os.W_OK):
        raise Mistake(f"Nothing may be written into {parent}.", mend="Choose a folder of your own.")
    place = Path(tempfile.mkdtemp(dir=parent, prefix=".seamlight-"))
    try:
        yield place
        folder.mkdir(exist_ok=True)
        for made in sorted(place.iterdir()):
            made.replace(folder / made.name)
    finally:
        with suppress(OSError):
            shutil.rmtree(place)


def csv_text(rows: Sequence[Mapping[str, object]]) -> str:
    """The rows as CSV with a heading line; words that look like a formula get a quote sign in front."""
    sheet = io.StringIO()
    writer = csv.DictWriter(sheet, list(rows[0]) if rows else [], lineterminator="\r\n")
    writer.writeheader()
    writer.writerows({name: _plain(value) for name, value in row.items()} for row in rows)
    return sheet.getvalue()


def _plain(value: object) -> object:
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return f"'{value}"
    return value
