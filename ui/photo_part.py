"""The part of the page where a photograph of cloth becomes a swatch."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from blocks.lengths import inches_text
from ui.photo_handlers import SCALES, Kept, keep_cloth, lay_photo
from ui.photo_tray import PhotoTray
from ui.settings import CLOTH_WIDTH
from ui.shelf import Shelf

__all__ = ["build_photo_part"]

_PHOTO = """
<div class="photo"><img alt="The photograph, upright">
<svg aria-hidden="true"><path data-group="crop"/><path data-group="points"/><path data-group="card"/></svg>
</div>
"""

_HINT = (
    '<p class="hint">Lay the cloth flat with a bank card or a ruler on it, in even daylight, and photograph '
    "it from straight above. Then move the markers onto it: drag them, or use the arrow keys.</p>"
)


def build_photo_part(shelf: Shelf, tray: PhotoTray) -> None:
    """Builds the part where it stands, folded shut, and wires it."""
    import gradio as gr

    script = (Path(__file__).parent / "assets" / "photo.js").read_text("utf-8")
    with gr.Accordion("New cloth from a photograph", open=False, elem_id="new-cloth"):
        gr.HTML(_HINT, js_on_load=None, apply_default_css=False)
        with gr.Row():
            with gr.Column(scale=2, min_width=280, elem_id="photo-form", elem_classes="form-column"):
                upload = gr.File(label="Photograph or scan", type="filepath", height=120)
                name = gr.Textbox(label="What you call it", max_lines=1, max_length=120)
                how = gr.Radio(
                    [(label.capitalize(), how) for how, label in SCALES.items()],
                    value="card",
                    label="How long is an inch?",
                    elem_id="how",
                )
                apart = gr.Textbox(
                    label="The two points are apart", info="Such as 8 or 20 cm", max_lines=1, elem_id="apart"
                )
                ppi = gr.Textbox(label="Pixels per inch", info="Such as 300", max_lines=1, elem_id="ppi")
                width = gr.Textbox(
                    inches_text(CLOTH_WIDTH.default), label="Width of fabric, inches", max_lines=1
                )
                one_way = gr.Checkbox(label="One-way print: it has an up and a down")
                add = gr.Button("Put it on the shelf")
                said = gr.HTML("", js_on_load=None, apply_default_css=False, elem_id="photo-said")
            with gr.Column(scale=3, min_width=280):
                photo = gr.HTML(
                    {"token": ""},
                    html_template=_PHOTO,
                    js_on_load=script,
                    apply_default_css=False,
                    elem_id="photo",
                )

        def on_upload(uploaded: object) -> list[Any]:
            return _updates(gr, lay_photo(tray, uploaded))

        def on_add(
            held: object,
            how: object,
            name: object,
            apart: object,
            ppi: object,
            width: object,
            one_way: object,
        ) -> list[Any]:
            kept = keep_cloth(
                shelf, tray, held, how=how, name=name, apart=apart, ppi=ppi, width=width, one_way=one_way
            )
            return _updates(gr, kept)

        quiet: dict[str, Any] = {"queue": False, "show_progress": "hidden", "api_visibility": "private"}
        upload.change(on_upload, upload, [photo, said], **quiet)
        add.click(on_add, [photo, how, name, apart, ppi, width, one_way], [photo, said], **quiet)


def _updates(gr: Any, kept: Kept) -> list[Any]:
    return [gr.skip() if kept.photo is None else kept.photo, kept.said]
