"""The part of the page where a photograph of cloth becomes a swatch."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from blocks.lengths import inches_text
from ui.photo_form import COLOURS, REPEATS, SCALES, PhotoForm
from ui.photo_handlers import Kept, keep_cloth, lay_photo, try_cloth
from ui.photo_options import PRINT_KINDS, PRINT_WAYS
from ui.photo_tray import PhotoTray
from ui.settings import CLOTH_WIDTH
from ui.shelf import Shelf

__all__ = ["build_photo_part"]

_PHOTO = """
<div class="photo"><img alt="The photograph, upright">
<svg aria-hidden="true"><path data-group="sheet"/><path data-group="crop"/><path data-group="points"/>
<path data-group="card"/><path data-group="chart"/></svg></div>
<p class="found" role="status"></p>
"""

_SLIDERS = "".join(
    f'<label><span>{name}</span><input type="range" name="{key}" min="-100" max="100" step="1" value="0">'
    "<output>0</output></label>"
    for key, name in (
        ("light", "Lighter"),
        ("warm", "Warmer"),
        ("pink", "Pinker"),
        ("strong", "Stronger"),
    )
)

_TRIED = f"""
<section class="tried" aria-label="The swatch"><h3>The swatch at true size</h3>
<div class="scroll" tabindex="0" role="group" aria-label="The swatch beside a ruler in inches">
<svg class="ruler" height="24" aria-hidden="true"></svg>
<div class="cloth"><img alt="The swatch"><svg aria-hidden="true"><path class="under"/><path class="on"/></svg>
</div></div>
<p class="marks-hint">Click the same spot of three motifs that are alike, one after the other, or move the
markers; then make the swatch again.</p>
<label class="tick"><input type="checkbox" class="lattice" checked> Draw the repeat that was found</label>
<div class="check"><div class="bar"></div><label>Screens differ: this bar should be 3 inches long. On this
screen it measures <input class="measured" type="number" min="1" max="9" step="0.05" value="3"> inches
</label></div>
<fieldset class="eye"><legend>Colour by eye, against the cloth in hand</legend>{_SLIDERS}
<button type="button" class="off">As photographed</button></fieldset></section>
"""

_HINT = (
    '<p class="hint">Lay the cloth flat with the photo sheet, a bank card or a ruler on it, in even '
    "daylight, and photograph it from straight above. What is found in the picture is outlined; markers "
    "can be dragged, or moved with the arrow keys.</p>"
)


_IN_SIGHT = "watch('value', () => setTimeout(() => element.scrollIntoView({ block: 'nearest' })));"
"""What is said comes into sight: on a phone the button for the shelf lies a screen and more below it."""


def build_photo_part(shelf: Shelf, tray: PhotoTray) -> None:
    """Builds the part where it stands, folded shut, and wires it."""
    import gradio as gr

    with gr.Accordion("New cloth from a photograph", open=False, elem_id="new-cloth"):
        gr.HTML(_HINT, js_on_load=None, apply_default_css=False)
        with gr.Row():
            with gr.Column(scale=2, min_width=280, elem_id="photo-form", elem_classes="form-column"):
                upload = gr.File(label="Photograph or scan", type="filepath", height=120)
                how = _radio(gr, SCALES, "card", label="What tells its size?", name="how")
                apart = _text(gr, "The two points are apart", "Such as 8 or 20 cm", name="apart")
                tick = _text(gr, "From tick to tick", "Such as 1/16 or 1 mm", name="tick", value="1/16")
                bar = _text(
                    gr, "The sheet's 100 mm bar measures", "Such as 99.5 mm; 100 if empty", name="bar"
                )
                ppi = _text(gr, "Pixels per inch", "Such as 300", name="ppi")
                across = _text(
                    gr,
                    "Cloth seen from left to right",
                    "Such as 12 or 30 cm, between the edges of the photograph or of the piece you mark",
                    name="across",
                )
                snap = gr.Checkbox(True, label="Move the corners to the edges beside them", elem_id="snap")
                colour = _radio(gr, COLOURS, "", label="What tells its colour?", name="colour-from")
                repeat = _radio(gr, REPEATS, "find", label="The print's repeat", name="repeat")
                look = gr.Button("Make the swatch")
                said = gr.HTML("", js_on_load=_IN_SIGHT, apply_default_css=False, elem_id="photo-said")
                name = gr.Textbox(label="What you call it", max_lines=1, max_length=120)
                way = _dropdown(gr, "Which way the print goes", PRINT_WAYS)
                kind = _dropdown(gr, "What kind of print it is", PRINT_KINDS)
                width = gr.Textbox(
                    inches_text(CLOTH_WIDTH.default), label="Width of fabric, inches", max_lines=1
                )
                add = gr.Button("Put it on the shelf")
            with gr.Column(scale=3, min_width=280):
                photo = _part(gr, _PHOTO, "photo")
                tried = _part(gr, _TRIED, "tried")

        def on_upload(uploaded: object) -> list[Any]:
            kept = lay_photo(tray, uploaded)
            told = kept.photo or {}
            found = [told.get("how", gr.skip()), told.get("colour", gr.skip())]
            # What was said of the last cloth does not hold for this one.
            return [*_updates(gr, kept), *found, "find", "", ""]

        def on_try(held: object, held_tried: object, *typed: object) -> list[Any]:
            return _updates(gr, try_cloth(tray, held, held_tried, PhotoForm(*typed)))

        def on_add(held: object, held_tried: object, *typed: object) -> list[Any]:
            kept = keep_cloth(shelf, tray, held, held_tried, PhotoForm(*typed))
            return [*_updates(gr, kept), gr.skip() if kept.photo is None else ""]

        shown = [photo, tried, said]
        form = [
            photo,
            tried,
            how,
            name,
            apart,
            tick,
            bar,
            ppi,
            across,
            snap,
            colour,
            repeat,
            way,
            kind,
            width,
        ]
        quiet: dict[str, Any] = {"queue": False, "api_visibility": "private"}
        upload.change(
            on_upload, upload, [*shown, how, colour, repeat, way, kind], show_progress="minimal", **quiet
        )
        look.click(on_try, form, shown, show_progress="minimal", **quiet)
        add.click(on_add, form, [*shown, name], show_progress="minimal", **quiet)


def _text(gr: Any, label: str, info: str, *, name: str, value: str = "") -> Any:
    return gr.Textbox(value, label=label, info=info, max_lines=1, elem_id=name)


def _radio(gr: Any, choices: dict[str, str], value: str, *, label: str, name: str) -> Any:
    named = [(words[:1].upper() + words[1:], key) for key, words in choices.items()]
    return gr.Radio(named, value=value, label=label, elem_id=name)


def _dropdown(gr: Any, label: str, choices: tuple[str, ...]) -> Any:
    named = [("As it looks", ""), *((word.capitalize(), word) for word in choices)]
    return gr.Dropdown(named, value="", label=label)


def _part(gr: Any, template: str, name: str) -> Any:
    """A part whose inside its own script builds, with the markers' script before it."""
    assets = Path(__file__).parent / "assets"
    script = (assets / "markers.js").read_text("utf-8") + (assets / f"{name}.js").read_text("utf-8")
    return gr.HTML(
        {"token": ""}, html_template=template, js_on_load=script, apply_default_css=False, elem_id=name
    )


def _updates(gr: Any, kept: Kept) -> list[Any]:
    return [
        gr.skip() if kept.photo is None else kept.photo,
        gr.skip() if kept.tried is None else kept.tried,
        kept.said,
    ]
