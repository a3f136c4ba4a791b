"""Plain cloth from a colour: every pixel is exactly that colour."""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from palettes.colours import parse_colour
from swatches.keys import content_key
from swatches.swatch import WIDTH_OF_FABRIC_IN, Swatch, make_swatch

__all__ = ["solid_swatch"]

_SIDE_PX = 16
_PPI = 100.0


def solid_swatch(
    colour: str, *, name: str | None = None, width_of_fabric_in: Fraction = WIDTH_OF_FABRIC_IN
) -> Swatch:
    """A solid of a colour written as "#aabbcc" or by its name; the cloth is called that unless named.

    No weave is drawn: a solid is the reference against which prints are judged.
    Raises: ColourError if the colour cannot be read; SwatchError for the name or the width.
    Example: solid_swatch("teal").tile_srgb8[0, 0] -> [0, 128, 128]
    """
    code = np.asarray(parse_colour(colour), dtype=np.uint8)
    tile = np.empty((_SIDE_PX, _SIDE_PX, 3), np.uint8)
    tile[:] = code
    called = colour.strip() if name is None else name
    return make_swatch(
        tile,
        key=content_key(tile, ppi=_PPI, name=called),
        name=called,
        ppi=_PPI,
        repeats=True,
        scale_note="Scale: a solid looks the same at any scale.",
        colour_note="Colour: exactly #{:02x}{:02x}{:02x}, as typed.".format(*code.tolist()),
        width_of_fabric_in=width_of_fabric_in,
        kind="solid",
    )
