"""Charts laid on made-up cloth, square on."""

from __future__ import annotations

import numpy as np

from palettes.encodings import encode
from swatches.chart_colours import chart_light


def with_chart(
    cloth: np.ndarray, *, ppi: int, at_in: tuple[float, float], step_in: float = 0.5
) -> np.ndarray:
    """The cloth with a chart lying on it: black frame, six by four patches."""
    codes = np.round(np.clip(encode(chart_light("after 2014")), 0, 1) * 255).astype(np.uint8)
    laid, step = cloth.copy(), round(step_in * ppi)
    left, top, gap, frame = (
        round(at_in[0] * ppi),
        round(at_in[1] * ppi),
        round(0.06 * step),
        round(0.4 * step),
    )
    laid[top - frame : top + 4 * step + frame, left - frame : left + 6 * step + frame] = 30
    for i, code in enumerate(codes):
        x, y = left + (i % 6) * step, top + (i // 6) * step
        laid[y + gap : y + step - gap, x + gap : x + step - gap] = code
    return laid
