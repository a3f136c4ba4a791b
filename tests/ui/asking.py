"""The command, asked as from a shell, and what every mistake must come to; the page's addresses, asked too."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from ui.command import main
from ui.guard import guard
from ui.photo_tray import PhotoTray
from ui.routes import add_routes
from ui.workroom import Workroom


def run(capsys: pytest.CaptureFixture[str], *words: str | Path) -> tuple[int, str, str]:
    """Exit code, what was printed, and what was said beside it."""
    code = main([str(word) for word in words])
    out, err = capsys.readouterr()
    return code, out, err


def assert_mistake(
    capsys: pytest.CaptureFixture[str],
    place: Path,
    words: Sequence[str],
    *,
    what: str,
    mend: str,
    also_said: str | None = None,
) -> None:
    """Two lines, exit code 2 and nothing left in the empty folder; {} in the words stands for that folder.

    Progress may be said before; `also_said` is how another line that may stand there begins.
    """
    code, out, err = run(capsys, *(word.replace("{}", str(place)) for word in words))
    assert (code, out) == (2, "")
    lines = [line for line in err.splitlines() if not line.endswith("...")]
    if also_said is not None:
        lines = [line for line in lines if not line.startswith(also_said)]
    assert what in lines[0]
    assert lines[1].startswith("Mend: ")
    assert mend in lines[1]
    assert len(lines) == 2
    assert list(place.iterdir()) == []


@contextmanager
def asked_of(room: Workroom) -> Iterator[TestClient]:
    """Asks the addresses of the page that a room serves, as a browser on this machine does."""
    app = FastAPI()
    guard(app)
    add_routes(app, room, PhotoTray())
    with TestClient(app, base_url="http://127.0.0.1:8717") as client:
        yield client
