"""The lines of a block or a quilt for the page to lay over its picture, as paths in inches."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from blocks.motion import Point
from blocks.values import Edge
from preview.scene import Scene
from ui.bench import Drafted
from ui.kinds import kinds_of

__all__ = ["block_outlines", "edge_name", "kind_name"]

_MOST_PATCHES = 4000
"""Of more, none can be pointed at: a browser slows down."""

_MOST_OF_A_KIND = 1500
"""Edges of one kind that are marked together."""


def block_outlines(drafted: Drafted) -> dict[str, object]:
    """Sizes, what shows of each patch, and every edge or kind of edge, as plain values for JSON."""
    found = drafted.draft
    return {
        "width_in": float(found.finished_width_in),
        "height_in": float(found.finished_height_in),
        "patches": _patches(drafted.scene) if len(drafted.scene) <= _MOST_PATCHES else [],
        "edges": _edges(drafted),
    }


def _patches(scene: Scene) -> list[dict[str, object]]:
    paths = [""] * len(scene)
    for ring, owner in enumerate(scene.ring_owner.tolist()):
        points = scene.points_in[scene.ring_first[ring] : scene.ring_first[ring + 1]]
        paths[owner] += _path(points.tolist()) + "Z"
    return [
        {"number": number, "role": role, "path": path}
        for number, role, path in zip(scene.numbers.tolist(), scene.roles, paths, strict=True)
    ]


def _edges(drafted: Drafted) -> list[dict[str, str]]:
    if drafted.quilt is None:
        named = [(edge_name(edge.first, edge.second), [edge]) for edge in drafted.edges]
    else:
        named = [(kind_name(number), edges) for number, edges in enumerate(kinds_of(drafted).values())]
    return [{"name": name, "path": _runs(edges[:_MOST_OF_A_KIND])} for name, edges in named]


def _runs(edges: Sequence[Edge]) -> str:
    return "".join(_path(run) for edge in edges for run in edge.runs)


def edge_name(first: int, second: int) -> str:
    """What the page calls the edge of two patches.

    Example: edge_name(12, 3) -> '12-3'
    """
    return f"{first}-{second}"


def kind_name(number: int) -> str:
    """What the page calls a kind of edge of a quilt, counted from 0 in the order of `kinds_of`."""
    return f"kind-{number}"


def _path(points: Iterable[Point] | Iterable[Sequence[float]]) -> str:
    """SVG path data, to a ten-thousandth of an inch."""
    return "M" + "L".join(f"{float(x):.4f} {float(y):.4f}" for x, y in points)
