"""What the tests of the page share: a room with demo cloth and a stash of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from ui.shelf import Shelf
from ui.workroom import Workroom


@pytest.fixture
def shelf(tmp_path: Path) -> Shelf:
    return Shelf(tmp_path / "stash.sqlite")


@pytest.fixture(scope="session")
def room() -> Workroom:
    return Workroom(Shelf(None))
