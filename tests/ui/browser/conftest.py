"""The page, served from this process to Debian's browser, which is driven without a screen."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.ui.browser.steps import CHROMIUM, wait_drawn
from ui.serve import HOST, make_app
from ui.shelf import Shelf
from ui.workroom import Workroom


@pytest.fixture(scope="module")
def stash_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("stash") / "stash.sqlite"


@pytest.fixture(scope="module")
def address(stash_file: Path) -> Iterator[str]:
    """The page, served from this process at a free port."""
    import uvicorn

    listener = socket.socket()
    listener.bind((HOST, 0))
    app = make_app(Workroom(Shelf(stash_file)))
    server = uvicorn.Server(uvicorn.Config(app, log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listener]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield f"http://{HOST}:{listener.getsockname()[1]}"
    server.should_exit = True
    thread.join(timeout=10)


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """Debian's browser, driven without a screen."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        running = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox", "--disable-dev-shm-usage"]
        )
        yield running
        running.close()


@pytest.fixture
def page(browser: Any, address: str) -> Iterator[Any]:
    """The page, loaded and drawn; at the end nothing was asked of another host and no script had failed."""
    opened = browser.new_page(viewport={"width": 1400, "height": 900})
    asked: list[str] = []
    wrong: list[str] = []
    opened.on("request", lambda request: asked.append(request.url))
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    opened.on("response", lambda got: wrong.append(f"{got.status} {got.url}") if got.status >= 400 else None)
    opened.on("console", lambda line: wrong.append(line.text) if line.type == "error" else None)
    opened.goto(address)
    wait_drawn(opened, "")
    yield opened
    opened.close()
    outside = [url for url in asked if not url.startswith((address, "data:", f"blob:{address}"))]
    assert len(asked) > 10
    assert outside == []
    assert wrong == []
