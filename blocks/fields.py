"""Reading the fields of a table a maker wrote: every fault is gathered, none stops the reading."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from difflib import get_close_matches
from fractions import Fraction
from typing import Any

from blocks.faults import Fault
from blocks.lengths import LengthError, parse_inches, parse_size

__all__ = ["Fields", "closest"]


def closest(word: str, choices: Iterable[str]) -> str:
    """A mend that names the nearest choice, or all of them."""
    choices = list(choices)
    near = get_close_matches(word, choices, n=1, cutoff=0.6)
    if near:
        return f'Did you mean "{near[0]}"? Write one of: {", ".join(choices)}.'
    return f"Write one of: {', '.join(choices)}."


class Fields:
    """One table being read. Each method takes a field out and returns a usable value even after a fault."""

    def __init__(self, table: Mapping[str, Any], *, where: str, faults: list[Fault]) -> None:
        self._table = dict(table)
        self.where = where
        self.faults = faults

    def fault(self, field: str, message: str, mend: str) -> None:
        """Notes one fault of this table."""
        self.faults.append(Fault(self.where, field, message, mend))

    def has(self, field: str) -> bool:
        """Whether the field was written and not yet taken."""
        return field in self._table

    def take(self, field: str, kind: type | tuple[type, ...], *, mend: str, default: Any = None) -> Any:
        """The field's raw value if it is of the right kind, else the default, with a fault."""
        if field not in self._table:
            if default is None:
                self.fault(field, "is missing", mend)
            return default
        found = self._table.pop(field)
        if not isinstance(found, kind) or isinstance(found, bool) is not (kind is bool):
            self.fault(field, f"{found!r} will not do here", mend)
            return default
        return found

    def text(self, field: str, *, mend: str, default: str | None = None) -> str:
        """A text field, without outer blanks."""
        found = self.take(field, str, mend=mend, default=default)
        if found is not None and not found.strip() and default is None:
            self.fault(field, "is empty", mend)
        return "" if found is None else str(found).strip()

    def word(self, field: str, choices: Sequence[str], *, default: str | None = None) -> str:
        """One of a list of words."""
        found = self.text(field, mend=closest("", choices), default=default)
        if found and found not in choices:
            self.fault(field, f'"{found}" is not known', closest(found, choices))
            return default or choices[0]
        return found or choices[0]

    def length(self, field: str, *, mend: str, default: Fraction | None = None) -> Fraction:
        """A length in inches, more than nothing unless the default is nothing."""
        found = self._measure(field, parse_inches, mend, default)
        if found == 0 and default != 0:
            self.fault(field, "is nothing", mend)
        return Fraction(1) if found is None else found

    def size(self, field: str, *, mend: str) -> tuple[Fraction, Fraction]:
        """A width and a height."""
        found = self._measure(field, parse_size, mend, None)
        return (Fraction(1), Fraction(1)) if found is None else found

    def _measure(self, field: str, read: Callable[[Any], Any], mend: str, default: Any) -> Any:
        typed = self.take(field, (str, int), mend=mend, default=default)
        if typed is None or typed is default:
            return typed
        try:
            return read(typed)
        except LengthError as error:
            self.fault(field, str(error).rstrip("."), error.mend)
            return default

    def texts(self, field: str, *, mend: str) -> list[str]:
        """A list of texts, at least one."""
        found = self.take(field, list, mend=mend)
        if found is None:
            return []
        if not found or not all(isinstance(item, str) and item.strip() for item in found):
            self.fault(field, "is not a list of texts", mend)
            return [item for item in found if isinstance(item, str)]
        return [item.strip() for item in found]

    def tables(self, field: str, *, mend: str) -> list[Mapping[str, Any]]:
        """A list of tables, at least one."""
        found = self.take(field, list, mend=mend)
        if found is None:
            return []
        if not found or not all(isinstance(item, dict) for item in found):
            self.fault(field, "is not a list of tables", mend)
        return [item for item in found if isinstance(item, dict)]

    def finish(self, known: Sequence[str]) -> None:
        """Notes every field that was written but not asked for."""
        for field in self._table:
            self.fault(field, "is not a field of this table", closest(field, known))
