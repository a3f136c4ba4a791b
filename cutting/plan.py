"""A cutting plan as a value: where every piece lies on its cloth, and how much cloth to buy."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from blocks.lengths import MM_PER_IN, round_up, to_mm
from blocks.motion import Motion
from cutting.bias import BiasSquare
from cutting.rules import CuttingRules, is_metric
from cutting.strips import Strip

__all__ = ["ClothPlan", "Laid", "PlacedSquare", "all_places", "metres_to_buy", "yards_to_buy"]

EIGHTH_YARD_IN = Fraction(9, 2)
METRE_STEP = Fraction(1, 20)


def yards_to_buy(length_in: Fraction) -> Fraction:
    """A length of cloth in yards, rounded up to the eighths that shops cut.

    Example: yards_to_buy(Fraction(63, 2)) -> Fraction(7, 8), with nothing to spare
    """
    return round_up(length_in, step_in=EIGHTH_YARD_IN) / 36


def metres_to_buy(length_in: Fraction) -> Fraction:
    """A length of cloth in metres, rounded up to 5 cm."""
    return round_up(to_mm(length_in) / 1000, step_in=METRE_STEP)


@dataclass(frozen=True, slots=True)
class Laid:
    """One piece in its place on the cloth."""

    piece: int
    """Its number in `Draft.pieces`."""
    block: int
    """For which of the blocks it is cut, from 0."""
    place: Motion
    """From the piece's own frame to the cloth."""
    left_in: Fraction
    """The box that is cut for it, rounded up to the ruler; for a bias strip, the square it comes from."""
    top_in: Fraction
    width_in: Fraction
    height_in: Fraction
    turned: bool = False
    """Laid a quarter turned, so that its grain runs across the cloth."""


@dataclass(frozen=True, slots=True)
class PlacedSquare:
    """A square for bias strips in its place on the cloth."""

    key: int
    """The key of its blank in the strips."""
    left_in: Fraction
    top_in: Fraction
    square: BiasSquare
    pieces: tuple[int, ...]
    """The piece number of each strip, in the order of `square.strips`."""


@dataclass(frozen=True, slots=True)
class ClothPlan:
    """How one cloth is cut. All places are inches from the left selvage and from the cut end."""

    cloth: str
    width_of_fabric_in: Fraction
    usable_in: Fraction
    """Width that is left when both selvages are trimmed."""
    rules: CuttingRules
    blocks: int
    length_in: Fraction
    """Exact length of cloth that the strips take."""
    strips: tuple[Strip, ...]
    squares: tuple[PlacedSquare, ...]
    laid: tuple[Laid, ...]
    """Whole pieces first, in the order of their blanks' keys; then bias strips, square by square."""
    narrower_length_in: Fraction | None
    """The length it would take if the usable width were one inch less; None if a piece would not fit."""
    warnings: tuple[str, ...]

    @property
    def yards(self) -> Fraction:
        """What to buy, in eighths of a yard."""
        return yards_to_buy(self.length_in)

    @property
    def metres(self) -> Fraction:
        """What to buy, in steps of 5 cm."""
        return metres_to_buy(self.length_in)

    @property
    def spare_length_in(self) -> Fraction:
        """What is left of the length to buy: of the yards, or of the metres on a metric ruler."""
        metric = is_metric(self.rules.grid_in)
        bought_in = self.metres * 1000 / MM_PER_IN if metric else self.yards * 36
        return bought_in - self.length_in

    @property
    def spare_width_in(self) -> Fraction:
        """What the fullest strip leaves across the cloth."""
        margin_in = (self.width_of_fabric_in - self.usable_in) / 2
        reach_in = max((strip.reach_in() for strip in self.strips), default=margin_in)
        return margin_in + self.usable_in - reach_in

    @property
    def places(self) -> Mapping[int, Motion]:
        """For the first block: piece number to the motion from the piece's frame to the cloth."""
        return {laid.piece: laid.place for laid in self.laid if laid.block == 0}


def all_places(plans: Iterable[ClothPlan]) -> dict[int, Motion]:
    """The places of all pieces of the first block, whatever cloth they lie on."""
    return {piece: place for plan in plans for piece, place in plan.places.items()}
