"""The cutting list gathered cloth by cloth, each line with a letter, checked against the cutting plans."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import count

from blocks.values import Draft
from cutting.cutlist import CutLine, cut_list
from cutting.plan import ClothPlan

__all__ = ["CountMismatchError", "Section", "gather"]


class CountMismatchError(ValueError):
    """The list and the plan do not speak of the same pieces."""

    mend = "Make the plan anew for this block and this number of blocks."


@dataclass(frozen=True, slots=True)
class Section:
    """One cloth: its plan, and its lines with the letters that people find them by."""

    name: str
    plan: ClothPlan
    lines: tuple[tuple[str, CutLine], ...]

    def letter_of(self, piece: int) -> str:
        """The letter of the line that a piece belongs to."""
        return next(letter for letter, line in self.lines if piece in line.pieces)


def gather(
    draft: Draft, plans: Sequence[ClothPlan], *, names: Mapping[str, str] | None = None
) -> tuple[Section, ...]:
    """The list cloth by cloth; `names` gives a cloth's name for people where its key is not one.

    Raises: CountMismatchError if the plans do not lay every piece of the block, as often as the list asks.
    """
    letters = _letters()
    sections = []
    for plan in plans:
        pieces = {laid.piece for laid in plan.laid}
        lines = cut_list(draft, grid_in=plan.rules.grid_in, blocks=plan.blocks, only=pieces)
        name = (names or {}).get(plan.cloth, plan.cloth)
        section = Section(name, plan, tuple((next(letters), line) for line in lines))
        _check_counts(section)
        sections.append(section)
    listed = {piece for section in sections for _, line in section.lines for piece in line.pieces}
    missing = [piece.role for piece in draft.pieces if piece.number not in listed]
    if missing:
        raise CountMismatchError(f'No plan lays the pieces for "{missing[0]}" of {draft.name}.')
    return tuple(sections)


def _check_counts(section: Section) -> None:
    laid = Counter(laid.piece for laid in section.plan.laid)
    for letter, line in section.lines:
        on_cloth = sum(laid[piece] for piece in line.pieces)
        if on_cloth != line.quantity:
            raise CountMismatchError(
                f"Line {letter} asks for {line.quantity} pieces; {on_cloth} lie on {section.name}."
            )
    if sum(line.quantity for _, line in section.lines) != len(section.plan.laid):
        raise CountMismatchError(f"Pieces lie on {section.name} that are not on the list.")


def _letters() -> Iterator[str]:
    """A, B, ... Z, AA, AB, ... without end."""
    for number in count(1):
        letters, rest = "", number
        while rest:
            rest, last = divmod(rest - 1, 26)
            letters = chr(ord("A") + last) + letters
        yield letters
