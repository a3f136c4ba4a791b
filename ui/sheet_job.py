"""The photo sheet, written as a PDF."""

from __future__ import annotations

from pathlib import Path
from typing import Literal

from swatches.sheet_pdf import write_sheet
from ui.writing import check_place

__all__ = ["make_sheet"]


def make_sheet(*, page: Literal["A4", "Letter"], to: str) -> None:
    """Writes the sheet for that paper and says how it is printed."""
    file = check_place(Path(to), ends=(".pdf",))
    write_sheet(file, page=page)
    print(f"{file} is the photo sheet for {page} paper.")
    print("Print it at 100 %, measure its 100 mm bar, cut out its middle and lay the frame on the cloth.")
    print('Then photograph both, and run: seamlight add-cloth PHOTO --name NAME --sheet   (--bar "97 mm")')
