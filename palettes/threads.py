"""Threads to match: a small list of our own, made up by rule, or the maker's own from a CSV file."""

from __future__ import annotations

import csv
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from palettes.colours import ColourError, parse_colour
from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from palettes.lightness import lab_from_lin, lin_from_lab

__all__ = ["Thread", "ThreadListError", "own_threads", "parse_threads", "read_threads", "thread_labs"]

_LARGEST_BYTES = 4 << 20
_MOST_THREADS = 5000


class ThreadListError(ValueError):
    """A list of threads that cannot be read. Names the file and line, and how to mend it."""

    def __init__(self, where: str, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{where}: {why}.")


@dataclass(frozen=True, slots=True)
class Thread:
    """A spool."""

    name: str
    hex: str


_HUES = (
    ("rose", 5, 48),
    ("brick", 35, 50),
    ("amber", 65, 58),
    ("straw", 92, 55),
    ("moss", 118, 42),
    ("leaf", 142, 42),
    ("pool", 195, 30),
    ("sky", 250, 34),
    ("iris", 292, 42),
    ("plum", 330, 42),
)
"""Names with a hue angle and a chroma in CIELAB."""

_STEPS = (("pale", 85, 0.4), ("light", 72, 0.75), ("mid", 57, 1.0), ("deep", 42, 1.0), ("dark", 28, 0.75))
"""Words with an L* and the part of the chroma that is left there."""

_NEUTRALS = (
    ("chalk", (97, 0, 1)),
    ("cream", (92, 1, 9)),
    ("oatmeal", (80, 2, 12)),
    ("pebble", (68, 1, 6)),
    ("mouse", (52, 1, 4)),
    ("bark", (34, 8, 14)),
    ("slate", (38, -1, -6)),
    ("ash", (60, 0, -1)),
    ("soot", (20, 0, 0)),
    ("ink", (16, 2, -14)),
)


@cache
def own_threads() -> tuple[Thread, ...]:
    """Sixty made-up threads: ten hues in five steps, and ten neutrals. No maker's range is meant."""
    found = [Thread(name, _hex(lab)) for name, lab in _NEUTRALS]
    for name, hue_deg, chroma in _HUES:
        turn = np.array([np.cos(np.radians(hue_deg)), np.sin(np.radians(hue_deg))])
        found += [Thread(f"{word} {name}", _hex((L, *(chroma * part * turn)))) for word, L, part in _STEPS]
    return tuple(found)


def thread_labs(threads: Iterable[Thread]) -> NDArray[np.float64]:
    """CIELAB (n, 3) of threads."""
    codes = [np.frombuffer(bytes.fromhex(thread.hex[1:]), np.uint8) for thread in threads]
    light = srgb8_to_lin(np.array(codes, np.uint8).reshape(-1, 3))
    return np.asarray(lab_from_lin(light), np.float64)


def read_threads(path: str | Path) -> tuple[Thread, ...]:
    """The threads of a CSV file with the columns `name` and `colour` (hexadecimal digits or a CSS name).

    Other columns are left alone. Raises: ThreadListError with every line at fault.
    """
    path = Path(path)
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise ThreadListError(str(path), "is larger than 4 MB", mend="Give a CSV file of threads only.")
        text = path.read_text("utf-8-sig")
    except (OSError, UnicodeDecodeError) as fault:
        raise ThreadListError(
            str(path), "cannot be read as UTF-8 text", mend="Save the list as CSV in UTF-8 and give its path."
        ) from fault
    return parse_threads(text, source=path.name)


def parse_threads(text: str, *, source: str = "threads") -> tuple[Thread, ...]:
    """read_threads for text that is at hand already."""
    rows = csv.DictReader(text.splitlines())
    columns = {(name or "").strip().lower(): name for name in rows.fieldnames or ()}
    colour = columns.get("colour") or columns.get("color")
    if "name" not in columns or not colour:
        raise ThreadListError(
            source,
            "has no columns name and colour",
            mend='Begin the file with the line "name,colour".',
        )
    threads, faults = [], []
    for number, row in enumerate(rows, start=2):
        name, code = (row.get(columns["name"]) or "").strip(), (row.get(colour) or "").strip()
        if not name or not name.isprintable() or len(name) > 80:
            faults.append(f"line {number} has no name of 1 to 80 printable characters")
            continue
        try:
            codes = parse_colour(code, field=f"line {number}")
        except ColourError as fault:
            faults.append(str(fault).rstrip("."))
            continue
        threads.append(Thread(name, "#" + bytes(codes.tolist()).hex()))
        if len(threads) > _MOST_THREADS:
            raise ThreadListError(
                source, f"holds more than {_MOST_THREADS} threads", mend="Split the list by kind of thread."
            )
    if faults or not threads:
        raise ThreadListError(
            source,
            "; ".join(faults[:10]) or "holds no thread",
            mend='Write each thread as a name and a colour, such as "mid leaf,#5f8f4e".',
        )
    return tuple(threads)


def _hex(lab: tuple[float, ...]) -> str:
    codes = lin_to_srgb8(lin_from_lab(np.array(lab, dtype=np.float64)))
    return "#" + bytes(codes.tolist()).hex()
