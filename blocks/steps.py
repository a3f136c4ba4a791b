"""A block as it is written down: a list of steps, each one unit made from cloth or from earlier units."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from blocks.curves import Stroke

__all__ = ["CORNERS", "Corner", "CornerName", "Part", "Shape", "Step", "mirror_step"]

CornerName = Literal["top left", "top right", "bottom left", "bottom right"]
CORNERS: tuple[CornerName, ...] = ("top left", "top right", "bottom left", "bottom right")

Method = Literal[
    "two at a time", "four at a time", "eight at a time", "one at a time", "four from one square", "cut twice"
]


@dataclass(frozen=True, slots=True)
class Corner:
    """A square sewn over one corner of a base and flipped outwards; `finished_in` is the side that shows."""

    at: CornerName
    cloth: str
    finished_in: Fraction


@dataclass(frozen=True, slots=True)
class Rectangle:
    """One cut piece."""

    name: str
    width_in: Fraction
    height_in: Fraction
    cloth: str


@dataclass(frozen=True, slots=True)
class FlippedCorners:
    """A base, cloth or an earlier unit, with corner squares flipped over it in sewing order."""

    name: str
    width_in: Fraction
    height_in: Fraction
    cloth: str
    """The cloth of the base, or "" when the base is a unit."""
    base: str
    """The earlier unit the corners go on, or "" when the base is one piece of cloth."""
    corners: tuple[Corner, ...]


@dataclass(frozen=True, slots=True)
class Triangles:
    """A unit of triangles cut from squares: the trade's method decides pieces and print, never geometry."""

    name: str
    kind: Literal["half-square triangle", "quarter-square triangle", "flying geese", "square in a square"]
    width_in: Fraction
    height_in: Fraction
    cloths: tuple[str, ...]
    method: Method


@dataclass(frozen=True, slots=True)
class StripSet:
    """Strips sewn side by side, then cut across into segments; strips run left to right, first on top."""

    name: str
    segment_in: Fraction
    strips: tuple[tuple[str, Fraction], ...]


@dataclass(frozen=True, slots=True)
class LogCabin:
    """A centre with logs added one after another, clockwise from the right, or on opposite sides in turn."""

    name: str
    centre_width_in: Fraction
    centre_height_in: Fraction
    centre: str
    log_in: Fraction
    logs: tuple[str, ...]
    order: Literal["round", "opposite"]
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Shape:
    """One patch of a template unit: its finished outline in unit inches."""

    cloth: str
    outline: Stroke
    grain_deg: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Outlined:
    """Patches given by finished outlines: templates, or a foundation sewn in the order of the patches."""

    name: str
    width_in: Fraction
    height_in: Fraction
    shapes: tuple[Shape, ...]
    kind: Literal["template", "foundation"]
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """An earlier unit, turned clockwise by quarter turns where it is used."""

    of: str
    quarters: int = 0


@dataclass(frozen=True, slots=True)
class Made:
    """Units joined in rows: each row is sewn first, then the rows are sewn together."""

    name: str
    rows: tuple[tuple[Part, ...], ...]
    kind: Literal["row", "column", "rows", "turned"]


@dataclass(frozen=True, slots=True)
class Mirrored:
    """The mirror version of an earlier unit: another unit to make, since hands cannot mirror cloth."""

    name: str
    of: str


Step = Rectangle | FlippedCorners | Triangles | StripSet | LogCabin | Outlined | Made | Mirrored

_MIRROR_CORNER: dict[CornerName, CornerName] = {
    "top left": "top right",
    "top right": "top left",
    "bottom left": "bottom right",
    "bottom right": "bottom left",
}


def mirror_step(step: Step, *, mirrored_name: dict[str, str]) -> Step:
    """The step that makes the left-to-right mirror image of what `step` makes.

    `mirrored_name` gives, for earlier units it refers to, the name of their mirror version.
    Triangles are left to the caller, since most mirror by a turn.
    """
    name = mirrored_name[step.name]
    if isinstance(step, FlippedCorners):
        corners = tuple(replace(corner, at=_MIRROR_CORNER[corner.at]) for corner in step.corners)
        return replace(step, name=name, base=mirrored_name.get(step.base, step.base), corners=corners)
    if isinstance(step, Made):
        rows = tuple(
            tuple(Part(mirrored_name[part.of], -part.quarters % 4) for part in reversed(row))
            for row in step.rows
        )
        return replace(step, name=name, rows=rows)
    if isinstance(step, Outlined | LogCabin):
        return replace(step, name=name, mirrored=not step.mirrored)
    return replace(step, name=name)
