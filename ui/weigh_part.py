"""The part of the page where a choice is weighed: looked at otherwise, advised on, put on one line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from ui.page_handlers import Asked
from ui.reading_settings import ALL_VIEWS
from ui.settings import VIEWS
from ui.weigh_handlers import help_html, line_html, look_html
from ui.workroom import Workroom

__all__ = ["build_weigh_part"]

_LABELS = {
    "seams": "Seams by their word",
    "lost": "Where edges are lost",
    "three-steps": "Light, medium, dark",
    "five-steps": "Five steps of value",
    "step-back": "From the distance",
    "seen": "In this light, to these eyes",
    "dim": "In a dim room",
    "roles": "By role alone",
    "sewn": "As if sewn",
}

_FIRST = (
    '<p class="hint"><b>Look</b> shows the choice as it is set here, and its weak edges. '
    "<b>What would help?</b> tries other cloths, cuts and an outline at each weak edge. "
    "<b>Light to dark</b> puts all cloths on one line.</p>"
)

_TELL = "watch('value', () => setTimeout(() => document.dispatchEvent(new Event('seamlight:found'))));"
"""Once something was found, the wall compares what it was found for with what it shows."""


def build_weigh_part(room: Workroom, fields: Sequence[Any]) -> None:
    """Builds the part where it stands, folded shut, and wires it. fields: those of the choice, as sent."""
    import gradio as gr

    with gr.Accordion("Weigh the choice", open=False, elem_id="weigh"), gr.Row():
        with gr.Column(scale=2, min_width=280, elem_classes="form-column"):
            look = gr.Dropdown(
                [(_LABELS[view], view) for view in ALL_VIEWS if view not in VIEWS],
                value="seams",
                label="See it as",
                filterable=False,
            )
            distance = gr.Textbox("6 ft", label="From how far", info="Such as 10 ft or 2 m", max_lines=1)
            shown = gr.Radio(
                [("The cloth", "cloth"), ("A screen", "screen"), ("A projector", "projector")],
                value="cloth",
                label="What is looked at",
            )
            light = gr.Radio(
                [("Daylight", "daylight"), ("A warm lamp", "warm-lamp")], value="daylight", label="Light"
            )
            eyes = gr.Radio(
                [("Common", ""), ("Protan", "protan"), ("Deutan", "deutan"), ("Tritan", "tritan")],
                value="",
                label="Eyes",
            )
            years = gr.Textbox(label="Age of the eyes", info="25 to 100 years; lenses yellow", max_lines=1)
            with gr.Row():
                again = gr.Button("Look", min_width=80)
                helps = gr.Button("What would help?", min_width=80)
                line = gr.Button("Light to dark", min_width=80)
        with gr.Column(scale=3, min_width=280):
            said = gr.HTML(_FIRST, js_on_load=_TELL, apply_default_css=False, elem_id="weighed")

    looking = [distance, shown, light, eyes, years, look]
    count = len(looking)

    def on_look(*sent: object) -> str:
        return look_html(room, sent[count], Asked(*sent[count + 1 :]), sent[:count])

    def on_help(*sent: object) -> str:
        return help_html(room, sent[count], Asked(*sent[count + 1 :]), sent[:count])

    def on_line(*sent: object) -> str:
        return line_html(room, sent[count], Asked(*sent[count + 1 :]))

    for button, handler, word in (
        (again, on_look, "Looking"),
        (helps, on_help, "Trying cloths, cuts and outlines"),
        (line, on_line, "Looking"),
    ):
        busy = f"() => '<p role=\"status\">{word} \u2026</p>'"
        button.click(None, None, said, js=busy, queue=False, api_visibility="private")
        button.click(
            handler,
            [*looking, *fields],
            said,
            queue=False,
            show_progress="hidden",
            api_visibility="private",
        )
