"""The built-in blocks as the page lists them: by difficulty, then by name."""

from __future__ import annotations

from functools import cache

from blocks.blockfile import Block
from blocks.lengths import inches_text
from blocks.library import block_names, open_block

__all__ = ["block_entries", "block_titles"]

_ORDER = ("beginner", "confident beginner", "intermediate", "advanced")


@cache
def _blocks() -> tuple[tuple[str, Block], ...]:
    return tuple((name, open_block(name)) for name in block_names())


def block_entries() -> list[dict[str, object]]:
    """Name, title, other names, difficulty, finished size and a line about each block."""
    found = sorted(_blocks(), key=lambda pair: (_ORDER.index(pair[1].difficulty), pair[0]))
    return [
        {
            "name": name,
            "title": block.name,
            "also": list(block.also),
            "difficulty": block.difficulty,
            "size": f"{inches_text(block.finished_width_in)} x {inches_text(block.finished_height_in)} in",
            "about": block.about,
        }
        for name, block in found
    ]


def block_titles() -> list[tuple[str, str]]:
    """Title and name of each block, in the order of the alphabet."""
    return [(block.name, name) for name, block in _blocks()]
