"""Which way every seam allowance is pressed, as arrows across the seams."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray

from preview.frame import Frame
from preview.pens import INK_SRGB8, Pen, draw_lines, paper_for

__all__ = ["PressedSeam", "pressing_view"]

_Picture = NDArray[np.uint8]
_Points = list[tuple[float, float]]

_ARROW_IN = 0.45
_HEAD = 0.38


@dataclass(frozen=True, slots=True)
class PressedSeam:
    """A straight stretch of seam, in block inches, and where its allowance goes.

    `toward` is a direction across the seam (any length); (0, 0) for a seam that is pressed open.
    """

    start_in: tuple[float, float]
    end_in: tuple[float, float]
    toward: tuple[float, float]


def pressing_view(
    frame: Frame, seams: Sequence[PressedSeam], *, over_srgb8: _Picture | None = None
) -> _Picture:
    """Every seam with an arrow across its middle towards the side it is pressed to.

    A seam pressed open has an arrow both ways. Arrows are shorter on short seams.
    """
    sheet = paper_for(frame, over_srgb8)
    unit_px = max(1.0, frame.ppi / 60)
    draw_lines(sheet, frame, [[seam.start_in, seam.end_in] for seam in seams], Pen((120, 120, 125), unit_px))
    arrows = [line for seam in seams for line in _arrow(seam)]
    draw_lines(sheet, frame, arrows, Pen(INK_SRGB8, 2 * unit_px, rim_px=unit_px))
    return sheet


def _arrow(seam: PressedSeam) -> list[_Points]:
    (x0, y0), (x1, y1) = seam.start_in, seam.end_in
    length = hypot(x1 - x0, y1 - y0)
    if not length:
        return []
    u, v = (x1 - x0) / length, (y1 - y0) / length
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    # Square to the seam, on the side that `toward` points to.
    side = -v * seam.toward[0] + u * seam.toward[1]
    half = min(_ARROW_IN, 0.6 * length) / (2 if side else 1.4)
    ways = (1.0, -1.0) if side == 0 else (1.0 if side > 0 else -1.0,)
    lines: list[_Points] = []
    for way in ways:
        across = (-v * way, u * way)
        tip = middle[0] + across[0] * half, middle[1] + across[1] * half
        tail = middle if len(ways) > 1 else (middle[0] - across[0] * half, middle[1] - across[1] * half)
        head = half * _HEAD * (2 if side else 1)
        back = tip[0] - across[0] * head, tip[1] - across[1] * head
        wing = 0.6 * head
        lines.append([tail, tip])
        lines.append(
            [(back[0] + u * wing, back[1] + v * wing), tip, (back[0] - u * wing, back[1] - v * wing)]
        )
    return lines
