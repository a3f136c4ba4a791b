"""Opens the page on this machine: gradio under an app of our own, behind a guard."""

from __future__ import annotations

import os
import socket
import threading
import webbrowser
from collections.abc import Callable
from fractions import Fraction

from fastapi import FastAPI

from ui.guard import guard
from ui.mistakes import Mistake
from ui.photo_tray import PhotoTray
from ui.routes import add_routes
from ui.shelf import open_shelf
from ui.weigh_routes import add_weigh_routes
from ui.workroom import Workroom

__all__ = ["HOST", "make_app", "open_page"]

HOST = "127.0.0.1"

_MOST_UPLOAD = "60mb"


def open_page(*, port: Fraction, no_browser: bool, stash: str | None, say: Callable[[str], None]) -> None:
    """Serves the page until it is stopped from the keyboard.

    Raises: Mistake if another program already answers at that port.
    """
    listener = _listen(int(port))
    say("Laying out the cloth ...")
    import uvicorn

    room = Workroom(open_shelf(stash))
    app = make_app(room)
    threading.Thread(target=room.fetch_small_pictures, daemon=True).start()
    address = f"http://{HOST}:{int(port)}/"
    print(f"Seamlight is open at {address}  (Ctrl-C closes it)", flush=True)
    if not no_browser:
        threading.Timer(0.5, webbrowser.open, (address,)).start()
    server = uvicorn.Server(uvicorn.Config(app, log_level="warning", server_header=False))
    server.run(sockets=[listener])


def _listen(port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((HOST, port))
    except OSError as error:
        listener.close()
        raise Mistake(
            f"Port {port} is in use by another program, or by a page that is open already.",
            mend="Close that page, or give another port: seamlight page --port 8718",
        ) from error
    return listener


def make_app(room: Workroom) -> FastAPI:
    """The whole page as an app: guard, our own addresses, and gradio over the rest.

    Nothing is sent to anyone: gradio's telemetry and its version check are turned off first.
    """
    os.environ["GRADIO_ANALYTICS_ENABLED"] = "False"
    import gradio as gr

    from ui.page import build_block_page, read_asset
    from ui.page_theme import page_theme

    tray = PhotoTray()
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    guard(app)
    add_routes(app, room, tray)
    add_weigh_routes(app, room)
    page = build_block_page(room, tray)
    gr.mount_gradio_app(
        app,
        page,
        path="/",
        server_name=HOST,
        footer_links=[],
        run_history=False,
        enable_monitoring=False,
        show_error=False,
        max_file_size=_MOST_UPLOAD,
        theme=page_theme(),
        css=read_asset("page.css"),
    )
    return app
