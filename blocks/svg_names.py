"""What a maker called the parts of a drawing, told apart from the names that drawing programs make up."""

from __future__ import annotations

import re

from blocks.svg_tree import Node

__all__ = ["given_name", "place_of"]

_LABELS = ("data-role", "label", "data-name", "aria-label")
"""Attributes that hold a label, ours first; several shapes may share one."""

_MADE_UP = frozenset(
    [
        *("a", "artboard", "canvas", "circle", "clip", "clippath", "compound", "copy", "curve", "drawing"),
        *("element", "ellipse", "fill", "g", "group", "image", "item", "layer", "line", "mask", "object"),
        *("page", "path", "polygon", "polyline", "rect", "rectangle", "shape", "square", "stroke", "svg"),
        *("svgid", "symbol", "text", "triangle", "tspan", "use", "vector", "xmlid"),
    ]
)
_LONGEST = 200
_NUMBERED = re.compile(r"[\s_.-]*(?:\bcopy|\d+)[\s_.-]*$", re.IGNORECASE)
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{2,4})_")


def given_name(node: Node) -> str:
    """The label of an element, or its id without the number at its end; "" where neither is a maker's word.

    Ids must differ, so a maker numbers them: `petal-1` and `petal-2` are both a petal. Names such as `path12`
    are a program's.
    Example: given_name of <path id="dark_petal-3"/> -> 'dark petal'
    """
    for key in _LABELS:
        label = " ".join(node.attributes.get(key, "")[:_LONGEST].split())
        if label and (key == "data-role" or not _is_made_up(label)):
            return label
    written = _ESCAPED.sub(lambda match: chr(int(match[1], 16)), node.attributes.get("id", "")[:_LONGEST])
    name = " ".join(_unnumbered(written).replace("_", " ").replace("-", " ").split())
    return "" if _is_made_up(name) else name


def _is_made_up(name: str) -> bool:
    return _unnumbered(name).strip(" _.-").lower() in {"", *_MADE_UP}


def _unnumbered(name: str) -> str:
    """A name without the numbers at its end; one that is nothing else is nobody's word."""
    shorter = _NUMBERED.sub("", name)
    while shorter != name:
        name, shorter = shorter, _NUMBERED.sub("", shorter)
    return name


def place_of(node: Node) -> str:
    """Where an element stands in the file, for people to find it."""
    name = next((node.attributes[key] for key in (*_LABELS, "id") if node.attributes.get(key)), "")
    return f"line {node.line}, {node.tag}" + (f' "{name[:40]}"' if name else "")
