"""What is printed where on the photo sheet, in millimetres from the top left of the paper.

Eight square markers stand at the corners and mid-sides, grey steps in two rows far apart, bare white paper
all round the window. The markers' numbers say which paper and which version of the sheet this is.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

__all__ = [
    "GREY_STEPS",
    "INK_REFLECTANCE",
    "PAPER_REFLECTANCE",
    "TAG_MM",
    "VERSION",
    "Page",
    "SheetLayout",
    "sheet_layout",
]

Page = Literal["A4", "Letter"]
Box = tuple[float, float, float, float]

VERSION = 1
TAG_MM = 16.0
"""Eight of 14 to 20 mm measured best: scale to 0.01 %, every place to 0.02 mm (simulated photographs)."""

GREY_STEPS = (0.70, 0.45, 0.28, 0.18, 0.09)
"""Light that each printed grey sends back, of all that falls on it; nominal, as printers differ."""
PAPER_REFLECTANCE, INK_REFLECTANCE = 0.86, 0.045
"""Plain office paper and black ink or toner, nominal and rounded."""

PAPERS_MM: dict[Page, tuple[float, float]] = {"A4": (297.0, 210.0), "Letter": (279.4, 215.9)}
"""Sizes lying on the long side. Source: ISO 216 (A4); ANSI/ASME Y14.1, size A (8.5 x 11 in)."""

_WINDOW_MM = (190.0, 126.0)
_EDGE_MM = 8.0
_STEP_MM = 11.0
_PER_PAGE = 8
_FIRST_ID = 16


@dataclass(frozen=True, slots=True)
class SheetLayout:
    """One paper size of the sheet; boxes are left, top, right, bottom."""

    page: Page
    version: int
    paper_mm: tuple[float, float]
    window_mm: Box
    tags_mm: tuple[tuple[int, float, float], ...]
    """Number, left and top of each marker, all TAG_MM wide."""
    greys_mm: tuple[tuple[Box, float], ...]
    """Grey steps and the share of light each sends back."""
    bar_100mm: tuple[float, float]
    bar_4in: tuple[float, float]
    """Left ends of the two bars for checking the printer."""

    def corners_mm(self, number: int) -> NDArray[np.float64]:
        """The corners of a marker, clockwise from its own top left; as OpenCV reports them."""
        for tag, left, top in self.tags_mm:
            if tag == number:
                return np.array([[0, 0], [1, 0], [1, 1], [0, 1]], dtype=np.float64) * TAG_MM + (left, top)
        raise KeyError(number)


def sheet_layout(page: Page, *, version: int = VERSION) -> SheetLayout:
    """The sheet for a paper size."""
    wide, high = PAPERS_MM[page]
    left, top = (wide - _WINDOW_MM[0]) / 2, (high - _WINDOW_MM[1]) / 2
    far_x, far_y = wide - _EDGE_MM - TAG_MM, high - _EDGE_MM - TAG_MM
    mid_x, mid_y = (wide - TAG_MM) / 2, (high - TAG_MM) / 2
    near = _EDGE_MM
    places = (
        (near, near), (mid_x, near), (far_x, near), (far_x, mid_y),
        (far_x, far_y), (mid_x, far_y), (near, far_y), (near, mid_y),
    )  # fmt: skip
    first = _FIRST_ID + ((version - 1) * len(PAPERS_MM) + list(PAPERS_MM).index(page)) * _PER_PAGE
    greys = _greys(top=near, low=far_y, first=near + TAG_MM, second=mid_x + TAG_MM, gap=mid_x - near - TAG_MM)
    return SheetLayout(
        page=page,
        version=version,
        paper_mm=(wide, high),
        window_mm=(left, top, left + _WINDOW_MM[0], top + _WINDOW_MM[1]),
        tags_mm=tuple((first + i, x, y) for i, (x, y) in enumerate(places)),
        greys_mm=greys,
        bar_100mm=(wide / 2 - 50, near + TAG_MM + 6),
        bar_4in=(wide / 2 - 50.8, high - near - TAG_MM - 6),
    )


def _greys(
    *, top: float, low: float, first: float, second: float, gap: float
) -> tuple[tuple[Box, float], ...]:
    """Five steps in the left gap above and in the right gap below, dark to light against each other."""
    pitch = min(_STEP_MM + 1.5, (gap - 6) / len(GREY_STEPS))
    start = (gap - pitch * len(GREY_STEPS)) / 2
    boxes: list[tuple[Box, float]] = []
    for side, y, steps in ((first, top, GREY_STEPS), (second, low, GREY_STEPS[::-1])):
        for i, grey in enumerate(steps):
            x, inset = side + start + i * pitch, (TAG_MM - _STEP_MM) / 2
            boxes.append(((x, y + inset, x + _STEP_MM, y + inset + _STEP_MM), grey))
    return tuple(boxes)
