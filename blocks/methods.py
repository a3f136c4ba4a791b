"""The trade's methods as a choice: they change what is cut and wasted and how prints lie, never the unit."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from fractions import Fraction
from math import isclose
from typing import Any, cast

from blocks.blockfile import Block
from blocks.designs import Design, design_block, patches_of, pieces_of
from blocks.lengths import round_up
from blocks.motion import STAY, Motion, Number
from blocks.polygons import add_allowance, area
from blocks.steps import CORNERS, Corner, FlippedCorners, Step, Triangles
from blocks.turns import group_turns
from blocks.values import CutPiece, CutRectangle, Patch

__all__ = [
    "METHODS",
    "MethodCost",
    "MethodCut",
    "MethodError",
    "compare_methods",
    "methods_of",
    "with_method",
]

METHODS: dict[str, tuple[str, ...]] = {
    "half-square triangle": ("two at a time", "four at a time", "eight at a time"),
    "quarter-square triangle": ("two at a time", "cut twice"),
    "flying geese": ("one at a time", "four from one square"),
    "square in a square": ("cut twice", "flipped corners"),
}
"""Every kind of unit that can be made in more than one way, with its methods."""

_FLIPPED = ("one at a time", "flipped corners")
_MOST_UNITS = 10_000
_NEAR_IN = 1e-9
_EIGHTH_IN = Fraction(1, 8)
"""The ruler that sizes are rounded to. Common practice, no source."""


class MethodError(ValueError):
    """A method that does not suit what is to be made. Carries how to mend it."""

    def __init__(self, message: str, mend: str) -> None:
        self.mend = mend
        super().__init__(message)


@dataclass(frozen=True, slots=True)
class MethodCut:
    """Pieces that are cut alike."""

    role: str
    quantity: int
    width_in: Number
    """Exact, seam allowances included; a float where a diagonal makes it irrational."""
    height_in: Number
    rounded_width_in: Fraction
    """Rounded up to the ruler: what to cut."""
    rounded_height_in: Fraction


@dataclass(frozen=True, slots=True)
class MethodCost:
    """What a number of units costs by one method."""

    kind: str
    method: str
    cuts: tuple[MethodCut, ...]
    made: int
    """Units that come of it, no fewer than needed."""
    spare: int
    cloth_sq_in: float
    """Area of all pieces at their exact cut sizes."""
    wasted_sq_in: float
    """That area, less the patches of the units needed, each with its seam allowance all round: what would be
    left over, as trimmings and spare units, if every patch were cut to its own shape."""
    turns: tuple[tuple[str, float, int], ...]
    """Role, degrees clockwise from upright and number of patches whose print lies so, in the units needed,
    each standing as it is drawn."""
    bias_outside: bool
    """Whether the units' outer edges stretch, because they are not cut along the grain."""


def compare_methods(
    kind: str,
    size_in: tuple[Fraction, Fraction],
    *,
    cloths: tuple[str, ...],
    count: int,
    seam_in: Fraction = Fraction(1, 4),
    grid_in: Fraction = _EIGHTH_IN,
) -> tuple[MethodCost, ...]:
    """What so many units of one kind cost by each method that can make them; sizes are finished.

    Worked out from the same makings that a block is drafted from.
    Raises: MethodError for an unknown kind, a size or cloths it cannot have, or an impossible count.
    """
    _check(kind, size_in, cloths, count)
    steps = ((method, _step(kind, method, kind, size_in, cloths)) for method in METHODS[kind])
    return tuple(
        _cost(kind, method, step, count=count, seam_in=seam_in, grid_in=grid_in)
        for method, step in steps
        if step is not None
    )


def methods_of(step: Step) -> tuple[str, ...]:
    """The methods that can make what a step makes, its own among them; none where there is no choice."""
    found = _triangles_of(step)
    if found is None:
        return ()
    kind, size_in, cloths = found
    return tuple(method for method in METHODS[kind] if _step(kind, method, "", size_in, cloths) is not None)


def with_method(block: Block, step_name: str, method: str) -> Block:
    """The same block with one step made by another method; every finished patch stays as it is.

    Raises: MethodError if there is no such step, or the method cannot make what it makes.
    """
    names = [step.name for step in block.steps]
    if step_name not in names:
        raise MethodError(f'There is no step "{step_name}".', f"Name a step: {', '.join(names)}.")
    old = block.steps[names.index(step_name)]
    found = _triangles_of(old)
    new = None
    if found is not None and method in METHODS[found[0]]:
        kind, size_in, cloths = found
        new = _step(kind, method, step_name, size_in, cloths)
    if new is None:
        choice = ", ".join(methods_of(old))
        mend = (
            f"Choose one of: {choice}." if choice else "Choose a step of triangles, geese or set-in squares."
        )
        raise MethodError(f'The step "{step_name}" cannot be made "{method}".', mend)
    return replace(block, steps=tuple(new if step is old else step for step in block.steps))


def _check(kind: str, size_in: tuple[Fraction, Fraction], cloths: tuple[str, ...], count: int) -> None:
    if kind not in METHODS:
        raise MethodError(
            f'There is no choice of methods for "{kind}".', f"Name one of: {', '.join(METHODS)}."
        )
    width_in, height_in = size_in
    across = 2 if kind == "flying geese" else 1
    if height_in <= 0 or width_in != across * height_in:
        shape = "twice as wide as high" if across == 2 else "square"
        raise MethodError(f"A {kind} unit is {shape}.", "Give its finished width and height so.")
    numbers = (2, 4) if kind == "quarter-square triangle" else (2,)
    if len(cloths) not in numbers:
        listed = " or ".join(map(str, numbers))
        raise MethodError(f"A {kind} unit is not made of {len(cloths)} cloths.", f"Name {listed} cloths.")
    if not 1 <= count <= _MOST_UNITS:
        raise MethodError(f"{count} is not a number of units to make.", f"Ask for 1 to {_MOST_UNITS:,}.")


