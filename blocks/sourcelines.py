"""Which line of a TOML text a fault stands in, told from its table and field."""

from __future__ import annotations

import re
from dataclasses import replace

from blocks.faults import Fault

__all__ = ["with_line"]

_PLACE = re.compile(r"(step|applique|reading|border) (\d+)|(sashing|binding)")

_HEAD = re.compile(r"\s*\[+\s*[a-z]+\s*\]+\s*(#|$)")


def with_line(fault: Fault, text: str) -> Fault:
    """The fault with the line of its field, or of its table, in front of its place; as it is if unknown."""
    lines = text.splitlines()
    first, last = 0, len(lines)
    if match := _PLACE.match(fault.where):
        head = match[1] or match[3]
        heads = [i for i, line in enumerate(lines) if re.match(rf"\s*\[+\s*{head}\s*\]+", line)]
        number = int(match[2] or 1)
        if number > len(heads):
            return fault
        first = heads[number - 1]
        later = (
            i for i in range(first + 1, len(lines)) if re.match(r"\s*\[+\s*[a-z]+\s*\]+\s*(#|$)", lines[i])
        )
        last = next(later, len(lines))
    field = re.compile(rf"\s*\[?\s*{re.escape(fault.field)}\s*[=\]]") if fault.field else None
    at = next((i for i in range(first, last) if field and field.match(lines[i])), first)
    return replace(fault, where=f"line {at + 1}, {fault.where}")
