"""Advice to a maker of one-way cloth, in plain sentences: how to lay each piece before it is sewn."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from blocks.blockfile import Block
from blocks.designs import Design, design_block, draft_of
from blocks.lays import PieceLay, piece_lays
from blocks.motion import Motion
from blocks.oneway import by_step, count_text, forms_of, is_square, upright_notes
from blocks.units import Batch
from blocks.values import CutOutline, CutRectangle, Draft

__all__ = ["upright_advice"]

_MOST_TURNS = 4
"""More turns of one template than this are not listed one by one."""

_SQUARE_WAYS: Mapping[int, str] = {
    0: "upright",
    90: "across with its top to the left",
    180: "upside down",
    270: "across with its top to the right",
}
"""How the print lies on a square that is turned clockwise on the cloth by so much."""
_STRIP_WAYS = {
    0: "upright",
    90: "along the strip with its top to the left",
    180: "upside down",
    270: "along the strip with its top to the right",
}
_PAIR_WAYS = {0: "upright", 90: "across", 180: "upright", 270: "across"}
"""The two units of a pair lie half a turn apart: which way up a square lies only swaps them."""

_GEESE_CORNERS = ("in the middle", "lower right", "upper right", "upper left", "lower left")
"""Where the pieces of four geese from one square lie: the large one, then the small ones on its corners."""

_Making = Mapping[int, PieceLay]
"""The pieces of one making that are of a one-way cloth, by their place in the batch."""


def upright_advice(
    block: Block, *, roles: Collection[str], seam_in: Fraction = Fraction(1, 4)
) -> tuple[str, ...]:
    """How to make a block so that the prints of these roles finish upright, step by step.

    Says which units are made in several versions and how many of each, how to lay the squares of flipped
    corners and triangles, which rectangles and templates are cut another way, and what cannot finish upright.
    Raises: NoSuchRoleError, and whatever `design_block` finds wrong with the block.
    """
    design = design_block(block, seam_in=seam_in)
    width_in, height_in = block.finished_width_in, block.finished_height_in
    drafted = draft_of(design, seam_in=seam_in, width_in=width_in, height_in=height_in)
    draft, lays = piece_lays(drafted, roles=roles)
    flips = _flips(design)
    told = [
        *_version_sentences(design, roles),
        *_flip_sentences(design, flips, roles),
        *_making_sentences(design, draft, lays),
        *_cut_sentences(lays, apart={batch.step for batch in design.batches if batch.makes > 1} | flips),
    ]
    order = list(dict.fromkeys(_unit(piece.step) for piece in draft.pieces))
    told.sort(key=lambda pair: order.index(_unit(pair[0])))
    return (*(f"{step}: {sentence}" for step, sentence in told), *upright_notes(draft, lays))


def _version_sentences(design: Design, roles: Collection[str]) -> Iterator[tuple[str, str]]:
    """Units of several pieces that lie at several turns in the block, for each turn shows the print anew."""
    turned: dict[str, dict[tuple[str, int], int]] = defaultdict(dict)
    shared: set[str] = set()
    patches = Counter(_unit(placed.batch.step) for placed in design.placed)
    for placed in design.placed:
        name = _unit(placed.batch.step)
        if placed.role in roles:
            turned[name].setdefault((placed.batch.step, placed.occurrence), _quarters(placed.motion))
        if placed.batch.makes > 1:
            shared.add(name)
    for name, units in turned.items():
        first = next(iter(units))[0]
        counts = Counter(quarters for (step, _), quarters in units.items() if step == first)
        if len(counts) == 1 or patches[name] == sum(counts.values()):
            continue
        listed = _and([f"{n} {_turned(90 * quarters)}" for quarters, n in sorted(counts.items())])
        if name in shared:
            yield name, f"the block uses {listed}."
        else:
            yield name, f"make {len(counts)} versions, {listed}: build each as it will stand in the block."


def _flips(design: Design) -> set[str]:
    """The steps whose pieces are squares flipped over a corner: their print arrives a quarter turned."""
    return {
        placed.batch.step
        for placed in design.placed
        if placed.batch.makes == 1
        and isinstance(placed.batch.pieces[placed.leaf.slots[0][0]].shape, CutRectangle)
        and placed.leaf.slots[0][1].cos == 0
    }


def _flip_sentences(
    design: Design, flips: Collection[str], roles: Collection[str]
) -> Iterator[tuple[str, str]]:
    """How to lay the squares of flipped corners, as the unit stands in the block.

    A square on a rising seam turns its print clockwise as it is flipped, one on a falling seam the other way;
    a unit that is turned by a quarter in the block swaps the two.
    """
    counts: dict[tuple[str, str], list[int]] = {}
    for placed in design.placed:
        if placed.batch.step in flips and placed.role in roles:
            rising = placed.leaf.slots[0][1].sin < 0
            swapped = _quarters(placed.motion) % 2 == 1
            counts.setdefault((placed.batch.step, placed.role), [0, 0])[rising == swapped] += 1
    for (step, role), (rising_count, falling_count) in counts.items():
        both = (
            (rising_count, "left", "top left or bottom right"),
            (falling_count, "right", "top right or bottom left"),
        )
        ways = [f"its top to the {side} for a {corner} corner ({n})" for n, side, corner in both if n]
        squares = count_text(rising_count + falling_count, f"{role} square")
        yield (
            step,
            f"as the unit stands in the block, lay {squares} face up with the print running across, "
            f"{_and(ways)}; turned over sideways, sewn and flipped, it finishes upright.",
        )


def _making_sentences(design: Design, draft: Draft, lays: Sequence[PieceLay]) -> Iterator[tuple[str, str]]:
    """How to lay the pieces of makings that give several units, where any is laid another way."""
    lay_of = {lay.piece.number: lay for lay in lays}
    start = 0
    for batch in design.batches:
        size = len(batch.pieces)
        stop = start + -(-design.used[batch.step] // batch.makes) * size
        if batch.makes > 1 and any(lay_of[n].lay_deg for n in range(start, stop) if n in lay_of):
            makings = [
                {i: lay_of[first + i] for i in range(size) if first + i in lay_of}
                for first in range(start, stop, size)
            ]
            yield batch.step, _making_sentence(draft, batch, makings)
        start = stop


def _making_sentence(draft: Draft, batch: Batch, makings: Sequence[_Making]) -> str:
    forms = forms_of(draft, batch.step)
    if "strip" in forms:
        ways = _counted(makings, _STRIP_WAYS, one="strip set", many="strip sets")
        return f"sew {ways}, as the strips lie with the first on top."
    if forms == {"half"} and batch.makes == 2:
        ways = _counted(makings, _PAIR_WAYS, one="pair of squares", many="pairs of squares")
        return f"lay {ways}, the diagonal drawn from lower left to upper right."
    corners = _GEESE_CORNERS if forms == {"half", "quarter"} else ()
    ways = _counted(makings, _SQUARE_WAYS, one="set of squares", many="sets of squares", corners=corners)
    return f"lay {ways}, face up before the upper ones are turned over sideways."


def _counted(
    makings: Iterable[_Making], words: Mapping[int, str], *, one: str, many: str, corners: Sequence[str] = ()
) -> str:
    """How many makings have their prints which way."""
    ways = Counter(_and(list(_role_ways(making, words, corners))) for making in makings)
    return _and([f"{n} {one if n == 1 else many} with {way}" for way, n in ways.items()])


def _role_ways(making: _Making, words: Mapping[int, str], corners: Sequence[str]) -> Iterator[str]:
    """How the print of each role lies in one making, and on which corners where they differ."""
    for role in dict.fromkeys(lay.piece.role for lay in making.values()):
        found: dict[str, list[int]] = defaultdict(list)
        for i, lay in making.items():
            if lay.piece.role == role:
                deg = lay.lay_deg
                found[words[int(deg)] if deg in words else _turned(360 - deg)].append(i)
        listed = list(found)
        if len(found) > 1 and corners:
            listed = [f"{way} ({_and([corners[i] for i in pieces])})" for way, pieces in found.items()]
        elif len(found) > 1:
            listed = [f"{len(pieces)} {way}" for way, pieces in found.items()]
        yield f"the {role} print {_and(listed)}"


def _cut_sentences(lays: Sequence[PieceLay], *, apart: Collection[str]) -> Iterator[tuple[str, str]]:
    """Templates to turn on the cloth, and rectangles to cut the other way of it."""
    for (step, role), alike in by_step(lays).items():
        if step in apart or not any(lay.lay_deg for lay in alike):
            continue
        if isinstance(alike[0].piece.shape, CutOutline):
            yield step, _template_sentence(role, alike)
        elif any(lay.lay_deg % 180 and not is_square(lay.piece.shape) for lay in alike):
            sides = Counter("long" if _along_side(lay) else "short" for lay in alike)
            pieces = [
                f"{count_text(n, f'{role} piece')} with the print along the {side} side"
                for side, n in sides.items()
            ]
            yield step, f"cut {_and(pieces)}."


def _template_sentence(role: str, alike: Sequence[PieceLay]) -> str:
    counts = Counter(lay.lay_deg for lay in alike)
    pieces = count_text(len(alike), f"{role} piece")
    if len(counts) > _MOST_TURNS:
        return (
            f"cut {pieces} in {len(counts)} ways, each template turned on the cloth as it lies in the block."
        )
    if len(counts) == 1:
        return f"cut {pieces} with the template {_turned(alike[0].lay_deg)} on the cloth."
    listed = _and([f"{n} {_turned(deg)}" for deg, n in sorted(counts.items())])
    return f"cut {pieces}, the template laid on the cloth {listed}."


def _along_side(lay: PieceLay) -> bool:
    """Whether the print of a rectangle runs along its longer side."""
    shape = lay.piece.shape
    assert isinstance(shape, CutRectangle)
    return (shape.height_in > shape.width_in) == (lay.lay_deg % 180 == 0)


def _turned(deg: float) -> str:
    if not deg:
        return "as drawn"
    return f"turned {deg:.4g} degrees" if deg <= 180 else f"turned {360 - deg:.4g} degrees anticlockwise"


def _unit(step: str) -> str:
    """The step of the block file that makes a piece: the base of a goose belongs to the goose."""
    return step.split(": ")[0]


def _quarters(motion: Motion) -> int:
    """Clockwise quarter turns of a unit in its block."""
    return {(1, 0): 0, (0, 1): 1, (-1, 0): 2, (0, -1): 3}[int(motion.cos), int(motion.sin)]


def _and(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)
