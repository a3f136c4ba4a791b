"""The first cutting plan: strips across the width of fabric, and the place of every piece on its cloth.

The place of a piece is the motion that carries its own frame onto the bolt (x from the left selvage, y along
the length, which is the grain). The picture samples the print through it: what is seen is what is cut.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from fractions import Fraction

from blocks.values import CutBias, CutPiece, Draft
from cutting.cutlist import check_blocks
from cutting.orders import Job, Order, TooWideError, best_strips, length_of, take_order
from cutting.plan import ClothPlan, Laid, PlacedSquare, all_places
from cutting.rules import CuttingRules, RulesError, length_text
from cutting.seating import seat_in_box, seat_in_square
from cutting.strips import Blank

__all__ = ["WIDTH_OF_FABRIC_IN", "ClothPlan", "MissingClothError", "TooWideError", "all_places", "lay_out"]

WIDTH_OF_FABRIC_IN = Fraction(42)
"""Taken when a cloth's width is not given. Source: common practice, cloth sold as 42 to 45 in."""

NARROWER_IN = Fraction(1)
"""How much less width a plan is tried with: bolts of one print differ by about that."""

LITTLE_IN = Fraction(1, 2)
"""Straightening a cut end takes about this much: ours, no source."""


class MissingClothError(ValueError):
    """A role that no cloth was chosen for."""

    def __init__(self, role: str) -> None:
        self.mend = f'Choose a cloth for the role "{role}".'
        super().__init__(f'No cloth is chosen for the role "{role}".')


def lay_out(
    draft: Draft,
    *,
    cloth_of: Mapping[str, str],
    width_of_fabric_in: Mapping[str, Fraction],
    rules: CuttingRules | None = None,
    one_way: Collection[str] = (),
    blocks: int = 1,
    overrides: Mapping[int, str] | None = None,
) -> tuple[ClothPlan, ...]:
    """A cutting plan for each cloth, in the order in which the block first uses it.

    `cloth_of` gives the cloth of each role and `overrides` that of single pieces by number. Cloths in
    `one_way` are never turned. A cloth without a width is taken as 42 in, and its plan says so.
    Raises: MissingClothError for a role without cloth; TooWideError for a piece wider than its cloth;
    RulesError for fewer than one block, more than a thousand, or a cloth with no width left to cut from.
    """
    rules = rules or CuttingRules()
    check_blocks(blocks)
    plans = []
    for cloth, pieces in _share_out(draft.pieces, cloth_of, overrides or {}).items():
        width_in = width_of_fabric_in.get(cloth, WIDTH_OF_FABRIC_IN)
        usable_in = width_in - rules.selvage_in
        if usable_in <= 0:
            mend = "Give the width of fabric, or trim less selvage."
            raise RulesError(f'width of "{cloth}"', "nothing is left between the selvages", mend)
        may_turn = rules.may_turn and cloth not in one_way
        order = take_order(cloth, pieces, rules=rules, may_turn=may_turn, blocks=blocks, usable_in=usable_in)
        guessed = ("Its width was not given; 42 in is taken.",) if cloth not in width_of_fabric_in else ()
        plans.append(_plan(order, blocks=blocks, width_in=width_in, usable_in=usable_in, warnings=guessed))
    return tuple(plans)


def _share_out(
    pieces: Iterable[CutPiece], cloth_of: Mapping[str, str], overrides: Mapping[int, str]
) -> dict[str, list[CutPiece]]:
    by_cloth: dict[str, list[CutPiece]] = {}
    for piece in pieces:
        cloth = overrides.get(piece.number, cloth_of.get(piece.role))
        if cloth is None:
            raise MissingClothError(piece.role)
        by_cloth.setdefault(cloth, []).append(piece)
    return by_cloth


def _plan(
    order: Order, *, blocks: int, width_in: Fraction, usable_in: Fraction, warnings: tuple[str, ...]
) -> ClothPlan:
    margin_in = (width_in - usable_in) / 2
    strips = best_strips(order, usable_in=usable_in, left_in=margin_in)
    seats = {blank.key: (blank, left, top) for strip in strips for blank, left, top in strip.seats()}
    squares = tuple(
        PlacedSquare(
            key, *seats[key][1:], square, tuple(order.bias[s.number].piece.number for s in square.strips)
        )
        for key, square in enumerate(order.squares, start=len(order.whole))
    )
    laid = [_lay_whole(job, *seats[key]) for key, job in enumerate(order.whole)]
    laid += [piece for placed in squares for piece in _lay_strips(order, placed)]
    plan = ClothPlan(
        cloth=order.cloth,
        width_of_fabric_in=width_in,
        usable_in=usable_in,
        rules=order.rules,
        blocks=blocks,
        length_in=length_of(strips),
        strips=strips,
        squares=squares,
        laid=tuple(laid),
        narrower_length_in=_length_if_narrower(order, usable_in=usable_in - NARROWER_IN),
        warnings=warnings,
    )
    return replace(plan, warnings=(*warnings, *_warn(plan)))


def _lay_whole(job: Job, blank: Blank, left_in: Fraction, top_in: Fraction) -> Laid:
    shape = job.piece.shape
    assert not isinstance(shape, CutBias)  # bias strips come from squares
    place = seat_in_box(
        shape,
        left_in=left_in,
        top_in=top_in,
        width_in=blank.width_in,
        height_in=blank.height_in,
        turned=blank.turned,
    )
    return Laid(
        job.piece.number, job.block, place, left_in, top_in, blank.width_in, blank.height_in, blank.turned
    )


def _lay_strips(order: Order, placed: PlacedSquare) -> Iterable[Laid]:
    side_in = placed.square.side_in
    for strip in placed.square.strips:
        job = order.bias[strip.number]
        assert isinstance(job.piece.shape, CutBias)
        place = seat_in_square(
            job.piece.shape, strip, left_in=placed.left_in, top_in=placed.top_in, side_in=side_in
        )
        yield Laid(job.piece.number, job.block, place, placed.left_in, placed.top_in, side_in, side_in)


def _length_if_narrower(order: Order, *, usable_in: Fraction) -> Fraction | None:
    try:
        strips = best_strips(order, usable_in=usable_in, left_in=Fraction(0))
    except TooWideError:
        return None
    return length_of(strips)


def _warn(plan: ClothPlan) -> Iterable[str]:
    """What could leave the maker short of cloth, one sentence each."""
    needed, narrower, spare = (
        length_text(length_in, grid_in=plan.rules.grid_in)
        for length_in in (plan.length_in, NARROWER_IN, plan.spare_length_in)
    )
    if plan.spare_length_in == 0:
        yield "Nothing of the length to buy is to spare: buy a little more."
    elif plan.spare_length_in < LITTLE_IN:
        yield f"Only {spare} of the length to buy is to spare: buy a little more."
    if plan.narrower_length_in is None:
        yield f"With {narrower} less usable width a piece no longer fits: measure the cloth before buying."
    elif plan.narrower_length_in > plan.length_in:
        more = length_text(plan.narrower_length_in, grid_in=plan.rules.grid_in)
        yield (
            f"With {narrower} less usable width it takes {more}, not {needed}: "
            "measure the cloth before buying."
        )
