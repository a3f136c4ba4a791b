"""The part of the page where a block is set into a quilt."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ui.block_entries import block_titles
from ui.quilt_choice import COUNT, HOW

__all__ = ["QuiltPart", "build_quilt_part"]


@dataclass(frozen=True, slots=True)
class QuiltPart:
    """Its fields, in the order of the page's `Asked` from `how` on, and the events that change them."""

    fields: tuple[Any, ...]
    changes: tuple[Any, ...]


def build_quilt_part() -> QuiltPart:
    """Builds the part where it stands; what does not belong to the setting chosen is hidden by the style."""
    import gradio as gr

    with gr.Column(elem_id="quilt"):
        how = gr.Radio(
            [(each.capitalize(), each) for each in HOW], value=HOW[0], label="Set it", elem_id="how-set"
        )
        with gr.Row(elem_classes="in-quilt"):
            across, down = (
                gr.Number(
                    int(COUNT.default),
                    label=label,
                    precision=0,
                    minimum=int(COUNT.lowest),
                    maximum=int(COUNT.highest),
                    min_width=80,
                )
                for label in ("Across", "Down")
            )
        second = gr.Dropdown(
            [("The same block", ""), *block_titles()],
            value="",
            label="Second block, taking turns",
            elem_classes="in-quilt",
        )
        with gr.Row(elem_classes="in-quilt"):
            sashing = gr.Textbox(
                label="Sashing", info="Finished width", max_lines=1, min_width=80, elem_id="sashing"
            )
            border = gr.Textbox(
                label="Border", info="Finished width", max_lines=1, min_width=80, elem_id="border"
            )
        stones = gr.Checkbox(label="Cornerstones in the sashing", elem_id="stones", elem_classes="in-quilt")
        corners = gr.Radio(
            [("Butted", "butted"), ("Mitred", "mitred")],
            value="butted",
            label="Corners of the border",
            elem_id="corners",
            elem_classes="in-quilt",
        )
        binding = gr.Textbox(
            label="Binding",
            info="Width that shows, such as 1/4; none if empty",
            max_lines=1,
            min_width=80,
            elem_classes="in-quilt",
        )
    changes = [how.input, second.input, stones.input, corners.input]
    for box in (across, down, sashing, border, binding):
        changes += [box.submit, box.blur]
    fields = (how, across, down, second, sashing, stones, border, corners, binding)
    return QuiltPart(fields, tuple(changes))
