"""The blocks that come with the tool, read from the same files that a maker would write."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from blocks.blockfile import Block, read_block
from blocks.fields import closest

__all__ = ["UnknownBlockError", "block_names", "block_path", "open_block"]

_FOLDER = Path(__file__).parent


class UnknownBlockError(ValueError):
    """A block that is neither built in nor a file."""

    def __init__(self, name: str) -> None:
        self.mend = closest(name, block_names())
        super().__init__(f'There is no block "{name}".')


@cache
def block_names() -> tuple[str, ...]:
    """Every built-in block's name in small letters, in alphabetical order."""
    return tuple(sorted(path.stem.replace("-", " ") for path in _FOLDER.glob("*.toml")))


def block_path(name: str) -> Path:
    """The file of a built-in block.

    Raises: UnknownBlockError, with the nearest name.
    """
    plain = " ".join(re.sub(r"['’]", "", name.lower()).replace("-", " ").split())
    if plain not in block_names():
        raise UnknownBlockError(name)
    return _FOLDER / f"{plain.replace(' ', '-')}.toml"


def open_block(name: str) -> Block:
    """A built-in block by its name.

    Raises: UnknownBlockError, with the nearest name.
    """
    return read_block(block_path(name))
