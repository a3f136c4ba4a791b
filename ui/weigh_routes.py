"""The pictures that the page weighs a choice by. Every address says in full what it asks for."""

from __future__ import annotations

import cv2
import numpy as np
from fastapi import FastAPI, Request, Response
from numpy.typing import NDArray

from ui.choice import choice_from_query
from ui.palette_jobs import line_of_cloths
from ui.weigh_handlers import LOOKING, looking_from, weighed_picture
from ui.workroom import Workroom

__all__ = ["add_weigh_routes"]


def add_weigh_routes(app: FastAPI, room: Workroom) -> None:
    """Adds the addresses to the app. They read and never change anything."""

    @app.get("/weigh.png")
    def weigh(request: Request) -> Response:
        asked = request.query_params
        viewing, view = looking_from({name: asked.get(name, "")[:40] for name in LOOKING})
        choice = choice_from_query(asked.multi_items())
        return _png(weighed_picture(room, choice, viewing, view))

    @app.get("/line.png")
    def line(request: Request) -> Response:
        choice = choice_from_query(request.query_params.multi_items())
        return _png(line_of_cloths(room.worked(choice))[2]())


def _png(picture_srgb8: NDArray[np.uint8]) -> Response:
    done, packed = cv2.imencode(".png", cv2.cvtColor(picture_srgb8, cv2.COLOR_RGB2BGR))
    if not done:
        raise RuntimeError("the picture could not be packed as PNG")
    return Response(
        packed.tobytes(), media_type="image/png", headers={"Cache-Control": "private, max-age=600"}
    )
