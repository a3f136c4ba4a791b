"""Files that appear whole or not at all: written beside their place, then moved there."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

__all__ = ["OutputError", "open_whole", "write_whole"]


class OutputError(ValueError):
    """A picture that could not be written. Names the file and carries how to mend it."""

    def __init__(self, path: Path, why: str, *, mend: str) -> None:
        self.path = path
        self.mend = mend
        super().__init__(f"{path}: {why}.")


def write_whole(path: Path, body: bytes) -> None:
    """Writes a file in one go. Raises: OutputError if the folder is missing, closed or full."""
    with open_whole(path) as file:
        file.write(body)


@contextmanager
def open_whole(path: Path) -> Iterator[BinaryIO]:
    """A file to write and seek in; it takes its place when the block ends well, else nothing is left.

    Raises: OutputError if the folder is missing, closed or full.
    """
    beside = path.with_name(f".{path.name[:100]}.{secrets.token_hex(4)}.part")
    try:
        with beside.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except FileNotFoundError as fault:
        raise OutputError(path, "its folder does not exist", mend="Make the folder first.") from fault
    except IsADirectoryError as fault:
        raise OutputError(path, "is a folder", mend="Give the name of a file.") from fault
    except PermissionError as fault:
        raise OutputError(
            path, "may not be written here", mend="Choose a folder that you may write to."
        ) from fault
    except OSError as fault:
        raise OutputError(
            path,
            f"could not be written ({fault.strerror or fault})",
            mend="Choose another folder, or make room on the disk.",
        ) from fault
    finally:
        with suppress(OSError):
            beside.unlink()
