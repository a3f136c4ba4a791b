"""What is chosen at one moment: a block, alone or in a quilt, and its cloth. Also as a web address."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from urllib.parse import urlencode

from ui.mistakes import Mistake
from ui.quilt_choice import QuiltChoice, quilt_from_words, quilt_words
from ui.settings import SEAM, VIEWS, WIDTH

__all__ = ["Choice", "choice_from_query", "choice_query", "read_view"]

_MOST_ROLES = 200
_LONGEST_WORD = 200


@dataclass(frozen=True, slots=True)
class Choice:
    """A block or quilt in chosen cloth. Equal choices give equal pictures, so a choice can be a key."""

    block: str
    cloths: tuple[tuple[str, str], ...]
    """Role and key of its cloth, role by role."""
    seam_in: Fraction = SEAM.default
    width_in: Fraction | None = None
    """Finished width of the block; None for its own."""
    upright: bool = False
    """Whether one-way cloth is laid so that its print finishes upright."""
    quilt: QuiltChoice | None = None

    def cloth_keys(self) -> Mapping[str, str]:
        """The key of each role's cloth."""
        return dict(self.cloths)

    def bare(self) -> Choice:
        """The same without cloth: what is to be sewn."""
        return replace(self, cloths=(), upright=False)


def choice_query(choice: Choice, **more: str) -> str:
    """The choice as the tail of a web address, with whatever else the address should say."""
    pairs = [("block", choice.block), ("seam", str(choice.seam_in))]
    if choice.width_in is not None:
        pairs += [("width", str(choice.width_in))]
    pairs += [("upright", "yes")] if choice.upright else []
    pairs += list(quilt_words(choice.quilt)) if choice.quilt is not None else []
    pairs += [("cloth", f"{role}={key}") for role, key in choice.cloths]
    return urlencode([*pairs, *more.items()])


def choice_from_query(pairs: Iterable[tuple[str, str]]) -> Choice:
    """The choice that an address names. Whether the block has these roles is not asked here.

    Raises: Mistake for an address that no page of ours makes.
    """
    words: dict[str, str] = {}
    cloths: list[tuple[str, str]] = []
    for name, value in pairs:
        if len(value) > _LONGEST_WORD or len(cloths) >= _MOST_ROLES:
            raise Mistake("The address is too long.", mend="Go back to the page and choose again.")
        if name == "cloth":
            role, _, key = value.rpartition("=")
            cloths.append((role, key))
        else:
            words[name] = value
    width = words.get("width", "")
    return Choice(
        words.get("block", ""),
        tuple(cloths),
        SEAM.read(words.get("seam")),
        WIDTH.read(width) if width.strip() else None,
        words.get("upright") == "yes",
        quilt_from_words(words),
    )


def read_view(view: object) -> str:
    """The name of a view.

    Raises: Mistake for any other word.
    """
    if not isinstance(view, str) or view not in VIEWS:
        raise Mistake("There is no such view.", mend=f"Choose one of: {', '.join(VIEWS)}.")
    return view
