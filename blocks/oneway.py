"""What of a one-way print cannot finish upright by the way a block is made, and another way that can."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from typing import Literal

from blocks.lays import PieceLay
from blocks.motion import Motion
from blocks.polygons import area, bounds
from blocks.turns import print_turn
from blocks.values import CutBias, CutRectangle, Draft, Patch

__all__ = ["Form", "by_step", "count_text", "forms_of", "is_square", "upright_notes"]

Form = Literal["half", "quarter", "strip"]
"""What a patch is of a piece that makes several: half or quarter of a square, or a part of a strip."""

_FLAT = 1e-6

_STRIPS = "Sew one strip set for each way that its segments lie."
_GEESE = "Make the geese one at a time, with flipped corners."
_PAIRS = "Make them two at a time, the squares in two groups on opposite diagonals."
_SINGLE = "Cut single triangles, each with its right angle as it lies in the block."
_QUARTERS = "Cut single triangles, each with its long side as it lies in the block."
_SLANTED = "Cut its patches one by one, each with its print as it lies in the block."


def upright_notes(draft: Draft, lays: Sequence[PieceLay]) -> Iterator[str]:
    """What cannot finish upright with a way of making that can, and what is cut on the bias to do so."""
    for (step, role), alike in by_step(lays).items():
        bent = [lay for lay in alike if isinstance(lay.piece.shape, CutBias)]
        if bent:
            strips = count_text(len(bent), f"{role} strip")
            yield f"{step}: the print of {strips} runs at 45 degrees to the curve, upright nowhere."
            continue
        total, spoilt = sum(len(lay.patches) for lay in alike), sum(lay.spoilt() for lay in alike)
        if spoilt:
            yield (
                f"{step}: {spoilt} of {count_text(total, f'{role} patch')} cannot finish with the print "
                f"upright, for the pieces make more than one each. {_way_out(draft, step, role)}"
            )
        biased = [lay for lay in alike if isinstance(lay.piece.shape, CutRectangle) and lay.lay_deg % 90]
        if biased:
            yield (
                f"{step}: for an upright print {count_text(len(biased), f'{role} piece')} must be cut at an "
                "angle to the grain; starch the cloth first, and handle the bias edges gently."
            )


def by_step(lays: Sequence[PieceLay]) -> dict[tuple[str, str], list[PieceLay]]:
    """The lays of each step and role, in the order first met."""
    found: dict[tuple[str, str], list[PieceLay]] = defaultdict(list)
    for lay in lays:
        found[lay.piece.step, lay.piece.role].append(lay)
    return found


def _way_out(draft: Draft, step: str, role: str) -> str:
    """A way of making that lets every print of a step finish upright."""
    patches = [patch for patch in draft.patches if patch.step == step]
    if any(isinstance(patch.to_piece, Motion) and print_turn(patch.to_piece) % 90 for patch in patches):
        return _SLANTED
    forms = forms_of(draft, step)
    if "strip" in forms:
        return _STRIPS
    if forms == {"half", "quarter"}:
        return _GEESE
    if forms == {"quarter"}:
        return _QUARTERS
    return _PAIRS if _pairs_up([patch for patch in patches if patch.role == role]) else _SINGLE


def _pairs_up(halves: Sequence[Patch]) -> bool:
    """Whether as many triangles point one way as the other, so that pairs serve them all.

    The two triangles of a square that is cut on one diagonal lie half a turn apart.
    """
    ways: Counter[tuple[bool, bool]] = Counter()
    for patch in halves:
        left, top, right, bottom = bounds(patch.outline)
        corners = [(x, y) for x, y in patch.outline if x in (left, right) and y in (top, bottom)]
        # The corner between the other two: all three lie in corners of the triangle's box.
        tip = [(x, y) for x, y in corners if (left + right - x, top + bottom - y) not in corners]
        if len(patch.outline) != 3 or len(tip) != 1:
            return False
        ways[tip[0][0] == right, tip[0][1] == bottom] += 1
    return all(count == ways[not east, not south] for (east, south), count in ways.items())


def forms_of(draft: Draft, step: str) -> set[Form]:
    """The forms of all patches of a step that is sewn from rectangles."""
    return {_form(draft, patch) for patch in draft.patches if patch.step == step}


def _form(draft: Draft, patch: Patch) -> Form:
    piece = draft.pieces[patch.piece]
    assert isinstance(patch.to_piece, Motion)
    outline = patch.to_piece.all(patch.outline)
    left, top, right, bottom = bounds(outline)
    fills = abs(float(area(outline) - (right - left) * (bottom - top))) < _FLAT
    if fills or not is_square(piece.shape):
        return "strip"
    ahead = (*outline[1:], outline[0])
    sides = [(float(u - x), float(v - y)) for (x, y), (u, v) in zip(outline, ahead, strict=True)]
    dx, dy = max(sides, key=lambda side: side[0] ** 2 + side[1] ** 2)
    return "quarter" if min(abs(dx), abs(dy)) < _FLAT else "half"


def is_square(shape: object) -> bool:
    """Whether a shape to cut is a square."""
    return isinstance(shape, CutRectangle) and abs(float(shape.width_in - shape.height_in)) < _FLAT


def count_text(number: int, thing: str) -> str:
    """A number of things in words: "1 leaf patch", "2 leaf patches"."""
    ending = "" if number == 1 else ("es" if thing.endswith("patch") else "s")
    return f"{number} {thing}{ending}"
