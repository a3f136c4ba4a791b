"""From the steps of a block file to its units: earlier steps are found by name, joins are measured."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from blocks.blockfile import Block
from blocks.curves import flatten
from blocks.flips import flip_corners
from blocks.lengths import inches_text
from blocks.motion import STAY, Motion, Point, shift, turn
from blocks.polygons import add_allowance, bounds, clockwise, rectangle
from blocks.steps import (
    FlippedCorners,
    LogCabin,
    Made,
    Mirrored,
    Outlined,
    Part,
    Rectangle,
    Shape,
    Step,
    StripSet,
    Triangles,
    mirror_step,
)
from blocks.triangles import make_triangles
from blocks.units import Batch, BatchPiece, Joined, Leaf, LeafPatch, Unit
from blocks.values import CutOutline, CutRectangle

__all__ = ["MisfitError", "cut_one", "make_units", "turned_unit", "whole_block"]

_USABLE_WIDTH_IN = Fraction(40)
"""Strips for strip sets are planned no longer than this. Common practice, no source: 40 of 42-45 in."""


_LOG_SIDES = {
    ("round", False): ("right", "bottom", "left", "top"),
    ("round", True): ("left", "bottom", "right", "top"),
    ("opposite", False): ("left", "right", "top", "bottom"),
    ("opposite", True): ("right", "left", "top", "bottom"),
}


class MisfitError(ValueError):
    """Units that do not fit together, or a block that does not come out at its finished size."""

    def __init__(self, step: str, message: str, mend: str) -> None:
        self.step = step
        self.mend = mend
        super().__init__(f"Step {step!r}: {message}.")


def make_units(steps: Iterable[Step], *, seam_in: Fraction) -> dict[str, Unit]:
    """Every step's unit by name, in the order written.

    Raises: MisfitError where edges do not fit, with both lengths and the step's name.
    """
    written: dict[str, Step] = {}
    units: dict[str, Unit] = {}
    for step in steps:
        if isinstance(step, Mirrored):
            for extra in _mirrored_steps(step, written):
                if extra.name not in units:
                    units[extra.name] = _make(extra, units, seam_in)
                    written[extra.name] = extra
        else:
            units[step.name] = _make(step, units, seam_in)
            written[step.name] = step
    return units


def _make(step: Step, units: Mapping[str, Unit], seam_in: Fraction) -> Unit:
    if isinstance(step, Rectangle):
        return cut_one(step.name, step.cloth, step.width_in, step.height_in, seam_in)
    if isinstance(step, FlippedCorners):
        base = (
            units[step.base]
            if step.base
            else cut_one(f"{step.name}: base", step.cloth, step.width_in, step.height_in, seam_in)
        )
        _expect(step.name, base, step.width_in, step.height_in)
        return flip_corners(step, base=base, seam_in=seam_in)
    if isinstance(step, Triangles):
        return make_triangles(step, seam_in=seam_in)
    if isinstance(step, StripSet):
        return _strip_set(step, seam_in)
    if isinstance(step, LogCabin):
        return _log_cabin(step, seam_in)
    if isinstance(step, Outlined):
        return _outlined(step, seam_in)
    if isinstance(step, Made):
        return _join_rows(step, units)
    raise AssertionError(step)


def whole_block(block: Block, units: Mapping[str, Unit]) -> Unit:
    """The unit of a block's last step.

    Raises: MisfitError if it does not finish at the size written.
    """
    last = block.steps[-1].name
    whole = units[last]
    written = (block.finished_width_in, block.finished_height_in)
    if (whole.width_in, whole.height_in) != written:
        raise MisfitError(
            last,
            f"the block comes out {_size(whole.width_in, whole.height_in)}, but {_size(*written)} is written",
            "Mend the finished size of the block, or of the units in its last step.",
        )
    return whole


def _expect(name: str, unit: Unit, width_in: Fraction, height_in: Fraction) -> None:
    if (unit.width_in, unit.height_in) != (width_in, height_in):
        raise MisfitError(
            name,
            f"its base finishes {_size(unit.width_in, unit.height_in)}, "
            f"but {_size(width_in, height_in)} is asked for",
            "Give the step the same finished size as its base.",
        )


def _size(width_in: Fraction, height_in: Fraction) -> str:
    return f"{inches_text(width_in)} x {inches_text(height_in)} in"


def cut_one(name: str, cloth: str, width_in: Fraction, height_in: Fraction, seam_in: Fraction) -> Leaf:
    """A unit of one rectangle of cloth."""
    shape = CutRectangle(width_in + 2 * seam_in, height_in + 2 * seam_in)
    patch = LeafPatch(cloth, rectangle(width_in, height_in), ((0, shift(seam_in, seam_in)),))
    return Leaf(width_in, height_in, Batch(name, 1, (BatchPiece(cloth, shape),)), (patch,))


def _strip_set(step: StripSet, s: Fraction) -> Leaf:
    """Segments of a strip set; all strips are as long as the segments need, up to the usable width."""
    pitch = step.segment_in + 2 * s
    most = max(1, int(_USABLE_WIDTH_IN // pitch))
    pieces, patches, y = [], [], Fraction(0)
    for i, (cloth, width_in) in enumerate(step.strips):
        pieces.append(BatchPiece(cloth, CutRectangle(Fraction(0), width_in + 2 * s), pitch_in=pitch))
        outline = shift(Fraction(0), y).all(rectangle(step.segment_in, width_in))
        slots = tuple((i, shift(s + k * pitch, s - y)) for k in range(most))
        patches.append(LeafPatch(cloth, outline, slots))
        y += width_in
    return Leaf(step.segment_in, y, Batch(step.name, most, tuple(pieces)), tuple(patches))


def _log_cabin(step: LogCabin, s: Fraction) -> Joined:
    centre = cut_one(f"{step.name}: centre", step.centre, step.centre_width_in, step.centre_height_in, s)
    grown = Joined(centre.width_in, centre.height_in, ((STAY, centre),))
    sides = _LOG_SIDES[step.order, step.mirrored]
    for i, cloth in enumerate(step.logs):
        side = sides[i % 4]
        w, h, log = grown.width_in, grown.height_in, step.log_in
        upright = side in ("left", "right")
        piece = cut_one(f"{step.name}: log {i + 1}", cloth, log if upright else w, h if upright else log, s)
        dx = {"left": log, "right": w}.get(side, Fraction(0))
        dy = {"top": log, "bottom": h}.get(side, Fraction(0))
        nought = Fraction(0)
        if side in ("left", "top"):
            parts = ((shift(dx, dy), grown), (STAY, piece))
        else:
            parts = ((STAY, grown), (shift(dx or nought, dy or nought), piece))
        grown = Joined(w + log if upright else w, h if upright else h + log, parts)
    return grown


def _outlined(step: Outlined, s: Fraction) -> Leaf:
    pieces, patches = [], []
    for i, shape in enumerate(step.shapes):
        outline = _outline_of(shape, step)
        grain = _grain_motion(shape, outline)
        finished = grain.all(outline)
        cut = add_allowance(finished, seam_in=s)
        left, top, _, _ = bounds(cut)
        settle = shift(-left, -top)
        pieces.append(BatchPiece(shape.cloth, CutOutline(settle.all(cut), settle.all(finished))))
        patches.append(LeafPatch(shape.cloth, outline, ((i, settle.after(grain)),)))
    return Leaf(step.width_in, step.height_in, Batch(step.name, 1, tuple(pieces)), tuple(patches))


def _outline_of(shape: Shape, step: Outlined) -> tuple[Point, ...]:
    outline: tuple[Point, ...] = flatten(shape.outline)
    if outline[0] == outline[-1]:
        outline = outline[:-1]
    if step.mirrored:
        outline = tuple((step.width_in - x, y) for x, y in outline)
    left, top, right, bottom = bounds(outline)
    if left < 0 or top < 0 or right > step.width_in or bottom > step.height_in:
        raise MisfitError(
            step.name,
            f"the {shape.cloth} patch reaches outside {_size(step.width_in, step.height_in)}",
            "Keep every outline inside the unit's finished size.",
        )
    return clockwise(outline)


def _grain_motion(shape: Shape, outline: tuple[Point, ...]) -> Motion:
    """The turn that brings the wanted grain (degrees clockwise from upright) upright."""
    if not shape.grain_deg:
        return STAY
    return turn(-shape.grain_deg, about=outline[0])


def _join_rows(step: Made, units: Mapping[str, Unit]) -> Joined:
    parts: list[tuple[Motion, Unit]] = []
    y = Fraction(0)
    width_in: Fraction | None = None
    for row in step.rows:
        laid, row_width, row_height = _join_row(step.name, row, units, down=y)
        if width_in is not None and row_width != width_in:
            raise MisfitError(
                step.name,
                f"a row {inches_text(row_width)} in wide meets rows {inches_text(width_in)} in wide",
                "Make every row equally wide.",
            )
        width_in = row_width
        parts.extend(laid)
        y += row_height
    return Joined(width_in or Fraction(0), y, tuple(parts))


def _join_row(
    name: str, row: tuple[Part, ...], units: Mapping[str, Unit], *, down: Fraction
) -> tuple[list[tuple[Motion, Unit]], Fraction, Fraction]:
    laid: list[tuple[Motion, Unit]] = []
    x = Fraction(0)
    height_in: Fraction | None = None
    for part in row:
        motion, w, h = turned_unit(units[part.of], part.quarters)
        if height_in is not None and h != height_in:
            raise MisfitError(
                name,
                f"{part.of!r} has an edge of {inches_text(h)} in where {inches_text(height_in)} in is needed",
                "Turn the unit, or give both edges the same finished length.",
            )
        height_in = h
        laid.append((shift(x, down).after(motion), units[part.of]))
        x += w
    return laid, x, height_in or Fraction(0)


def turned_unit(unit: Unit, quarters: int) -> tuple[Motion, Fraction, Fraction]:
    """The motion that turns a unit clockwise and brings its corner back to the origin, and its new sides."""
    w, h, nought = unit.width_in, unit.height_in, Fraction(0)
    move = {0: (nought, nought), 1: (h, nought), 2: (w, h), 3: (nought, w)}[quarters % 4]
    motion = shift(*move).after(turn(90 * (quarters % 4)))
    return (motion, h, w) if quarters % 2 else (motion, w, h)


def _mirrored_steps(step: Mirrored, written: Mapping[str, Step]) -> list[Step]:
    """The steps that make the mirror version of an earlier unit, its parts first."""
    made: list[Step] = []
    names: dict[str, str] = {}

    def mirror(name: str, new_name: str) -> None:
        original = written[name]
        for inner in _refers_to(original):
            if inner in written and inner not in names:
                mirror(inner, f"{inner} (mirrored)")
        names[name] = new_name
        made.extend(_mirror_one(original, names))

    mirror(step.of, step.name)
    return made


def _mirror_one(original: Step, names: dict[str, str]) -> list[Step]:
    """A mirrored step; triangles and strips mirror by a turn, so they are the same unit, turned."""
    if isinstance(original, Triangles) and original.kind == "half-square triangle":
        return [Made(names[original.name], ((Part(original.name, 1),),), "turned")]
    if isinstance(original, Triangles) and original.kind == "quarter-square triangle":
        a = original.cloths
        cloths = a if len(a) == 2 else (a[0], a[3], a[2], a[1])
        return [
            Triangles(
                names[original.name],
                original.kind,
                original.width_in,
                original.height_in,
                cloths,
                original.method,
            )
        ]
    return [mirror_step(original, mirrored_name=names)]


def _refers_to(step: Step) -> tuple[str, ...]:
    if isinstance(step, Made):
        return tuple(dict.fromkeys(part.of for row in step.rows for part in row))
    if isinstance(step, FlippedCorners):
        return (step.base,) if step.base else ()
    return ()
