"""The demonstration: three blocks in demo cloth, with all that is said of them, in one folder."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

from cutting.rows import write_csv
from cutting.sheet import cutting_text
from preview.files import save_png
from preview.frame import prepare_frame
from preview.keeping import PaintCache
from preview.readings import headline
from ui.audition_file import audition_text
from ui.bench import Worked
from ui.binding_part import cutting_rows
from ui.looks import look
from ui.orders import fill_order, take_order, written_order
from ui.reading_words import reading_rows, readings_text
from ui.settings import VIEWS
from ui.shelf import Shelf
from ui.writing import csv_text, filled_folder, write_whole

__all__ = ["DEMO_BLOCKS", "make_demo"]

DEMO_BLOCKS = ("orchard lantern", "sawtooth star", "nine patch")
"""From the whole craft to a first lesson."""


def make_demo(*, folder: str, ppi: Fraction, say: Callable[[str], None]) -> None:
    """Fills the folder with pictures, readings, cutting lists and auditions, and prints what reads how."""
    with filled_folder(Path(folder)) as place:
        for name in DEMO_BLOCKS:
            say(f"{name} ...")
            # The same for everyone: no one's stash is looked at.
            order = take_order(name, ())
            worked = fill_order(order, Shelf(None), say=_quiet)
            stem = place / name.replace(" ", "-")
            _draw(worked, stem, ppi=float(ppi))
            _tell(worked, stem)
            write_whole(stem.with_suffix(".toml"), audition_text(written_order(order, worked, beside=place)))
    print(f"Everything is in {folder}: pictures (.png), readings, cutting lists and auditions (.toml).")


def _quiet(_: str) -> None:
    """The demonstration's cloths are our choice, so nothing is said of that."""


def _draw(worked: Worked, stem: Path, *, ppi: float) -> None:
    frame, cache = prepare_frame(worked.drafted.draft, ppi=ppi), PaintCache()
    for view in VIEWS:
        picture = look(worked, view=view, ppi=ppi, frame=frame, cache=cache)
        save_png(stem.with_name(f"{stem.name}-{view}.png"), picture, ppi=ppi)


def _tell(worked: Worked, stem: Path) -> None:
    found = worked.drafted.draft
    readings = worked.readings()
    write_whole(stem.with_name(f"{stem.name}-readings.txt"), readings_text(found.name, readings))
    write_whole(
        stem.with_name(f"{stem.name}-readings.csv"),
        csv_text(reading_rows(readings, worked.cloth_of_patches())),
    )
    names = worked.cloth_names()
    write_whole(stem.with_name(f"{stem.name}-cutting.txt"), cutting_text(found, worked.plans, names=names))
    write_csv(cutting_rows(worked), stem.with_name(f"{stem.name}-cutting.csv"))
    print(f"{found.name}: {headline(readings)}")
