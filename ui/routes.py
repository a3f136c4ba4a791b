"""What the page fetches besides itself: pictures, the shelf, outlines, and files to take away.

Every address says in full what it asks for, so nothing here depends on who asked before.
"""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import asdict
from fractions import Fraction
from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.responses import JSONResponse

from cutting.rows import write_csv
from preview.files import save_png
from ui.audition_file import ChosenCloth, WrittenAudition, audition_text
from ui.bench import Worked
from ui.binding_part import cutting_list_text, cutting_rows
from ui.block_entries import block_entries
from ui.choice import Choice, choice_from_query, read_view
from ui.kind_words import kind_rows
from ui.making_notes import noted_draft
from ui.mistakes import tell
from ui.near_view import near_part
from ui.outlines import block_outlines
from ui.photo_tray import PhotoTray
from ui.reading_words import reading_rows
from ui.tried_view import eye_from_words, tried_png
from ui.workroom import Workroom, taken_ppi
from ui.writing import csv_text

__all__ = ["add_routes"]

_Make = Callable[[Workroom, Choice, Path], None]


def add_routes(app: FastAPI, room: Workroom, tray: PhotoTray) -> None:
    """Adds every address to the app. They read and never change anything."""

    @app.exception_handler(ValueError)
    async def answer_mistake(_: Request, error: ValueError) -> Response:
        told = tell(error)
        if told is None:
            raise error
        return JSONResponse({"what": told.what, "mend": told.mend}, status_code=422)

    @app.get("/cloth/{key}.png")
    def cloth(key: str, seen: str | None = None) -> Response:
        return _kept(room.cloth_png(key, seen=seen), "image/png")

    @app.get("/shelf.json")
    def shelf() -> Response:
        stamps = room.shelf.stamps()
        return JSONResponse(
            [{**asdict(entry), "stamp": stamps.get(entry.key, "")} for entry in room.shelf.entries()]
        )

    @app.get("/shelf-version.json")
    def shelf_version() -> Response:
        return JSONResponse({"version": room.shelf_version()}, headers={"Cache-Control": "no-store"})

    @app.get("/outlines.json")
    def outlines(request: Request) -> Response:
        return JSONResponse(block_outlines(room.drafted(_choice(request))))

    @app.get("/blocks.json")
    def blocks() -> Response:
        return JSONResponse(block_entries())

    @app.get("/block/{name}.png")
    def block(name: str) -> Response:
        return _kept(room.block_png(name), "image/png")

    @app.get("/picture.png")
    def picture(request: Request) -> Response:
        asked = request.query_params
        view = read_view(asked.get("view"))
        return _kept(room.picture_png(_choice(request), view, seen=asked.get("seen")), "image/png")

    @app.get("/near.png")
    def near(request: Request) -> Response:
        asked = request.query_params
        part = near_part(asked)
        view = read_view(asked.get("view"))
        return _kept(room.near_png(_choice(request), view, part, seen=asked.get("seen")), "image/png")

    @app.get("/photo/{token}.jpg")
    def photo(token: str) -> Response:
        return _kept(tray.find(token).jpeg, "image/jpeg")

    @app.get("/tried/{token}.png")
    def tried(token: str, request: Request) -> Response:
        eye = eye_from_words(request.query_params)
        return _kept(tried_png(tray.find_tried(token).swatch, eye), "image/png")

    @app.get("/take/{name}")
    def take(name: str, request: Request) -> Response:
        make = _FILES.get(name)
        if make is None:
            return Response("There is no such file.", status_code=404)
        choice = _choice(request)
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / name
            make(room, choice, file)
            called = f"{choice.block.replace(' ', '-')}-{name}"
            return Response(
                file.read_bytes(),
                media_type=_MEDIA[file.suffix],
                headers={"Content-Disposition": f'attachment; filename="{called}"'},
            )


def _choice(request: Request) -> Choice:
    return choice_from_query(request.query_params.multi_items())


def _kept(body: bytes, media_type: str) -> Response:
    # The address names the content, so the browser may keep it for as long as the page is open.
    return Response(body, media_type=media_type, headers={"Cache-Control": "private, max-age=600"})


def _write_picture(room: Workroom, choice: Choice, file: Path) -> None:
    ppi = taken_ppi(room.drafted(choice))
    save_png(file, room.fresh_picture(choice, view="colour", ppi=ppi), ppi=ppi)


def _write_cutting_text(room: Workroom, choice: Choice, file: Path) -> None:
    worked = room.worked(choice)
    file.write_text(cutting_list_text(noted_draft(worked), worked), encoding="utf-8")


def _write_cutting_csv(room: Workroom, choice: Choice, file: Path) -> None:
    write_csv(cutting_rows(room.worked(choice)), file)


def _write_readings_csv(room: Workroom, choice: Choice, file: Path) -> None:
    worked = room.worked(choice)
    cloths = worked.cloth_of_patches()
    quilt = worked.drafted.quilt is not None
    rows = kind_rows(room.kinds(choice), cloths) if quilt else reading_rows(room.readings(choice), cloths)
    file.write_text(csv_text(rows), encoding="utf-8", newline="")


def _write_audition(room: Workroom, choice: Choice, file: Path) -> None:
    worked = room.worked(choice)
    making = worked.drafted.making
    written = WrittenAudition(
        block="" if making.setting is not None else choice.block,
        seam_in=choice.seam_in,
        cloths={role: ChosenCloth(swatch.key, swatch.name) for role, swatch in worked.roles.items()},
        setting=None if making.setting is None else (making.name, making.setting),
        width_in=_written_width(choice, worked),
        upright=choice.upright,
    )
    file.write_text(audition_text(written), encoding="utf-8")


def _written_width(choice: Choice, worked: Worked) -> Fraction | None:
    """The width to write down; blocks of a quilt are all drawn at one, though none was asked for."""
    quilt = worked.drafted.quilt is not None
    return worked.drafted.making.block().finished_width_in if quilt else choice.width_in


_FILES: dict[str, _Make] = {
    "picture.png": _write_picture,
    "cutting.txt": _write_cutting_text,
    "cutting.csv": _write_cutting_csv,
    "readings.csv": _write_readings_csv,
    "audition.toml": _write_audition,
}

_MEDIA = {
    ".png": "image/png",
    ".txt": "text/plain; charset=utf-8",
    ".csv": "text/csv; charset=utf-8",
    ".toml": "application/toml; charset=utf-8",
}
