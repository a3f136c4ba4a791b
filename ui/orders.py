"""What a user asks for in words, looked up: a block, an audition, cloth for its roles."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from blocks.blockfile import Block, read_block
from blocks.library import block_names, open_block
from cutting.rules import CuttingRules
from swatches.solids import solid_swatch
from swatches.swatch import Swatch
from ui.audition_file import ChosenCloth, WrittenAudition, is_audition, read_audition
from ui.bench import Worked, draft, roles_of, work_out
from ui.first_choice import first_choice
from ui.mistakes import Mistake, closest
from ui.shelf import Shelf

__all__ = ["Order", "fill_order", "find_block", "take_order", "written_order"]

_STAND_IN = "#b4b4b4"
"""Shown where an audition names a cloth that the shelf no longer has: a plain grey, L* 73."""


@dataclass(frozen=True, slots=True)
class Order:
    """A block and the cloths asked for it by name; nothing is looked up yet but the block."""

    block: Block
    called: str
    """The block's built-in name, or its file."""
    seam_in: Fraction
    roles: dict[str, ChosenCloth] = field(default_factory=dict)
    patches: dict[int, ChosenCloth] = field(default_factory=dict)
    from_file: bool = False


def find_block(called: str) -> Block:
    """The block of a file, or the built-in one of that name.

    Raises: BlockFileError for a faulty file, Mistake for a name that is neither.
    """
    if called.lower().endswith(".toml") or os.sep in called:
        return read_block(Path(called))
    plain = " ".join(called.lower().replace("-", " ").split())
    if plain in block_names():
        return open_block(plain)
    if Path(called).is_file():
        return read_block(Path(called))
    raise Mistake(f'There is no block "{called}".', mend=closest(plain, block_names()))


def take_order(called: str, assignments: Sequence[str], *, seam_in: Fraction | None) -> Order:
    """The order in a block's or audition file's name and in words such as petal="clover field".

    Words given here overrule the audition file.
    Raises: what reading the files raises, and Mistake for words of another form.
    """
    roles, patches = _read_assignments(assignments)
    path = Path(called)
    if called.lower().endswith(".toml") and path.is_file() and _holds_audition(path):
        written = read_audition(path)
        block, plain = find_block(written.block), written.block
        roles = {**written.cloths, **roles}
        patches = {**written.patches, **patches}
        return Order(block, plain, written.seam_in if seam_in is None else seam_in, roles, patches, True)
    return Order(find_block(called), called, Fraction(1, 4) if seam_in is None else seam_in, roles, patches)


def _holds_audition(path: Path) -> bool:
    try:
        return is_audition(path.read_text("utf-8-sig"))
    except (UnicodeDecodeError, tomllib.TOMLDecodeError):
        return False


def _read_assignments(words: Sequence[str]) -> tuple[dict[str, ChosenCloth], dict[int, ChosenCloth]]:
    roles: dict[str, ChosenCloth] = {}
    patches: dict[int, ChosenCloth] = {}
    for word in words:
        name, sign, cloth = (part.strip() for part in word.partition("="))
        if not sign or not name or not cloth:
            raise Mistake(f'"{word}" gives no cloth to a role.', mend='Write it as petal="clover field".')
        if name.isascii() and name.isdigit():
            patches[int(name[:9])] = ChosenCloth("", cloth)
        else:
            roles[name] = ChosenCloth("", cloth)
    return roles, patches


def fill_order(
    order: Order, shelf: Shelf, *, say: Callable[[str], None], rules: CuttingRules | None = None
) -> Worked:
    """The order worked out in cloth from the shelf. Roles without a cloth get our own choice, and it is said.

    A cloth that an audition file names and the shelf has lost is reported and stands as plain grey; a name
    typed wrong is a mistake.
    """
    drafted = draft(order.block, seam_in=order.seam_in)
    ours = {
        role: shelf.find(name)
        for role, name in first_choice(order.block.name, roles_of(drafted)).items()
        if role not in order.roles
    }
    theirs = {
        role: _find(shelf, cloth, where=role, order=order, say=say) for role, cloth in order.roles.items()
    }
    patches = {
        number: _find(shelf, cloth, where=f"patch {number}", order=order, say=say)
        for number, cloth in order.patches.items()
    }
    worked = work_out(drafted, roles=ours | theirs, patches=patches, rules=rules)
    if ours:
        listed = ", ".join(f"{role} = {swatch.name}" for role, swatch in ours.items())
        say(f"Our choice of cloth, unless you give another: {listed}.")
    for note in worked.audition.notes:
        say(f"Note: {note}")
    return worked


def _find(
    shelf: Shelf, cloth: ChosenCloth, *, where: str, order: Order, say: Callable[[str], None]
) -> Swatch:
    found = shelf.find_chosen(cloth)
    if found is not None:
        return found
    called = cloth.name or cloth.key
    if not order.from_file:
        return shelf.find(called)
    say(f'Missing: the cloth "{called}" for {where} is not on the shelf; plain grey stands in for it.')
    return solid_swatch(_STAND_IN, name=f"{called[:100]} (missing)")


def written_order(order: Order, worked: Worked, *, beside: Path) -> WrittenAudition:
    """The order as an audition to be written into a folder, every cloth by its key and name."""
    singles = {number: _named(worked, number) for number in order.patches}
    block = order.called
    if block.lower().endswith(".toml"):
        block = os.path.relpath(block, beside)
    return WrittenAudition(
        block,
        order.seam_in,
        {
            role: ChosenCloth(worked.roles[role].key, worked.roles[role].name)
            for role in roles_of(worked.drafted)
        },
        singles,
    )


def _named(worked: Worked, number: int) -> ChosenCloth:
    swatch = worked.audition.cloths[number]
    return ChosenCloth(swatch.key, swatch.name)
