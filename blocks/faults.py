"""Faults found in something a maker wrote: all of them at once, each with its place and its mend."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["Fault", "FaultsError"]


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing to put right: where it stands, in which field, what was wrong and what to do."""

    where: str
    """The table it stands in, for people to find: "applique 3 (left stem)"."""
    field: str
    """The field as written in the file, or "" when the whole table is at fault."""
    message: str
    """What was typed and why it will not do, without a full stop."""
    mend: str
    """One sentence in the imperative."""

    def __str__(self) -> str:
        place = f"{self.where}, {self.field}" if self.field else self.where
        return f"{place}: {self.message}."


class FaultsError(ValueError):
    """Everything wrong with what a maker wrote, in the order found; `faults` is never empty."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        self.mend = self.faults[0].mend if len(self.faults) == 1 else "Mend each fault in turn."
        if len(self.faults) == 1:
            message = str(self.faults[0])
        else:
            message = "\n".join(f"{fault} Mend: {fault.mend}" for fault in self.faults)
        super().__init__(message)
