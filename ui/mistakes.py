"""Mistakes that a user can mend, told in one or two lines wherever they come from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches

__all__ = ["Mistake", "Told", "closest", "tell"]


class Mistake(ValueError):
    """A mistake found by the command or the page. Its mend is one sentence in the imperative."""

    def __init__(self, what: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(what)


@dataclass(frozen=True, slots=True)
class Told:
    """What was wrong and what to do about it, both ready to show."""

    what: str
    mend: str

    def lines(self) -> str:
        """Both in two short lines."""
        return f"{self.what}\nMend: {self.mend}" if self.mend else self.what


def tell(error: BaseException) -> Told | None:
    """What to say about an error, or None where it is no user's mistake but a fault of the program.

    Every mistake of ours carries a `mend`; of the system's own errors those of files are a user's to mend.
    """
    mend = getattr(error, "mend", None)
    if isinstance(error, ValueError) and isinstance(mend, str):
        return Told("\n".join(_clean(line) for line in str(error).split("\n")), _clean(mend))
    if isinstance(error, OSError):
        return _tell_file_error(error)
    return None


def _tell_file_error(error: OSError) -> Told:
    name = _clean(str(error.filename)) if error.filename is not None else "A file"
    match error:
        case FileNotFoundError():
            return Told(
                f"{name} is not there.", "Check the spelling and the folder, or make the folder first."
            )
        case IsADirectoryError():
            return Told(f"{name} is a folder, not a file.", "Name a file.")
        case NotADirectoryError() | FileExistsError():
            return Told(f"{name} is a file, so nothing can be put into it.", "Name a folder, or a new name.")
        case PermissionError():
            return Told(f"{name} may not be opened or written.", "Choose a place that is yours to write in.")
        case _:
            return Told(f"{name}: {error.strerror or error}.", "Choose another file or folder and try again.")


def _clean(text: str) -> str:
    """The text without control characters: a file's name cannot move the cursor or colour the screen."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())


def closest(typed: str, known: Iterable[str]) -> str:
    """A sentence part that offers the names nearest to what was typed, or lists them all if none is near.

    Example: closest("petl", ["petal", "leaf"]) -> 'Did you mean "petal"?'
    """
    names = sorted(set(known))
    by_low = {name.casefold(): name for name in names}
    near = [by_low[low] for low in get_close_matches(typed.casefold(), by_low, n=3, cutoff=0.6)]
    if near:
        return "Did you mean " + " or ".join(f'"{name}"' for name in near) + "?"
    if not names:
        return "There is none to choose from."
    return "Choose one of: " + ", ".join(names) + "."
