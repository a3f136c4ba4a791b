"""Which part of a photograph is cloth where no card or paper lies on it, and what to say of the rest."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from swatches.cloth_extent import CLOTH_ENDS, find_cloth_alone
from swatches.crop import Box
from swatches.faults import Fault
from swatches.references import Reference
from swatches.ruler_scale import RulerTicks
from swatches.scale import ShownAcross, TypedPpi

__all__ = ["cloth_alone"]

_SHOWN_ENDS = Fault(
    "more than cloth",
    "The cloth seems to end inside the photograph: what lies beside it may be in the swatch, and the width "
    "that you gave may be the cloth's alone.",
    "Mark the piece of cloth to use (--crop), and say how wide that piece is.",
)
_RULER_IN_IT = Fault(
    "more than cloth",
    "The ruler lies in the piece of cloth that is used.",
    "Mark the piece of cloth to use (--crop), beside the ruler.",
)


def cloth_alone(
    photo_srgb8: NDArray[np.uint8], reference: Reference, *, ppi: float
) -> tuple[Box | None, tuple[Fault, ...]]:
    """The part of an uncropped photograph to use, in whole pixels, None for all, and what to say.

    Only a typed density stays true of a part: a width may have been that of the cloth or of the picture, and
    a ruler has edges of its own.
    """
    if isinstance(reference, RulerTicks):
        return None, (_RULER_IN_IT,)
    extent = find_cloth_alone(photo_srgb8, ppi=ppi)
    if extent.ends == "not seen":
        return None, ()
    if extent.box_px is not None and isinstance(reference, TypedPpi):
        return extent.box_px, ()
    return None, (_SHOWN_ENDS if isinstance(reference, ShownAcross) else CLOTH_ENDS,)
