"""What the tool finds in photographs of real cloth, beside what the eye sees in them.

Run: python -m benchmarks.real_cloth FOLDER. It prints the table of docs/real-cloth.md. What the eye sees
stands in docs/real-cloth.csv: steps from one motif to the next of its kind, in pixels, read by eye from the
picture, ours. The folder holds the pictures under the names that stand there.
"""

from __future__ import annotations

import csv
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

import numpy as np

from swatches.measure import Measured, measure_photo
from swatches.repeat import Repeat
from swatches.scale import TypedPpi

BY_EYE = Path(__file__).resolve().parents[1] / "docs" / "real-cloth.csv"
PPI = 100
"""Typed for all: the size of most of the cloths is not known, and the repeat is told in pixels."""
READ_TO = 0.03
"""How closely a step is read by eye, as a share of it (ours)."""

Agreement = Literal["the same", "a whole multiple", "says not sure", "says less is seen", "wrong"]
_KINDS = {"both ways": "lattice", "one way": "one way", "stripes": "stripe", "plain": "plain", "none": "none"}


@dataclass(frozen=True, slots=True)
class Seen:
    """What the eye sees of one picture."""

    file: str
    repeats: str
    steps_px: tuple[tuple[float, float], ...]
    way: str
    """Which way up the print can be sewn; empty where the eye cannot tell or it does not matter."""


def seen_by_eye() -> tuple[Seen, ...]:
    """Every row of docs/real-cloth.csv."""
    rows = csv.DictReader(BY_EYE.read_text("utf-8").splitlines())
    return tuple(
        Seen(
            row["file"],
            row["repeats"],
            tuple(
                (float(row[f"{which} x"]), float(row[f"{which} y"]))
                for which in ("first", "second")
                if row[f"{which} x"]
            ),
            row["way"],
        )
        for row in rows
    )


def measured_cloth(folder: Path, file: str) -> Measured:
    """One of the pictures, as the tool reads it."""
    return measure_photo(folder / file, name=Path(file).stem, reference=TypedPpi(PPI))


def agreement(seen: Seen, found: Repeat) -> Agreement:
    """How what was found agrees with what the eye sees; a wrong answer may say that it is doubtful."""
    doubtful = "Not sure" in found.note
    if not found.steps_in:
        same = found.kind == _KINDS[seen.repeats] or {found.kind, seen.repeats} == {"none", "plain"}
        return "the same" if same else "says less is seen"
    steps = np.array(found.steps_in) * PPI
    if not seen.steps_px:
        return "says not sure" if doubtful else "wrong"
    truth = np.array(seen.steps_px)
    if len(truth) == 1:
        truth = np.array([truth[0], (-truth[0, 1], truth[0, 0])])
    whole = np.rint(steps @ np.linalg.inv(truth))
    off = np.hypot(*(steps - whole @ truth).T)
    if (off > READ_TO * np.hypot(*steps.T)).any() or not whole.any(axis=1).all():
        return "says not sure" if doubtful else "wrong"
    if found.kind == "one way" and seen.repeats == "both ways":
        return "says less is seen"
    if found.kind != _KINDS[seen.repeats]:
        return "says not sure" if doubtful else "wrong"
    cells = abs(np.linalg.det(whole)) if len(whole) == 2 else np.abs(whole).sum()
    return "the same" if round(float(cells)) == 1 else "a whole multiple"


def table_row(seen: Seen, measured: Measured) -> str:
    """One row of the table, in Markdown."""
    finished = measured.finished
    found, about = finished.repeat, finished.about
    tile = "wraps" if finished.wraps else "as photographed"
    eye = seen.repeats + (f" {_steps(seen.steps_px)}" if seen.steps_px else "")
    tool = _told(found) + (f" {_steps(_in_px(found))}" if found.steps_in else "")
    if "Not sure" in found.note:
        tool += ", not sure"
    ways = f"{seen.way or '-'} / {about.way if about.word != 'plain' else '-'}"
    ways += "" if about.way_sure else ", not sure"
    colours = ", ".join(f"{colour.name} {colour.share:.0%}" for colour in about.colours[:3])
    return (
        f"| {Path(seen.file).stem.replace('_', ' ')} | {eye} | {tool} | {agreement(seen, found)} | {tile} "
        f"| {ways} | {about.word} | {colours} |"
    )


def _in_px(found: Repeat) -> tuple[tuple[float, float], ...]:
    return tuple((x * PPI, y * PPI) for x, y in found.steps_in)


def _told(found: Repeat) -> str:
    return {kind: name for name, kind in _KINDS.items()}[found.kind]


def _steps(steps_px: tuple[tuple[float, float], ...]) -> str:
    return " and ".join(f"({_whole(x)}, {_whole(y)})" for x, y in steps_px)


def _whole(value: float) -> str:
    return f"{0.0 if abs(value) < 0.05 else value:.3g}"


def main(folder: Path) -> None:
    """Prints the table."""
    print(
        "| picture | repeats by eye, px | found, px | agreement | tile | way, eye / tool | word | colours |"
    )
    print("|---|---|---|---|---|---|---|---|")
    for seen in seen_by_eye():
        print(table_row(seen, measured_cloth(folder, seen.file)), flush=True)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
