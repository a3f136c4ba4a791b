"""The quilt that the page can set a block into: how it is asked for, and the setting that this makes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from blocks.library import block_names, open_block
from blocks.setting import Binding, Border, Sashing, Setting
from blocks.steps import Part
from ui.making import Making, widened
from ui.mistakes import Mistake
from ui.settings import Setting as Bounds

__all__ = [
    "BORDER",
    "COUNT",
    "HOW",
    "SASHING",
    "QuiltChoice",
    "make_making",
    "quilt_from_words",
    "quilt_words",
]

HOW = ("one block", "straight", "on point")

COUNT = Bounds(
    name="number of blocks",
    default=Fraction(3),
    lowest=Fraction(1),
    highest=Fraction(12),
    kind="whole",
    unit="",
    help="blocks in a row or a column",
)
SASHING = Bounds(
    name="sashing",
    default=Fraction(0),
    lowest=Fraction(0),
    highest=Fraction(12),
    kind="length",
    unit="in",
    help="finished width of the strips between the blocks",
)
BORDER = Bounds(
    name="border",
    default=Fraction(0),
    lowest=Fraction(0),
    highest=Fraction(24),
    kind="length",
    unit="in",
    help="finished width of the border",
)
BINDING = Bounds(
    name="binding",
    default=Fraction(0),
    lowest=Fraction(0),
    highest=Fraction(3),
    kind="length",
    unit="in",
    help="finished width of the binding on one face of the quilt",
)
_CORNERS: dict[object, bool] = {"": False, "butted": False, "mitred": True}


@dataclass(frozen=True, slots=True)
class QuiltChoice:
    """How the block is set. Equal choices give equal quilts."""

    on_point: bool
    across: int
    down: int
    second: str = ""
    """The block that takes turns with the first, or lies in between on point; "" for the same one."""
    sashing_in: Fraction = Fraction(0)
    cornerstones: bool = False
    border_in: Fraction = Fraction(0)
    mitred: bool = False
    """Whether the border's strips meet at the corners on a slant, rather than end against each other."""
    binding_in: Fraction = Fraction(0)


def quilt_words(quilt: QuiltChoice) -> Iterator[tuple[str, str]]:
    """The choice as pairs of words for a web address."""
    yield "set", "on point" if quilt.on_point else "straight"
    yield "across", str(quilt.across)
    yield "down", str(quilt.down)
    if quilt.second:
        yield "second", quilt.second
    if quilt.sashing_in:
        yield "sashing", str(quilt.sashing_in)
    if quilt.cornerstones:
        yield "stones", "yes"
    if quilt.border_in:
        yield "border", str(quilt.border_in)
    if quilt.mitred:
        yield "corners", "mitred"
    if quilt.binding_in:
        yield "binding", str(quilt.binding_in)


def quilt_from_words(words: Mapping[str, object]) -> QuiltChoice | None:
    """The choice that such words, or the fields of the page, give; None for a single block.

    Raises: Mistake for a word or a number that no page of ours sends, LengthError for a width that is none.
    """
    how = words.get("set") or HOW[0]
    if how not in HOW:
        raise Mistake("There is no such setting.", mend=f"Choose one of: {', '.join(HOW)}.")
    if how == HOW[0]:
        return None
    second = words.get("second") or ""
    if not isinstance(second, str) or (second and second not in block_names()):
        raise Mistake("There is no such second block.", mend="Choose a built-in block.")
    corners = words.get("corners") or ""
    if not isinstance(corners, str) or corners not in _CORNERS:
        raise Mistake("There are no such corners of a border.", mend="Choose butted or mitred.")
    on_point = how == HOW[2]
    return QuiltChoice(
        on_point,
        int(COUNT.read(_typed(words.get("across")))),
        int(COUNT.read(_typed(words.get("down")))),
        second,
        Fraction(0) if on_point else SASHING.read(_typed(words.get("sashing"))),
        words.get("stones") in (True, "yes") and not on_point,
        BORDER.read(_typed(words.get("border"))),
        _CORNERS[corners],
        BINDING.read(_typed(words.get("binding"))),
    )


def _typed(word: object) -> str | None:
    if isinstance(word, int | float) and not isinstance(word, bool):
        return f"{word:g}"
    return word if isinstance(word, str) else None


def make_making(block: str, *, width_in: Fraction | None, quilt: QuiltChoice | None) -> Making:
    """The built-in block, at its own or another width, alone or in its quilt.

    A second block is drawn at the first one's width.
    Raises: Mistake for a block that is not built in: an address must not make the page open files.
    """
    if block not in block_names():
        raise Mistake("There is no such block.", mend=f"Choose one of: {', '.join(block_names())}.")
    first = open_block(block)
    if quilt is None:
        return widened(Making(first.name, {block: first}), width_in=width_in)
    blocks = {block: first}
    if quilt.second:
        blocks[quilt.second] = open_block(quilt.second)
    width_in = first.finished_width_in if width_in is None else width_in
    name = " and ".join(dict.fromkeys(each.name for each in blocks.values()))
    return widened(Making(f"Quilt of {name}", blocks, _setting(block, quilt)), width_in=width_in)


def _setting(block: str, quilt: QuiltChoice) -> Setting:
    second = quilt.second or block
    corners: Literal["butted", "mitred"] = "mitred" if quilt.mitred else "butted"
    borders = (Border("border", quilt.border_in, corners),) if quilt.border_in else ()
    binding = Binding("binding", quilt.binding_in) if quilt.binding_in else None
    if quilt.on_point:
        return Setting(
            ((Part(block),) * quilt.across,) * quilt.down,
            on_point=True,
            between=((Part(second),) * (quilt.across - 1),) * (quilt.down - 1),
            triangle_cloth="triangle",
            borders=borders,
            binding=binding,
        )
    names = (block, second)
    rows = tuple(tuple(Part(names[(r + c) % 2]) for c in range(quilt.across)) for r in range(quilt.down))
    stone = "cornerstone" if quilt.cornerstones else ""
    sashing = Sashing("sash", quilt.sashing_in, cornerstone=stone) if quilt.sashing_in else None
    return Setting(rows, sashing=sashing, borders=borders, binding=binding)
