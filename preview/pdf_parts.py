"""Pages of a PDF written one after the other: pictures as JPEG in sRGB, lines and text over them.

Source: ISO 32000-1:2008 (PDF 1.7), sections 7.3 to 7.5, 8 and 9.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from preview.files import srgb_profile
from preview.writing import open_whole

__all__ = ["MOST_PAGE_IN", "PdfPage", "PdfPicture", "picture", "polygon", "text", "write_pdf"]

_PT = 72
MOST_PAGE_IN = 200.0
"""Source: ISO 32000-1, annex C: a page side has at most 14,400 units."""


@dataclass(frozen=True, slots=True)
class PdfPicture:
    """A JPEG and its size in pixels."""

    jpeg: bytes
    width_px: int
    height_px: int


@dataclass(frozen=True, slots=True)
class PdfPage:
    """A page in inches from the top left. Its picture is named /Cloth in the content."""

    width_in: float
    height_in: float
    content: Sequence[str]
    picture: PdfPicture | None = None


def picture(x_in: float, y_in: float, width_in: float, height_in: float) -> str:
    """Draws the page's picture into a box."""
    return f"q {_n(width_in)} 0 0 {_n(-height_in)} {_n(x_in)} {_n(y_in + height_in)} cm /Cloth Do Q"


def polygon(points: Iterable[tuple[float, float]], *, closed: bool = True) -> str:
    """Strokes a line through points."""
    walk = [f"{_n(x)} {_n(y)} {'l' if number else 'm'}" for number, (x, y) in enumerate(points)]
    return " ".join([*walk, "s" if closed else "S"])


def text(x_in: float, y_in: float, words: str, *, size_pt: float, middle: bool = False) -> str:
    """Writes words; y is their foot. Letters outside Western European ones come out as question marks."""
    size = size_pt / _PT
    if middle:
        # Helvetica's figures are 0.556 of its size wide; other letters about as much.
        x_in -= 0.278 * size * len(words)
    coded = words.encode("cp1252", "replace").decode("latin-1")
    safe = coded.replace("\\", "\\\\").replace("(", "\\(").replace(")", "\\)")
    return f"BT /F {_n(size)} Tf 1 0 0 -1 {_n(x_in)} {_n(y_in)} Tm ({safe}) Tj ET"


def write_pdf(path: Path, pages: Iterable[PdfPage], *, title: str) -> int:
    """The number of pages now written. Pages are taken one by one, so that only one is held in memory.

    The print dialog is asked not to scale. Raises: OutputError if the file cannot be written.
    """
    with open_whole(path) as file:
        places: dict[int, int] = {}
        file.write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        _stream(file, places, 3, "/N 3 /Filter /FlateDecode", zlib.compress(srgb_profile()))
        _object(
            file,
            places,
            4,
            "<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica /Encoding /WinAnsiEncoding >>",
        )
        kids: list[int] = []
        number = 6
        for page in pages:
            kids.append(_write_page(file, places, number, page))
            number = kids[-1] + 1
        listed = " ".join(f"{kid} 0 R" for kid in kids)
        _object(file, places, 2, f"<< /Type /Pages /Count {len(kids)} /Kids [ {listed} ] >>")
        named = title.encode("utf-16-be").hex().upper()
        _object(file, places, 5, f"<< /Title <FEFF{named}> /Producer (Seamlight) >>")
        _object(
            file,
            places,
            1,
            "<< /Type /Catalog /Pages 2 0 R "
            "/ViewerPreferences << /PrintScaling /None /PickTrayByPDFSize true >> >>",
        )
        start = file.tell()
        file.write(f"xref\n0 {number}\n0000000000 65535 f \n".encode())
        for each in range(1, number):
            file.write(f"{places[each]:010d} 00000 n \n".encode())
        file.write(
            f"trailer\n<< /Size {number} /Root 1 0 R /Info 5 0 R >>\nstartxref\n{start}\n%%EOF\n".encode()
        )
    return len(kids)


def _write_page(file: BinaryIO, places: dict[int, int], number: int, page: PdfPage) -> int:
    """Writes a page's objects; the page itself has the last number, which is given back."""
    resources = "/Font << /F 4 0 R >>"
    if page.picture is not None:
        cloth = page.picture
        head = (
            f"/Type /XObject /Subtype /Image /Width {cloth.width_px} /Height {cloth.height_px} "
            "/ColorSpace [ /ICCBased 3 0 R ] /BitsPerComponent 8 /Filter /DCTDecode"
        )
        _stream(file, places, number, head, cloth.jpeg)
        resources += f" /XObject << /Cloth {number} 0 R >>"
        number += 1
    # From here all is in inches from the top left, y down.
    flipped = [f"{_PT} 0 0 {-_PT} 0 {_n(page.height_in * _PT)} cm", *page.content]
    body = zlib.compress("\n".join(flipped).encode("latin-1"))
    _stream(file, places, number, "/Filter /FlateDecode", body)
    box = f"0 0 {_n(page.width_in * _PT)} {_n(page.height_in * _PT)}"
    _object(
        file,
        places,
        number + 1,
        f"<< /Type /Page /Parent 2 0 R /MediaBox [ {box} ] /Contents {number} 0 R "
        f"/Resources << {resources} >> >>",
    )
    return number + 1


def _n(value: float) -> str:
    return f"{value:.5f}".rstrip("0").rstrip(".")


def _object(file: BinaryIO, places: dict[int, int], number: int, body: str) -> None:
    places[number] = file.tell()
    file.write(f"{number} 0 obj\n{body}\nendobj\n".encode("latin-1"))


def _stream(file: BinaryIO, places: dict[int, int], number: int, head: str, body: bytes) -> None:
    places[number] = file.tell()
    file.write(f"{number} 0 obj\n<< {head} /Length {len(body)} >>\nstream\n".encode())
    file.write(body + b"\nendstream\nendobj\n")
