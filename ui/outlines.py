"""The lines of a block for the page to lay over its picture: patches and edges as paths in inches."""

from __future__ import annotations

from collections.abc import Iterable

from blocks.motion import Point
from blocks.visible import visible_outlines
from ui.bench import Drafted

__all__ = ["block_outlines", "edge_name"]


def block_outlines(drafted: Drafted) -> dict[str, object]:
    """Sizes, what shows of each patch, and every edge, as plain values that JSON can carry."""
    found = drafted.draft
    return {
        "width_in": float(found.finished_width_in),
        "height_in": float(found.finished_height_in),
        "patches": [
            {
                "number": patch.number,
                "role": patch.role,
                "path": "".join(_path(ring) + "Z" for part in parts for ring in part),
            }
            for patch, parts in zip(found.patches, visible_outlines(found), strict=True)
        ],
        "edges": [
            {"name": edge_name(edge.first, edge.second), "path": "".join(_path(run) for run in edge.runs)}
            for edge in drafted.edges
        ],
    }


def edge_name(first: int, second: int) -> str:
    """What the page calls the edge of two patches.

    Example: edge_name(12, 3) -> '12-3'
    """
    return f"{first}-{second}"


def _path(points: Iterable[Point]) -> str:
    """SVG path data, to a ten-thousandth of an inch."""
    return "M" + "L".join(f"{float(x):.4f} {float(y):.4f}" for x, y in points)
