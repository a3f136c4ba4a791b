"""The part of the page that keeps the maker's own cloth in order: called otherwise, taken out, put back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from ui.mistakes import Mistake, tell
from ui.shelf import Shelf

__all__ = ["build_own_part", "keep_order"]

_OWN = """
<div class="mine" hidden><label>This cloth is called <input type="text" maxlength="120"></label>
<button type="button" class="rename">Rename</button>
<button type="button" class="take-out">Take out of the stash</button></div>
<p class="said" role="status"></p>
<details hidden><summary></summary><ul></ul></details>
"""


def keep_order(shelf: Shelf, held: object) -> dict[str, Any]:
    """What is said after a cloth was renamed, taken out or put back as the page asks, and what lies aside."""
    asked = held if isinstance(held, dict) else {}
    serial = asked.get("serial")
    said = {"serial": serial if isinstance(serial, int) else 0, "wrong": False, "do": ""}
    try:
        said["said"] = _done(shelf, asked)
    except Exception as error:
        told = tell(error)
        if told is None:
            raise
        said |= {"said": f"{told.what} {told.mend}", "wrong": True}
    return {**said, "aside": list(shelf.aside())}


def _done(shelf: Shelf, asked: dict[str, Any]) -> str:
    do, cloth, name = (str(asked.get(part, "")) for part in ("do", "cloth", "name"))
    match do:
        case "rename":
            before, now = shelf.rename(cloth, name)
            return f"{before} is called {now} from now on."
        case "take out":
            return f"{shelf.remove(cloth)} is out of your stash."
        case "put back":
            return f"{shelf.put_back(cloth)} is in your stash again."
    raise Mistake("The page sent what it should not.", mend="Load the page again.")


def build_own_part(shelf: Shelf, own_event: Callable[[Any, str], Any]) -> None:
    """Builds the part where it stands, and wires it. own_event: an event of a part's own script."""
    import gradio as gr

    part = gr.HTML(
        {"serial": 0, "said": "", "wrong": False, "do": "", "aside": list(shelf.aside())},
        html_template=_OWN,
        js_on_load=(Path(__file__).parent / "assets" / "own.js").read_text("utf-8"),
        apply_default_css=False,
        elem_id="own",
    )
    quiet: dict[str, Any] = {"queue": False, "show_progress": "hidden", "api_visibility": "private"}
    gr.on([own_event(part, "ordered")], lambda held: keep_order(shelf, held), part, part, **quiet)
