"""All the cloth at hand in one place: the demo cloth, the maker's stash, and plain colours by name."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal

from palettes.colours import ColourError
from swatches.demo import demo_about, demo_names, demo_swatch
from swatches.solids import solid_swatch
from swatches.stash import StashEntry, default_stash_path
from swatches.swatch import Swatch
from swatches.trust import seen_swatch
from ui.audition_file import ChosenCloth
from ui.mistakes import Mistake, closest
from ui.stash_book import StashBook

__all__ = ["Shelf", "ShelfEntry", "open_shelf"]


@dataclass(frozen=True, slots=True)
class ShelfEntry:
    """One cloth as it stands on the shelf."""

    key: str
    name: str
    kind: str
    """In the trade's words: "ditsy", "gingham", "solid"; "your stash" for the maker's own."""
    line: str
    """One sentence about it."""
    source: Literal["demo", "stash"]


@dataclass(frozen=True, slots=True)
class Shelf:
    """The demo cloth, and the stash in a file, which need not be there yet; None for no stash at all."""

    stash_file: Path | None
    _book: StashBook = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "_book", StashBook(self.stash_file))

    def entries(self) -> tuple[ShelfEntry, ...]:
        """Everything on the shelf: the maker's own cloth first, then the demo cloth."""
        return (*self._own(), *_demo_entries())

    def find(self, called: str) -> Swatch:
        """The cloth of this name or key; else the plain colour of this name or code.

        Raises: Mistake with the nearest names.
        """
        found = self._find(called)
        if found is None:
            names = [entry.name for entry in self.entries()]
            raise Mistake(
                f'There is no cloth called "{called}".', mend=self.how_back(called) or closest(called, names)
            )
        return found

    def key_of(self, called: str) -> str:
        """The key of the cloth that `find` finds. Raises: as find."""
        plain = _plain(called)
        for entry in self.entries():
            if plain in (_plain(entry.name), _plain(entry.key)):
                return entry.key
        return self.find(called).key

    def find_chosen(self, chosen: ChosenCloth) -> Swatch | None:
        """The cloth an audition names: by its key, else by its name; None if the shelf has neither."""
        return self._find(chosen.key) or self._find(chosen.name)

    def add(self, swatch: Swatch, *, replace: bool = False) -> None:
        """Puts a cloth into the stash; the stash is begun if it is not there yet.

        Raises: StashError if a cloth of that name is there already and is not to be replaced, Mistake if
        there is no stash.
        """
        if self.stash_file is None:
            raise Mistake("There is no stash to put cloth into.", mend="Start with a stash.")
        self.stash_file.parent.mkdir(parents=True, exist_ok=True)
        stash = self._book.begun()
        if replace:
            stash.replace(swatch)
        else:
            stash.add(swatch)

    def rename(self, called: str, name: str) -> tuple[str, str]:
        """Calls a cloth of the stash otherwise; its name before and now.

        Raises: Mistake for none, StashError if the name is taken, SwatchError for what is no name.
        """
        entry = self._own_entry(called)
        self._book.begun().rename(entry.key, name)
        return entry.name, name.strip()

    def remove(self, called: str) -> str:
        """Takes a cloth out of the stash, whence it can be put back; its name.

        Raises: Mistake for none.
        """
        key = self._own_entry(called).key
        return self._book.begun().remove(key)

    def forget(self, called: str) -> str:
        """Gives a cloth of the stash away for good, or one that was taken out before; its name.

        Raises: Mistake for none.
        """
        if _plain(called) in map(_plain, self.aside()) and not self._has(called):
            return self._book.begun().forget(called)
        key = self._own_entry(called).key
        self._book.begun().remove(key)
        return self._book.begun().forget(key)

    def put_back(self, called: str) -> str:
        """Puts a cloth that was taken out back into the stash; its name.

        Raises: Mistake for no stash, StashError for no such cloth, or if its name is taken by now.
        """
        if not self._has_stash():
            raise Mistake("There is no stash yet.", mend="Add a cloth of your own first.")
        return self._book.begun().put_back(called)

    def aside(self) -> tuple[str, ...]:
        """The names of the cloth that was taken out of the stash and can be put back, the last one first."""
        return self._book.begun().aside() if self._has_stash() else ()

    def lying_aside(self, key: str) -> Swatch | None:
        """The cloth of that key that was taken out of the stash, as the maker saw it; None for none."""
        found = self._book.begun().get_aside(key) if self._has_stash() else None
        return None if found is None else seen_swatch(found)

    def _has_stash(self) -> bool:
        return self.stash_file is not None and self.stash_file.exists()

    def _has(self, called: str) -> bool:
        return any(_plain(called) in (_plain(entry.name), _plain(entry.key)) for entry in self._own())

    def _find(self, called: str) -> Swatch | None:
        plain = _plain(called)
        if not plain:
            return None
        for entry in self.entries():
            if plain in (_plain(entry.name), _plain(entry.key)):
                return self.take(entry)
        try:
            return solid_swatch(called)
        except ColourError:
            return None

    def take(self, entry: ShelfEntry) -> Swatch:
        """The cloth of an entry of this shelf, as the maker sees it: corrected by eye where it was."""
        if entry.source == "stash":
            return seen_swatch(self._book.get(entry.key))
        return demo_swatch(entry.name)

    def stamps(self) -> Mapping[str, str]:
        """By key a mark of each cloth of the stash as it is now: another one whenever it was changed."""
        return self._book.stamps()

    def stored(self, called: str) -> Swatch:
        """A cloth of the stash as it is kept: its picture without the correction by eye.

        Raises: Mistake if the stash has no cloth of this name or key.
        """
        return self._book.get(self._own_entry(called).key)

    def _own_entry(self, called: str) -> ShelfEntry:
        own = self._own()
        plain = _plain(called)
        for entry in own:
            if plain in (_plain(entry.name), _plain(entry.key)):
                return entry
        nearest = closest(called, [entry.name for entry in own]) if own else "Add a cloth of your own first."
        raise Mistake(
            f'There is no cloth called "{called}" in your stash.', mend=self.how_back(called) or nearest
        )

    def how_back(self, called: str) -> str:
        """How a cloth comes back that was taken out of the stash; "" for any other."""
        if _plain(called) not in map(_plain, self.aside()):
            return ""
        return f'It was taken out of your stash; have it back with: seamlight put-back "{called}"'

    def check_free(self, name: str) -> None:
        """Nothing, if the stash has no cloth of this name. Asked before long work begins.

        Raises: Mistake if it has.
        """
        if any(entry.name.casefold() == name.strip().casefold() for entry in self._own()):
            raise Mistake(
                f'Your stash already holds a cloth called "{name.strip()}".',
                mend="Choose another name, or replace the cloth with --replace.",
            )

    def _own(self) -> tuple[ShelfEntry, ...]:
        return tuple(
            ShelfEntry(entry.key, entry.name, "your stash", _own_line(entry), "stash")
            for entry in self._book.entries()
        )


def _own_line(entry: StashEntry) -> str:
    kind = f"; {entry.about.word}, {entry.about.way}" if entry.about is not None else ""
    return f"{entry.width_in:.1f} x {entry.height_in:.1f} in; {entry.trust}{kind}"


def open_shelf(stash: str | None) -> Shelf:
    """The shelf with the stash that was named, or else with this person's own."""
    return Shelf(Path(stash) if stash else default_stash_path())


def _demo_entries() -> tuple[ShelfEntry, ...]:
    abouts = (demo_about(name) for name in demo_names())
    return tuple(
        ShelfEntry(about.name.replace(" ", "-"), about.name, about.kind, about.line, "demo")
        for about in abouts
    )


def _plain(called: str) -> str:
    return " ".join(called.casefold().replace("-", " ").split())
