"""What is to be made: a block, or blocks set into a quilt; found by name or in a file, changed as asked."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

from blocks.blockfile import Block, read_block
from blocks.library import block_names, open_block
from blocks.methods import MethodError, methods_of, with_method
from blocks.scaling import scale_block
from blocks.setting import Setting
from blocks.settingfile import read_setting
from ui.mistakes import Mistake, closest

__all__ = [
    "Making",
    "find_block",
    "find_making",
    "is_setting",
    "remade",
    "set_blocks",
    "toml_table",
    "widened",
]

_MOST_BYTES = 1_000_000
_SET = ("rows", "blocks", "down", "across")


@dataclass(frozen=True, slots=True)
class Making:
    """A block as written, or several in a setting."""

    name: str
    blocks: Mapping[str, Block]
    """Each block by the name it was asked for; one alone where there is no setting."""
    setting: Setting | None = None
    files: Mapping[str, Path] = field(default_factory=dict)
    """Where the blocks lie that are not built in, by the same names."""

    def block(self) -> Block:
        """The block, or the first one of the setting."""
        return next(iter(self.blocks.values()))


def find_block(called: str) -> Block:
    """The block of a file, or the built-in one of that name.

    Raises: BlockFileError for a faulty file, Mistake for a name that is neither.
    """
    if called.lower().endswith(".toml") or "/" in called or "\\" in called:
        return read_block(Path(called))
    plain = _plain(called)
    if plain in block_names():
        return open_block(plain)
    if Path(called).is_file():
        return read_block(Path(called))
    raise Mistake(f'There is no block "{called}".', mend=closest(plain, block_names()))


def find_making(called: str) -> Making:
    """The block or the quilt that a name or a file gives; an audition file is not looked into here.

    Raises: as find_block, and BlockFileError for a faulty setting.
    """
    path = Path(called)
    if called.lower().endswith(".toml") and is_setting(toml_table(path)):
        name, setting = read_setting(path)
        return set_blocks(name, setting, folder=path.parent)
    block = find_block(called)
    return Making(block.name, {called: block})


def toml_table(path: Path) -> Mapping[str, Any]:
    """The table in a TOML file; empty for a file that is none, which its own reader then reports."""
    try:
        if path.stat().st_size > _MOST_BYTES:
            return {}
        return tomllib.loads(path.read_text("utf-8-sig"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError):
        return {}


def is_setting(table: Mapping[str, Any]) -> bool:
    """Whether a table is a setting rather than a block or an audition."""
    return "audition" not in table and "step" not in table and any(name in table for name in _SET)


def set_blocks(name: str, setting: Setting, *, folder: Path) -> Making:
    """A setting with its blocks: each a file beside it, or a built-in block.

    Raises: Mistake for a block that is neither, BlockFileError for a faulty one.
    """
    names = dict.fromkeys(part.of for row in (*setting.rows, *setting.between) for part in row)
    files = {called: found for called in names if (found := _file_beside(called, folder)) is not None}
    blocks = {called: read_block(files[called]) if called in files else _built_in(called) for called in names}
    return Making(name, blocks, setting, files)


def _file_beside(called: str, folder: Path) -> Path | None:
    if called.lower().endswith(".toml"):
        return folder / called
    if _plain(called) in block_names():
        return None
    slug = called.replace(" ", "-")
    return next((path for stem in (called, slug) if (path := folder / f"{stem}.toml").is_file()), None)


def _built_in(called: str) -> Block:
    plain = _plain(called)
    if plain not in block_names():
        raise Mistake(
            f'The setting names a block "{called}", which is neither built in nor a file beside it.',
            mend=closest(plain, block_names()),
        )
    return open_block(plain)


def widened(making: Making, *, width_in: Fraction | None) -> Making:
    """The same with its block, or each block of its setting, drawn again at a finished width.

    Raises: ScaleError for an absurd width.
    """
    if width_in is None:
        return making
    return replace(
        making,
        blocks={called: scale_block(block, width_in=width_in) for called, block in making.blocks.items()},
    )


def remade(making: Making, *, methods: Sequence[tuple[str, str]]) -> Making:
    """The same with steps made by other methods; in a setting, in every block that has such a step.

    Raises: MethodError for a step that there is not, or a method that cannot make it.
    """
    blocks = dict(making.blocks)
    for step, method in methods:
        holders = [
            called for called, block in blocks.items() if any(each.name == step for each in block.steps)
        ]
        if not holders:
            free = [
                each.name for block in blocks.values() for each in block.steps if len(methods_of(each)) > 1
            ]
            mend = closest(step, free) if free else "Leave it out: no step here has a choice of methods."
            raise MethodError(f'There is no step "{step}".', mend)
        for called in holders:
            blocks[called] = with_method(blocks[called], step, method)
    return replace(making, blocks=blocks)


def _plain(called: str) -> str:
    return " ".join(called.lower().replace("'", "").replace("’", "").replace("-", " ").split())
