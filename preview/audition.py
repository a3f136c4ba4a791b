"""An audition: a drafted block with a cloth for every patch and a place on that cloth for every piece."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from types import MappingProxyType

from blocks.motion import Motion
from blocks.values import Draft, Patch
from preview.fitting import fit_on_photo
from swatches.swatch import Swatch

__all__ = ["Audition", "MissingCloth", "MissingPlace", "UnknownPatch", "UnknownRole", "make_audition"]


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
    _check_roles(draft, roles=roles, singles=singles)
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
        notes=tuple(_note(name, numbers) for name, numbers in too_big.items()),
    )


def _check_roles(draft: Draft, *, roles: Mapping[str, Swatch], singles: Mapping[int, Swatch]) -> None:
    known = tuple(dict.fromkeys(patch.role for patch in draft.patches))
    needed = {patch.role for patch in draft.patches if patch.number not in singles}
    unknown = tuple(role for role in roles if role not in known)
    missing = tuple(role for role in known if role in needed and role not in roles)
    if unknown:
        raise UnknownRole(unknown, missing, known)
    if missing:
        raise MissingCloth(missing)
    numbers = {patch.number for patch in draft.patches}
    strange = tuple(number for number in singles if number not in numbers)
    if strange:
        raise UnknownPatch(strange, len(numbers))


def _guess(role: str, known: Iterable[str]) -> str:
    close = get_close_matches(role.lower(), list(known), n=1, cutoff=0.6)
    return f' (did you mean "{close[0]}"?)' if close else ""


def _listed(words: Iterable[str], tails: Iterable[str] = ()) -> str:
    ends = list(tails) or [""] * len(list(words))
    return ", ".join(f'"{word}"{end}' for word, end in zip(words, ends, strict=True))


def _note(name: str, numbers: list[int]) -> str:
    which = f"patch {numbers[0]}" if len(numbers) == 1 else f"patches {', '.join(map(str, numbers))}"
    return (
        f'The photograph of "{name}" shows less cloth than {which} need'
        f"{'s' if len(numbers) == 1 else ''}; what lies beyond it is hatched."
    )