def _step(
    kind: str, method: str, name: str, size_in: tuple[Fraction, Fraction], cloths: tuple[str, ...]
) -> Step | None:
    """The step that makes a unit by a method; None if the method cannot make it of these cloths."""
    width_in, height_in = size_in
    if method in _FLIPPED:
        corners = CORNERS[:2] if kind == "flying geese" else CORNERS
        flipped = tuple(Corner(at, cloths[1], width_in / 2) for at in corners)
        return FlippedCorners(name, width_in, height_in, cloths[0], "", flipped)
    if kind == "quarter-square triangle":
        four = cloths * 2 if len(cloths) == 2 else cloths
        if method == "two at a time" and four[:2] != four[2:]:
            return None
        cloths = four if method == "cut twice" else four[:2]
    return Triangles(name, cast(Any, kind), width_in, height_in, cloths, cast(Any, method))


def _triangles_of(step: Step) -> tuple[str, tuple[Fraction, Fraction], tuple[str, ...]] | None:
    """Kind, finished size and cloths of a unit that has methods to choose from, whichever it is made by."""
    if isinstance(step, Triangles):
        return step.kind, (step.width_in, step.height_in), step.cloths
    if not isinstance(step, FlippedCorners) or step.base or len({c.cloth for c in step.corners}) != 1:
        return None
    size_in, cloths = (step.width_in, step.height_in), (step.cloth, step.corners[0].cloth)
    where = {corner.at for corner in step.corners}
    if {corner.finished_in for corner in step.corners} != {step.width_in / 2}:
        return None
    if where == set(CORNERS[:2]) and step.width_in == 2 * step.height_in:
        return "flying geese", size_in, cloths
    if where == set(CORNERS) and step.width_in == step.height_in:
        return "square in a square", size_in, cloths
    return None


def _cost(
    kind: str, method: str, step: Step, *, count: int, seam_in: Fraction, grid_in: Fraction
) -> MethodCost:
    width_in, height_in = _size(step)
    design = design_block(Block(kind, width_in, height_in, (), (step,)), seam_in=seam_in)
    pieces = pieces_of(design, repeats=count, first=0)
    cloth_sq_in = sum(float(w * h) for w, h in map(_sides, pieces))
    needed_sq_in = count * sum(_with_seams(patch, seam_in) for patch in _nth(design, 0, count))
    most = max(batch.makes for batch in design.batches)
    made = -(-count // most) * most
    return MethodCost(
        kind=kind,
        method=method,
        cuts=_cuts(pieces, grid_in),
        made=made,
        spare=made - count,
        cloth_sq_in=cloth_sq_in,
        wasted_sq_in=round(cloth_sq_in - needed_sq_in, 9),
        turns=_turns(design, count),
        bias_outside=any(_stretches(patch, width_in, height_in) for patch in _nth(design, 0, count)),
    )


def _nth(design: Design, nth: int, count: int) -> list[Patch]:
    first = 1 + nth * len(design)
    return list(patches_of(design, nth=nth, repeats=count, motion=STAY, first_piece=0, first_patch=first))


def _turns(design: Design, count: int) -> tuple[tuple[str, float, int], ...]:
    """How the prints lie: making after making gives the same, so that one is looked at."""
    most = max(batch.makes for batch in design.batches)
    found: Counter[tuple[str, float]] = Counter()
    for nth in range(min(most, count)):
        for group in group_turns(_nth(design, nth, count)):
            found[group.role, group.turn_deg] += group.count * len(range(nth, count, most))
    return tuple((role, turn_deg, n) for (role, turn_deg), n in sorted(found.items()))


def _size(step: Step) -> tuple[Fraction, Fraction]:
    assert isinstance(step, Triangles | FlippedCorners)
    return step.width_in, step.height_in


def _sides(piece: CutPiece) -> tuple[Number, Number]:
    assert isinstance(piece.shape, CutRectangle)  # no method here cuts round a template
    return piece.shape.width_in, piece.shape.height_in


def _cuts(pieces: list[CutPiece], grid_in: Fraction) -> tuple[MethodCut, ...]:
    counts = Counter((piece.role, *_sides(piece)) for piece in pieces)
    return tuple(
        MethodCut(role, n, w, h, round_up(w, step_in=grid_in), round_up(h, step_in=grid_in))
        for (role, w, h), n in counts.items()
    )


def _with_seams(patch: Patch, seam_in: Fraction) -> float:
    return float(area(add_allowance(patch.outline, seam_in=seam_in)))


def _stretches(patch: Patch, width_in: Fraction, height_in: Fraction) -> bool:
    """Whether a side of a patch that lies on the unit's edge runs across the grain of its piece."""
    assert isinstance(patch.to_piece, Motion)
    ahead = (*patch.outline[1:], patch.outline[0])
    for (x, y), (u, v) in zip(patch.outline, ahead, strict=True):
        if x == u in (0, width_in) or y == v in (0, height_in):
            (p, q), (r, s) = patch.to_piece((x, y)), patch.to_piece((u, v))
            along = isclose(p, r, abs_tol=_NEAR_IN) or isclose(q, s, abs_tol=_NEAR_IN)
            if not along:
                return True
    return False
