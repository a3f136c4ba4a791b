"""Whether finished patches tile their block: no gap and no overlap, decided in exact arithmetic.

Every patch's outline is a chain of directed edges. Where two patches meet, their edges run opposite ways
and cancel. If all that is left is the outline of the block, walked once, then every point inside lies in
exactly one patch. Nothing is compared with a tolerance.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from fractions import Fraction

from blocks.lengths import inches_text
from blocks.motion import Point

__all__ = ["TilingError", "check_tiling"]

_Line = tuple[Fraction, Fraction, Fraction]


class TilingError(ValueError):
    """Patches that leave a gap or lie over each other."""

    mend = "Make the outlines of neighbouring patches share their corners and edges exactly."


def check_tiling(outlines: Iterable[Sequence[Point]], *, block: Sequence[Point], step: str) -> None:
    """Nothing, if the outlines tile the block exactly.

    Raises: TilingError naming a place where an edge has no partner.
    """
    chains: dict[_Line, dict[Fraction, int]] = defaultdict(lambda: defaultdict(int))
    for outline in outlines:
        _add_outline(chains, outline, 1)
    _add_outline(chains, block, -1)
    for line, steps in chains.items():
        loose = _loose_end(steps)
        if loose is not None:
            x, y = _point_on(line, loose)
            raise TilingError(
                f"{step}: the patches leave a gap or overlap at "
                f"({inches_text(x)}, {inches_text(y)}) in from the top left corner."
            )


def _add_outline(chains: dict[_Line, dict[Fraction, int]], outline: Sequence[Point], sign: int) -> None:
    for i, (px, py) in enumerate(outline):
        qx, qy = outline[(i + 1) % len(outline)]
        x0, y0, x1, y1 = Fraction(px), Fraction(py), Fraction(qx), Fraction(qy)
        line, start, end = _on_line(x0, y0, x1, y1)
        if start != end:
            # Between start and end the net count of walks changes by one; opposite walks cancel.
            chains[line][start] += sign
            chains[line][end] -= sign


def _on_line(x0: Fraction, y0: Fraction, x1: Fraction, y1: Fraction) -> tuple[_Line, Fraction, Fraction]:
    """The line through two points in a form that its direction does not change, and where on it they lie.

    Steep lines are x = slope y + offset, told from flat ones, y = slope x + offset, by the first number.
    """
    dx, dy = x1 - x0, y1 - y0
    if abs(dx) >= abs(dy):
        if dx == 0:
            return (Fraction(0), Fraction(0), Fraction(0)), x0, x0
        slope = dy / dx
        return (Fraction(0), slope, y0 - slope * x0), x0, x1
    slope = dx / dy
    return (Fraction(1), slope, x0 - slope * y0), y0, y1


def _loose_end(steps: dict[Fraction, int]) -> Fraction | None:
    """The first place on a line where a walk starts that no other walk cancels.

    A walk from start to end adds one between them if it runs forward and takes one off if it runs back: the
    running sum of the steps must be nought everywhere.
    """
    net = 0
    for place in sorted(steps):
        net += steps[place]
        if net != 0:
            return place
    return None


def _point_on(line: _Line, place: Fraction) -> tuple[Fraction, Fraction]:
    steep, slope, offset = line
    along = slope * place + offset
    return (along, place) if steep else (place, along)
