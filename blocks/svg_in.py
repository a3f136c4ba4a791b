"""An SVG drawing from any drawing program, turned into a block as written: one template for every patch.

Shapes that miss each other by less than a tolerance are brought together; every wider gap and overlap is
reported with its place and its size.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import Literal

from shapely.geometry import box

from blocks.appliquefile import applique_faults
from blocks.blockfile import Block
from blocks.copies import Applique
from blocks.curves import Bezier, ExactPoint, Stroke
from blocks.faults import Fault, FaultsError
from blocks.lengths import inches_text
from blocks.misfits import Misfit, region_of, thick_parts, widest_spot
from blocks.pathtext import length_text, path_text, path_unit
from blocks.snapping import settled
from blocks.steps import Outlined, Shape
from blocks.svg_drawing import Drawing, read_drawing
from blocks.svg_fit import fit_patches, misfit_fault
from blocks.svg_patches import DrawnPatch, RoleFrom, patches_of, split_layers
from blocks.svg_tree import read_tree

__all__ = ["DEFAULT_TOLERANCE_IN", "Over", "SvgError", "parse_svg", "read_svg"]

Over = Literal["fault", "applique"]

DEFAULT_TOLERANCE_IN = Fraction(1, 64)
"""Ours: the finest mark on common rulers is eight times as wide, and cloth does not feel the difference."""

_COARSEST_IN = Fraction(1, 4)
_MOST_BYTES = 4_000_000


class SvgError(FaultsError):
    """A drawing with faults; `source` names the file."""

    def __init__(self, source: str, faults: Iterable[Fault]) -> None:
        self.source = source
        super().__init__([replace(fault, where=f"{source}, {fault.where}") for fault in faults])


def read_svg(
    path: Path | str,
    *,
    finished_width_in: Fraction | None = None,
    name: str = "",
    over: Over = "fault",
    roles_from: RoleFrom = "names",
    tolerance_in: Fraction = DEFAULT_TOLERANCE_IN,
) -> Block:
    """The block that a drawing in a file shows; as `parse_svg`, and named after the file if need be.

    Raises: SvgError for a missing or unreadable file, and for every fault in what it draws.
    """
    path = Path(path)
    try:
        if path.stat().st_size > _MOST_BYTES:
            fault = Fault("the file", "", f"has more than {_MOST_BYTES:,} bytes", "Simplify the drawing.")
            raise SvgError(path.name, [fault])
        written = path.read_bytes()
    except OSError as error:
        message = f"cannot be read ({error.strerror})"
        fault = Fault("the file", "", message, "Check the file's name and place.")
        raise SvgError(path.name, [fault]) from error
    return parse_svg(
        written,
        finished_width_in=finished_width_in,
        name=name,
        over=over,
        roles_from=roles_from,
        tolerance_in=tolerance_in,
        source=path.name,
    )


def parse_svg(
    text: str | bytes,
    *,
    finished_width_in: Fraction | None = None,
    name: str = "",
    over: Over = "fault",
    roles_from: RoleFrom = "names",
    tolerance_in: Fraction = DEFAULT_TOLERANCE_IN,
    source: str = "drawing.svg",
) -> Block:
    """The block that a drawing shows: its viewBox is the block, its closed shapes are the patches.

    Without a finished width the drawing's own width on paper counts. A role is the shape's label or id, or
    else its fill; `roles_from="fills"` looks at the fill first. Shapes drawn later that lie over others are
    a fault, or with `over="applique"` appliqué in the order drawn. The name is the one given, the drawing's
    title, or the file's name. The block drafts; its patches tile exactly.
    Raises: SvgError with every fault of the drawing, each with its place and its mend.
    """
    try:
        _check_tolerance(tolerance_in)
        drawing = read_drawing(read_tree(text), finished_width_in=finished_width_in)
        patches = patches_of(drawing.shapes, roles_from=roles_from, tolerance_in=tolerance_in)
        laid: tuple[DrawnPatch, ...] = ()
        if over == "applique":
            patches, laid = split_layers(patches, tolerance_in=tolerance_in)
        named = name or drawing.title or Path(source).stem.replace("_", " ")
        return _block(named, drawing, patches, laid, tolerance_in)
    except FaultsError as error:
        raise SvgError(source, dict.fromkeys(error.faults)) from error


def _check_tolerance(tolerance_in: Fraction) -> None:
    if not 0 < tolerance_in <= _COARSEST_IN:
        message = f"{inches_text(tolerance_in)} in will not do"
        mend = f"Give a tolerance of more than nothing and at most {inches_text(_COARSEST_IN)} in."
        raise FaultsError([Fault("the tolerance", "", message, mend)])


def _block(
    name: str,
    drawing: Drawing,
    patches: Sequence[DrawnPatch],
    laid: Sequence[DrawnPatch],
    tolerance_in: Fraction,
) -> Block:
    width_in, height_in = drawing.width_in, drawing.height_in
    faults: list[Fault] = []
    applique = _applique(laid, width_in, height_in, tolerance_in, faults)
    try:
        outlines = fit_patches(patches, width_in=width_in, height_in=height_in, tolerance_in=tolerance_in)
    except FaultsError as error:
        faults = [*error.faults, *faults]
    if faults:
        raise FaultsError(faults)
    shapes = [Shape(patch.role, _stroke(ring)) for patch, ring in zip(patches, outlines, strict=True)]
    step = Outlined("whole drawing", width_in, height_in, tuple(shapes), "template")
    roles = dict.fromkeys([*(shape.cloth for shape in shapes), *(item.cloth for item in applique)])
    return Block(name, width_in, height_in, tuple((role, "") for role in roles), (step,), applique)


def _stroke(outline: Sequence[ExactPoint]) -> Stroke:
    return Stroke(tuple(Bezier(side) for side in pairwise((*outline, outline[0]))), closed=True)


def _applique(
    laid: Sequence[DrawnPatch],
    width_in: Fraction,
    height_in: Fraction,
    tolerance_in: Fraction,
    faults: list[Fault],
) -> tuple[Applique, ...]:
    """The shapes on top, in the order drawn, each a free outline; faults for what cannot be cut or laid."""
    land = box(0, 0, float(width_in), float(height_in))
    counts: Counter[str] = Counter()
    items: list[Applique] = []
    for i, patch in enumerate(laid):
        counts[patch.role] += 1
        for part in thick_parts(region_of(patch.outline).difference(land), thin_in=float(tolerance_in)):
            at, widest_in = widest_spot(part)
            faults.append(misfit_fault(Misfit("outside", (i,), at, part.area, widest_in), laid))
        outline = _stroke(settled(patch.outline, width_in, height_in, tolerance_in))
        unit_in = path_unit([outline])
        table = {
            "name": f"{patch.role} {counts[patch.role]}",
            "shape": "outline",
            "cloth": patch.role,
            "unit": length_text(unit_in),
            "path": path_text(outline, unit_in=unit_in),
        }
        found, item = applique_faults(table, where=patch.where)
        faults += [replace(fault, field="") for fault in found]
        items += [item] if item is not None else []
    return tuple(items)
