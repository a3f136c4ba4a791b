"""The pictures that the page weighs a choice by. Every address says in full what it asks for."""

from __future__ import annotations

from fastapi import FastAPI, Request, Response

from ui.choice import choice_from_query
from ui.palette_jobs import line_of_cloths
from ui.weigh_handlers import LOOKING, looking_from
from ui.workroom import Workroom, screen_png

__all__ = ["add_weigh_routes"]


def add_weigh_routes(app: FastAPI, room: Workroom) -> None:
    """Adds the addresses to the app. They read and never change anything."""

    @app.get("/weigh.png")
    def weigh(request: Request) -> Response:
        asked = request.query_params
        viewing, view = looking_from({name: asked.get(name, "")[:40] for name in LOOKING})
        choice = choice_from_query(asked.multi_items())
        return _kept(room.weighed_png(choice, viewing, view, seen=asked.get("seen")))

    @app.get("/line.png")
    def line(request: Request) -> Response:
        asked = request.query_params
        worked = room.worked(choice_from_query(asked.multi_items()), seen=asked.get("seen"))
        return _kept(screen_png(line_of_cloths(worked)[2]()))


def _kept(png: bytes) -> Response:
    return Response(png, media_type="image/png", headers={"Cache-Control": "private, max-age=600"})
