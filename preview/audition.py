"""An audition: a drafted block with a cloth for every patch and a place on that cloth for every piece."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType

import numpy as np

from blocks.motion import Motion
from blocks.values import Draft, Patch
from preview.fitting import fit_on_photo
from preview.repeating import row_of
from preview.wear import Wear, make_wear
from swatches.swatch import Swatch

__all__ = [
    "Audition",
    "MissingCloth",
    "MissingPlace",
    "UnknownPatch",
    "UnknownRole",
    "check_roles",
    "make_audition",
    "photo_notes",
]


_MOST_LISTED = 12
"""Patches named in a note before the rest are counted (ours)."""


class UnknownRole(ValueError):
    """A cloth was given for a role that the block does not have. `unknown` and `missing` name them all."""

    def __init__(self, unknown: tuple[str, ...], missing: tuple[str, ...], roles: tuple[str, ...]) -> None:
        self.unknown, self.missing = unknown, missing
        guesses = [_guess(role, missing or roles) for role in unknown]
        self.mend = f"Use the block's roles: {_listed(roles)}."
        lacking = f" Without a cloth: {_listed(missing)}." if missing else ""
        super().__init__(f"The block has no role {_listed(unknown, guesses)}.{lacking}")


class MissingCloth(ValueError):
    """Roles of the block for which no cloth was given. `missing` names them all."""

    def __init__(self, missing: tuple[str, ...]) -> None:
        self.missing = missing
        self.mend = "Give each of these roles a cloth."
        super().__init__(f"No cloth was given for {_listed(missing)}.")


class UnknownPatch(ValueError):
    """A single patch was given a cloth, but the block has no patch of that number."""

    def __init__(self, unknown: tuple[int, ...], count: int) -> None:
        self.unknown = unknown
        self.mend = f"Give patch numbers from 1 to {count}."
        super().__init__(f"The block has no patch {', '.join(map(str, unknown))}.")


class MissingPlace(ValueError):
    """Pieces that have no place on their cloth. `missing` gives their numbers."""

    def __init__(self, missing: tuple[int, ...]) -> None:
        self.missing = missing
        self.mend = "Lay out the cutting of the same draft again, so that every piece has its place."
        super().__init__(f"No place on the cloth was given for piece {', '.join(map(str, missing))}.")


@dataclass(frozen=True, slots=True, eq=False)
class Audition:
    """What the picture and the readings are made from. Build it with make_audition."""

    draft: Draft
    cloths: Mapping[int, Swatch]
    """The cloth of each patch, by patch number."""
    places: tuple[Motion, ...]
    """Cut-piece point to cloth point, for each piece, as the cutting laid them."""
    placed: Mapping[int, Motion]
    """The same by patch number, moved onto the photographed cloth where the cloth does not repeat."""
    wear: Wear
    """The same as columns, for painting."""
    notes: tuple[str, ...]
    """What the maker should know about the picture, one sentence each."""

    def cloth_of(self, patch: Patch) -> Swatch:
        """The cloth a patch is made of."""
        return self.cloths[patch.number]

    def place_of(self, patch: Patch) -> Motion:
        """The motion from the patch's cut piece to its cloth."""
        return self.placed[patch.number]


def make_audition(
    draft: Draft,
    *,
    roles: Mapping[str, Swatch],
    places: Mapping[int, Motion],
    overrides: Mapping[int, Swatch] | None = None,
) -> Audition:
    """The block in these cloths: each role's, except where `overrides` gives single patches another.

    `places` says for each piece number how its cut-piece points lie on the bolt. Where a cloth does not
    repeat, the place is moved onto the photographed part; a piece too big for it is named in `notes`.
    Raises: UnknownRole, MissingCloth, UnknownPatch, MissingPlace, each naming everything at fault.
    """
    singles = dict(overrides or {})
    numbers = [patch.number for patch in draft.patches]
    check_roles([patch.role for patch in draft.patches], numbers, roles=roles, singles=singles)
    lost = tuple(piece.number for piece in draft.pieces if piece.number not in places)
    if lost:
        raise MissingPlace(lost)
    cloths = {patch.number: singles.get(patch.number) or roles[patch.role] for patch in draft.patches}
    placed: dict[int, Motion] = {}
    too_big: dict[str, list[int]] = {}
    for patch in draft.patches:
        cloth = cloths[patch.number]
        placed[patch.number], fits = fit_on_photo(
            places[patch.piece], cloth=cloth, piece=draft.pieces[patch.piece], patch=patch
        )
        if not fits:
            too_big.setdefault(cloth.name, []).append(patch.number)
    return Audition(
        draft=draft,
        cloths=MappingProxyType(cloths),
        places=tuple(places[piece.number] for piece in draft.pieces),
        placed=MappingProxyType(placed),
        wear=make_wear(
            [patch.role for patch in draft.patches],
            [cloths[patch.number] for patch in draft.patches],
            np.array([row_of(placed[patch.number]) for patch in draft.patches]),
        ),
        notes=photo_notes(too_big),
    )


def check_roles(
    roles_of: Sequence[str],
    numbers: Sequence[int],
    *,
    roles: Mapping[str, Swatch],
    singles: Mapping[int, Swatch],
) -> None:
    """Nothing, if patches of these roles and numbers all have a cloth.

    Raises: UnknownRole, MissingCloth, UnknownPatch.
    """
    known = tuple(dict.fromkeys(roles_of))
    needed = {role for role, number in zip(roles_of, numbers, strict=True) if number not in singles}
    unknown = tuple(role for role in roles if role not in known)
    missing = tuple(role for role in known if role in needed and role not in roles)
    if unknown:
        raise UnknownRole(unknown, missing, known)
    if missing:
        raise MissingCloth(missing)
    strange = tuple(number for number in singles if number not in set(numbers))
    if strange:
        raise UnknownPatch(strange, len(numbers))


def _guess(role: str, known: Iterable[str]) -> str:
    close = get_close_matches(role.lower(), list(known), n=1, cutoff=0.6)
    return f' (did you mean "{close[0]}"?)' if close else ""


def _listed(words: Iterable[str], tails: Iterable[str] = ()) -> str:
    ends = list(tails) or [""] * len(list(words))
    return ", ".join(f'"{word}"{end}' for word, end in zip(words, ends, strict=True))


def photo_notes(too_big: Mapping[str, list[int]]) -> tuple[str, ...]:
    """A sentence for each photograph that is too small, by name, for these patches."""
    return tuple(_note(name, numbers) for name, numbers in too_big.items())


def _note(name: str, numbers: list[int]) -> str:
    listed = ", ".join(map(str, numbers[:_MOST_LISTED]))
    more = f" and {len(numbers) - _MOST_LISTED} more" if len(numbers) > _MOST_LISTED else ""
    which = f"patch {listed}" if len(numbers) == 1 else f"patches {listed}{more}"
    return (
        f'The photograph of "{name}" shows less cloth than {which} need'
        f"{'s' if len(numbers) == 1 else ''}; what lies beyond it is hatched."
    )
