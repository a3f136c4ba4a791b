"""The page where a block or a quilt is seen in its cloth: its parts, and what happens when one is used."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from blocks.lengths import inches_text
from ui.own_part import build_own_part
from ui.page_handlers import Asked, say_choice, see_choice
from ui.photo_part import build_photo_part
from ui.photo_tray import PhotoTray
from ui.quilt_part import build_quilt_part
from ui.settings import SEAM, VIEWS
from ui.weigh_part import build_weigh_part
from ui.workroom import Workroom

if TYPE_CHECKING:
    import gradio as gr

__all__ = ["FIRST_BLOCK", "build_block_page", "read_asset"]

FIRST_BLOCK = "orchard lantern"

_VIEW_LABELS = {
    "colour": "Colour",
    "value": "Value",
    "numbered": "Colour with numbers",
    "lines": "Lines",
}

_BLOCKS = """
<button type="button" class="open" aria-expanded="false" aria-label="Choose a block"><img alt="" width="46"
height="46"><span class="words"><span class="title"></span><span class="about"></span></span></button>
<div class="panel" hidden><input class="find" type="search" placeholder="Find a block"
aria-label="Find a block by name or difficulty">
<div class="list" role="listbox" aria-label="Blocks"></div></div>
"""

_SHELF = """
<div class="roles" role="radiogroup" aria-label="Part of the block"></div>
<div class="for"><h2 class="cloths-for"></h2>
<input class="find" type="search" placeholder="Find cloth" aria-label="Find cloth by name or kind"></div>
<p class="line"></p>
<div class="cloths" role="listbox"></div>
"""

_WALL = """
<figure><div class="picture" tabindex="0" role="group" aria-label="The picture. Plus brings it nearer, minus
takes it further away, 0 shows all of it, and the arrow keys move it."><div class="sheet">
<img class="whole" alt=""><img class="near" alt="" hidden><svg aria-hidden="true"></svg></div></div>
<div class="nearer" role="group" aria-label="Nearer and further">
<button type="button" class="out" aria-label="Further away" title="Further away (−)">−</button>
<output>1 x</output><button type="button" class="in" aria-label="Nearer" title="Nearer (+)">+</button>
<button type="button" class="all">Whole</button></div>
<figcaption class="caption" aria-live="polite"></figcaption></figure>
"""

_HEADER = """
<header><h1>Seamlight</h1><p>Your block in your own cloth, before you cut.</p></header>
"""


def read_asset(name: str) -> str:
    """The text of a file that the page is made with."""
    return (Path(__file__).parent / "assets" / name).read_text("utf-8")


def build_block_page(room: Workroom, tray: PhotoTray) -> gr.Blocks:
    """The whole page, wired; it opens with the first block in our own choice of cloth."""
    import gradio as gr

    default = inches_text(SEAM.default)
    opened = {"block": FIRST_BLOCK, "cloths": {}}
    first, words = see_choice(room, opened, Asked(default)), say_choice(room, opened, Asked(default))
    with gr.Blocks(title="Seamlight", analytics_enabled=False, fill_width=True) as page:
        _words(gr, _HEADER, "head")
        mistake = _words(gr, "", "mistake")
        with gr.Row(elem_id="bench"):
            with gr.Column(elem_id="choose", min_width=280):
                _part(gr, {"block": FIRST_BLOCK}, _BLOCKS, "blocks")
                shelf = _part(gr, first.shelf, _SHELF, "shelf")
                build_own_part(room.shelf, _own_event)
                upright = gr.Checkbox(
                    label="Print upright", info="Lays one-way cloth as it should hang", elem_id="upright"
                )
                with gr.Row(elem_id="measures"):
                    width = gr.Textbox(
                        label="Finished width", info="As drawn if empty", max_lines=1, min_width=100
                    )
                    seam = gr.Textbox(
                        default, label="Seam allowance", info="Such as 7.5 mm", max_lines=1, min_width=100
                    )
                quilt = build_quilt_part()
            with gr.Column(elem_id="look", min_width=280):
                view = gr.Radio(
                    [(_VIEW_LABELS[name], name) for name in VIEWS],
                    value="colour",
                    label="See it in",
                    elem_id="view",
                )
                wall = _part(gr, first.wall, _WALL, "wall", before="nearer")
                take = _words(gr, first.take, "take")
            with gr.Column(elem_id="reads", min_width=280):
                _words(gr, "<h2>Does it read?</h2>", "reads-head")
                seams = gr.HTML(
                    words.seams,
                    js_on_load=read_asset("seams.js"),
                    apply_default_css=False,
                    elem_id="seams",
                )
        fields = [shelf, seam, view, width, upright, *quilt.fields]
        build_weigh_part(room, fields)
        build_photo_part(room.shelf, tray)
        with gr.Column(elem_id="list"):
            _words(gr, "<h2>Cutting list</h2>", "list-head")
            cutting = _words(gr, words.cutting, "cutting")

        def on_look(held: object, *fields: object) -> list[Any]:
            seen = see_choice(room, held, Asked(*fields))
            return _updates(gr, seen.shelf, seen.wall, seen.take, seen.mistake)

        def on_words(held: object, *fields: object) -> list[Any]:
            said = say_choice(room, held, Asked(*fields))
            return _updates(gr, said.seams, said.cutting)

        quiet: dict[str, Any] = {
            "queue": False,
            "show_progress": "hidden",
            "trigger_mode": "always_last",
            "api_visibility": "private",
        }
        changes = [_own_event(shelf, "given"), upright.input, *quilt.changes]
        for box in (seam, width):
            changes += [box.submit, box.blur]
        # One listener for every change, so that answers come in the order of the questions and the last one
        # stands. The words have their own, so that the picture does not wait for the readings.
        gr.on([*changes, view.input], on_look, fields, [shelf, wall, take, mistake], **quiet)
        gr.on(changes, on_words, fields, [seams, cutting], **quiet)
    return page


def _words(gr: Any, html: str | None, name: str) -> Any:
    """A part of the page that is words alone, escaped where they were made."""
    return gr.HTML(html, js_on_load=None, apply_default_css=False, elem_id=name)


def _part(gr: Any, value: object, template: str, name: str, *, before: str = "") -> Any:
    """A part of the page whose inside its own script builds. The template holds nothing of the user's.

    before: a script that its own one needs.
    """
    return gr.HTML(
        value,
        html_template=template,
        js_on_load=(read_asset(f"{before}.js") if before else "") + read_asset(f"{name}.js"),
        apply_default_css=False,
        elem_id=name,
    )


def _own_event(part: Any, name: str) -> Any:
    """An event of a part's own script in the form in which several events can share one listener."""
    event = getattr(part, name)
    # gradio gives such an event as a call with the part filled in; what it asks of an event lies beneath.
    for told in ("event_name", "has_trigger", "callback", "connection", "event_specific_args"):
        setattr(event, told, getattr(event.func, told))
    event.__self__ = part
    return event


def _updates(gr: Any, *parts: object) -> list[Any]:
    """A new value for each part of the page; one without news stays as it is."""
    return [gr.skip() if part is None else part for part in parts]
