"""The line drawing of a block as an SVG file in true inches: every patch with its role and its number.

Source: W3C SVG 2 (2018), chapters 5, 9 and 11; W3C XML 1.0 (fifth edition, 2008), section 2.2 (which signs).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction
from xml.sax.saxutils import escape, quoteattr

from shapely.geometry import Polygon

from blocks.misfits import widest_spot
from blocks.motion import Number
from blocks.pathtext import rounded_text
from blocks.values import Draft, Patch
from blocks.visible import Part, Ring, visible_outlines

__all__ = ["line_drawing"]

_PLACES = 9
"""Decimals of an inch in the seam lines; rulers end at two."""

_LINE_IN = "0.015"
_NEAR_IN = 0.01
_LARGEST_IN, _SMALLEST_IN = 0.3, 0.07
_WIDE_SIGN = 0.6
"""A figure is about six tenths as wide as it is high in common sans-serif type."""

_TYPE_PX = 100
"""Numbers are set in type of this size and scaled down: some viewers round type smaller than a pixel."""

_NOT_XML = re.compile("[^\t\n\r -\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def line_drawing(draft: Draft, *, numbers: bool = True) -> str:
    """An SVG file as wide and high as the block finishes, in inches, with a path for each patch that shows.

    A patch that shows in several parts has a path for each. Every path carries the patch's role and number;
    appliqué stands in a group of its own. The same draft always gives the same text.
    """
    width, height = (rounded_text(side, places=_PLACES) for side in _sides(draft))
    parts = list(zip(draft.patches, visible_outlines(draft), strict=True))
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}in" height="{height}in" '
        f'viewBox="0 0 {width} {height}">',
        f"<title>{escape(_plain(draft.name))}</title>",
        *_group("ground", [(patch, shown) for patch, shown in parts if not patch.is_applique()]),
    ]
    laid = [(patch, shown) for patch, shown in parts if patch.is_applique()]
    lines += _group("applique", laid) if laid else []
    if numbers:
        lines += ['<g id="numbers" fill="#000000" font-family="sans-serif" text-anchor="middle">']
        lines += [_number(patch, shown) for patch, shown in parts if shown]
        lines += ["</g>"]
    return "\n".join([*lines, "</svg>", ""])


def _sides(draft: Draft) -> tuple[Fraction, Fraction]:
    return draft.finished_width_in, draft.finished_height_in


def _group(name: str, patches: Iterable[tuple[Patch, tuple[Part, ...]]]) -> Iterator[str]:
    style = f'fill="#ffffff" stroke="#000000" stroke-width="{_LINE_IN}" stroke-linejoin="round"'
    yield f'<g id="{name}" {style} fill-rule="evenodd">'
    for patch, shown in patches:
        for i, part in enumerate(shown, start=1):
            key = f"patch-{patch.number}" + (f"-{i}" if len(shown) > 1 else "")
            role = _attribute(patch.role)
            yield f'<path id="{key}" data-role={role} data-number="{patch.number}" d="{_path(part)}"/>'
    yield "</g>"


def _path(part: Part) -> str:
    return " ".join(map(_ring, part))


def _ring(ring: Ring) -> str:
    points = [f"{_inches(x)} {_inches(y)}" for x, y in ring]
    return f"M {' L '.join(points)} Z"


def _inches(number: Number) -> str:
    return rounded_text(number, places=_PLACES)


def _number(patch: Patch, shown: tuple[Part, ...]) -> str:
    """The patch's number in the widest part of what shows of it, as large as fits there."""
    spots = [widest_spot(Polygon(part[0], part[1:]), within_in=_NEAR_IN) for part in shown]
    (x, y), across_in = max(spots, key=lambda spot: spot[1])
    signs = len(str(patch.number))
    fits_in = 0.8 * across_in / (1 + (_WIDE_SIGN * signs) ** 2) ** 0.5
    scale = rounded_text(min(max(fits_in, _SMALLEST_IN), _LARGEST_IN) / _TYPE_PX, places=6)
    place = f"translate({rounded_text(x, places=4)} {rounded_text(y, places=4)}) scale({scale})"
    return f'<text transform="{place}" font-size="{_TYPE_PX}" dy="0.35em">{patch.number}</text>'


def _plain(text: str) -> str:
    """A text without the signs that no XML file may hold."""
    return _NOT_XML.sub("\ufffd", text)


def _attribute(text: str) -> str:
    """A text as a quoted attribute; line ends and tabs survive reading."""
    return quoteattr(_plain(text), {"\n": "&#10;", "\r": "&#13;", "\t": "&#9;"})
