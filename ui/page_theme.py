"""The look of the page: greys alone, so that nothing near the cloth may tint the eye."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import gradio as gr

__all__ = ["page_theme"]


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
