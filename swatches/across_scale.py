"""Scale where nothing of known size lies on the cloth: the maker says how much cloth the photograph shows."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import hypot

from swatches.scale import MeasuredScale, ScaleError
from swatches.swatch import LEAST_PPI, MOST_PPI

__all__ = ["ShownAcross", "scale_from_across"]

_EDGE_IN = 0.25
"""How far off either end of a length is that was measured by hand up to the edge of a picture (ours)."""

_TILTED = 0.035
"""As for two points: what a camera tilted by up to 25 degrees costs, at the median (simulated)."""

_LONGEST_IN = 240
_MOST_OFF = 0.5


@dataclass(frozen=True, slots=True)
class ShownAcross:
    """How much cloth the photograph, or the piece of it that is used, shows from left to right."""

    across_in: Fraction


def scale_from_across(shown: ShownAcross, *, width_px: float) -> MeasuredScale:
    """The scale of a photograph, or a piece of one, that is so many pixels wide, taken square-on.

    Raises: ScaleError for what is no length of cloth, and for a density at which no cloth is photographed.
    Example: scale_from_across(ShownAcross(Fraction(12)), width_px=3600).ppi -> 300.0
    """
    across_in = float(shown.across_in)
    if not 0 < across_in <= _LONGEST_IN:
        raise ScaleError(
            f"A photograph cannot show {across_in:g} inches of cloth from left to right",
            mend='Say how much cloth it shows from its left edge to its right one, such as "12 in".',
        )
    ppi = width_px / across_in
    if not LEAST_PPI <= ppi <= MOST_PPI:
        raise ScaleError(
            f"{across_in:g} inches of cloth over {width_px:.0f} pixels are {ppi:.4g} pixels per inch; "
            f"{LEAST_PPI:g} to {MOST_PPI:g} are possible",
            mend="Check how much cloth is seen from left to right.",
        )
    off = min(hypot(hypot(_EDGE_IN, _EDGE_IN) / across_in, _TILTED), _MOST_OFF)
    return MeasuredScale(
        ppi,
        f"Scale: {ppi:.4g} pixels per inch, as {across_in:.4g} inches of cloth are said to be seen from left "
        f"to right; nothing in the photograph bears it out. Take it as ±{off:.0%}, if each end is within a "
        "quarter of an inch and the camera looked about straight down.",
        off=off,
    )
