"""Published tables as rows, and the libraries that serve as second witness."""

from __future__ import annotations

import csv
import warnings
from pathlib import Path
from types import ModuleType

HERE = Path(__file__).resolve().parent


def read_rows(name: str) -> list[dict[str, str]]:
    """The rows of a table in this folder, by column name; lines that start with # are its source."""
    lines = (HERE / name).read_text("utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def colour_science() -> ModuleType:
    """The colour-science package; it warns on import where matplotlib is absent, which is no fault here."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    return colour
