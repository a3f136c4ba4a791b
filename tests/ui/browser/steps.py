"""What every test of the page in a browser does: wait for the picture, look at it, choose a block."""

from __future__ import annotations

import io
import shutil
from typing import Any

import numpy as np
import pytest
from PIL import Image

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")

IN_BROWSER = [
    pytest.mark.skipif(CHROMIUM is None, reason="needs Debian's chromium"),
    # Raised inside gradio, which still calls what pandas 4 will drop.
    pytest.mark.filterwarnings("ignore::DeprecationWarning"),
    pytest.mark.filterwarnings("ignore::FutureWarning"),
]
"""The marks of every test of the page in a real browser."""

SOURCE = "() => document.querySelector('#wall [data-shown]')?.dataset.shown ?? ''"


def wait_drawn(page: Any, before: str) -> str:
    """The address of the picture, once another than `before` is on the wall."""
    page.wait_for_function(f"(before) => ({SOURCE})() !== before", arg=before, timeout=30_000)
    return str(page.evaluate(SOURCE))


def seen(page: Any, address: str) -> np.ndarray:
    """The pixels of the picture that the page shows."""
    source = page.get_attribute("#wall .whole", "src")
    return np.asarray(Image.open(io.BytesIO(page.request.get(address + source).body())).convert("RGB"))


def choose_block(page: Any, title: str) -> None:
    page.get_by_role("button", name="Choose a block").click()
    page.get_by_label("Find a block").fill(title.lower())
    page.get_by_role("option", name=title, exact=True).click()
