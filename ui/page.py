"""The page where a block is seen in its cloth: its parts, and what happens when one of them is used."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from blocks.lengths import inches_text
from blocks.library import block_names, open_block
from ui.page_handlers import say_block, say_choice, see_block, see_choice
from ui.photo_part import build_photo_part
from ui.photo_tray import PhotoTray
from ui.settings import SEAM, VIEWS
from ui.workroom import Workroom

if TYPE_CHECKING:
    import gradio as gr

__all__ = ["FIRST_BLOCK", "build_block_page", "page_theme", "read_asset"]

FIRST_BLOCK = "orchard lantern"

_VIEW_LABELS = {
    "colour": "Colour",
    "value": "Value",
    "numbered": "Colour with numbers",
    "lines": "Lines",
}

_SHELF = """
<div class="roles" role="radiogroup" aria-label="Part of the block"></div>
<div class="for"><h2 class="cloths-for"></h2>
<input class="find" type="search" placeholder="Find cloth" aria-label="Find cloth by name or kind"></div>
<div class="cloths" role="listbox"></div>
"""

_WALL = """
<figure><div class="picture"><img alt=""><svg aria-hidden="true"></svg></div>
<figcaption class="caption" aria-live="polite"></figcaption></figure>
"""

_HEADER = """
<header><h1>Seamlight</h1><p>Your block in your own cloth, before you cut.</p></header>
"""


def read_asset(name: str) -> str:
    """The text of a file that the page is made with."""
    return (Path(__file__).parent / "assets" / name).read_text("utf-8")


def page_theme() -> gr.themes.Base:
    """Greys alone, light and dark scheme alike: nothing near the cloth may tint the eye."""
    import gradio as gr

    theme = gr.themes.Base(
        primary_hue=gr.themes.colors.neutral,
        secondary_hue=gr.themes.colors.neutral,
        neutral_hue=gr.themes.colors.neutral,
        radius_size=gr.themes.sizes.radius_sm,
        font=["system-ui", "sans-serif"],
        font_mono=["ui-monospace", "monospace"],
    ).set(
        body_background_fill="#777777",
        body_text_color="#1b1b1b",
        body_text_color_subdued="#3d3d3d",
        background_fill_primary="#ececec",
        background_fill_secondary="#e2e2e2",
        block_background_fill="#e6e6e6",
        block_border_width="0px",
        block_label_background_fill="#e6e6e6",
        block_label_text_color="#1b1b1b",
        block_title_text_color="#1b1b1b",
        border_color_primary="#9a9a9a",
        input_background_fill="#f4f4f4",
        input_border_color="#767676",
        button_secondary_background_fill="#333333",
        button_secondary_background_fill_hover="#111111",
        button_secondary_text_color="#f4f4f4",
        checkbox_background_color="#f4f4f4",
        checkbox_background_color_selected="#222222",
        checkbox_label_background_fill="#e6e6e6",
        checkbox_label_background_fill_selected="#222222",
        checkbox_label_text_color="#1b1b1b",
        checkbox_label_text_color_selected="#f4f4f4",
    )
    for name in dir(theme):
        if name.endswith("_dark") and hasattr(theme, name.removesuffix("_dark")):
            setattr(theme, name, getattr(theme, name.removesuffix("_dark")))
    return theme


def build_block_page(room: Workroom, tray: PhotoTray) -> gr.Blocks:
    """The whole page, wired; it opens with the first block in our own choice of cloth."""
    import gradio as gr

    default = inches_text(SEAM.default)
    first, words = see_block(room, FIRST_BLOCK, default, "colour"), say_block(room, FIRST_BLOCK, default)
    with gr.Blocks(title="Seamlight", analytics_enabled=False, fill_width=True) as page:
        _words(gr, _HEADER, "head")
        mistake = _words(gr, "", "mistake")
        with gr.Row(elem_id="bench"):
            with gr.Column(elem_id="choose", min_width=280):
                block = gr.Dropdown(
                    [(open_block(name).name, name) for name in block_names()],
                    value=FIRST_BLOCK,
                    label="Block",
                    filterable=False,
                )
                shelf = _part(gr, first.shelf, _SHELF, "shelf")
                seam = gr.Textbox(
                    default,
                    label="Seam allowance",
                    info="Such as 1/4 or 7.5 mm",
                    max_lines=1,
                    elem_id="seam",
                )
            with gr.Column(elem_id="look", min_width=280):
                view = gr.Radio(
                    [(_VIEW_LABELS[name], name) for name in VIEWS],
                    value="colour",
                    label="See it in",
                    elem_id="view",
                )
                wall = _part(gr, first.wall, _WALL, "wall")
                take = _words(gr, first.take, "take")
            with gr.Column(elem_id="reads", min_width=280):
                _words(gr, "<h2>Does it read?</h2>", "reads-head")
                seams = gr.HTML(
                    words.seams,
                    js_on_load=read_asset("seams.js"),
                    apply_default_css=False,
                    elem_id="seams",
                )
        build_photo_part(room.shelf, tray)
        with gr.Column(elem_id="list"):
            _words(gr, "<h2>Cutting list</h2>", "list-head")
            cutting = _words(gr, words.cutting, "cutting")

        quiet: dict[str, Any] = {
            "queue": False,
            "show_progress": "hidden",
            "trigger_mode": "always_last",
            "api_visibility": "private",
        }

        def on_block(block: object, seam: object, view: object) -> list[Any]:
            seen = see_block(room, block, seam, view)
            return _updates(gr, seen.shelf, seen.wall, seen.take, seen.mistake)

        def on_choice(held: object, seam: object, view: object) -> list[Any]:
            seen = see_choice(room, held, seam, view)
            return _updates(gr, seen.wall, seen.take, seen.mistake)

        def on_block_words(block: object, seam: object) -> list[Any]:
            said = say_block(room, block, seam)
            return _updates(gr, said.seams, said.cutting)

        def on_choice_words(held: object, seam: object) -> list[Any]:
            said = say_choice(room, held, seam)
            return _updates(gr, said.seams, said.cutting)

        # Each event has two listeners, so that the picture does not wait for the readings.
        block.input(on_block, [block, seam, view], [shelf, wall, take, mistake], **quiet)
        block.input(on_block_words, [block, seam], [seams, cutting], **quiet)
        # The shelf is the browser's own: an answer to an earlier click must not undo a later one.
        for event in (shelf.given, seam.submit, seam.blur, view.input):
            event(on_choice, [shelf, seam, view], [wall, take, mistake], **quiet)
        for event in (shelf.given, seam.submit, seam.blur):
            event(on_choice_words, [shelf, seam], [seams, cutting], **quiet)
    return page


def _words(gr: Any, html: str | None, name: str) -> Any:
    """A part of the page that is words alone, escaped where they were made."""
    return gr.HTML(html, js_on_load=None, apply_default_css=False, elem_id=name)


def _part(gr: Any, value: object, template: str, name: str) -> Any:
    """A part of the page whose inside its own script builds. The template holds nothing of the user's."""
    return gr.HTML(
        value,
        html_template=template,
        js_on_load=read_asset(f"{name}.js"),
        apply_default_css=False,
        elem_id=name,
    )


def _updates(gr: Any, *parts: object) -> list[Any]:
    """A new value for each part of the page; one without news stays as it is."""
    return [gr.skip() if part is None else part for part in parts]
