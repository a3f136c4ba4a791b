"""What the command does with cloth: a photograph becomes a swatch in the stash."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path

from blocks.lengths import inches_text, parse_inches
from swatches.crop import Crop
from swatches.intake import swatch_from_photo
from swatches.scale import CardCorners, Scale, TwoPoints, TypedPpi
from ui.mistakes import Mistake
from ui.settings import PHOTO_PPI
from ui.shelf import open_shelf

__all__ = ["add_cloth", "read_crop", "read_scale"]

_SCALES = "--photo-ppi, or --points with --apart, or --card"


def add_cloth(
    *,
    photo: str,
    name: str,
    photo_ppi: str | None,
    points: Sequence[str] | None,
    apart: str | None,
    card: Sequence[str] | None,
    crop: Sequence[str] | None,
    fabric_width: Fraction,
    one_way: bool,
    replace: bool,
    stash: str | None,
    say: Callable[[str], None],
) -> None:
    """Takes a photograph in and says what the swatch is and how far its scale and colour can be trusted."""
    scale = read_scale(photo_ppi=photo_ppi, points=points, apart=apart, card=card)
    box = read_crop(crop)
    shelf = open_shelf(stash)
    say("Opening the photograph ...")
    swatch = swatch_from_photo(
        Path(photo), name=name, scale=scale, crop=box, width_of_fabric_in=fabric_width, one_way=one_way
    )
    shelf.add(swatch, replace=replace)
    print(
        f'"{swatch.name}" is in your stash: {swatch.width_in:.2f} x {swatch.height_in:.2f} in of cloth at '
        f"{swatch.ppi:.1f} pixels per inch, {inches_text(swatch.width_of_fabric_in)} in wide."
    )
    print(swatch.scale_note)
    print(swatch.colour_note)


def read_scale(
    *,
    photo_ppi: str | None,
    points: Sequence[str] | None,
    apart: str | None,
    card: Sequence[str] | None,
) -> Scale:
    """The one scale that was given.

    Raises: Mistake for none, for more than one, or for points without their distance.
    """
    if (points is None) != (apart is None):
        missing = "--apart" if apart is None else "--points"
        raise Mistake(f"{missing} is missing.", mend="Give two points and how far apart they lie.")
    given = [photo_ppi is not None, points is not None, card is not None].count(True)
    if given != 1:
        what = "No scale is" if given == 0 else "More than one scale is"
        raise Mistake(f"{what} given for the photograph.", mend=f"Give {_SCALES}.")
    if points is not None and apart is not None:
        first, second = (_point(text) for text in points)
        return TwoPoints(first, second, parse_inches(apart))
    if card is not None:
        one, two, three, four = (_point(text) for text in card)
        return CardCorners((one, two, three, four))
    return TypedPpi(float(PHOTO_PPI.read(photo_ppi)))


def read_crop(corners: Sequence[str] | None) -> Crop | None:
    """The rectangle between two opposite corners, whichever way round they were given; None for no crop."""
    if corners is None:
        return None
    (x, y), (across, down) = (_point(text) for text in corners)
    return Crop(min(x, across), min(y, down), max(x, across), max(y, down))


def _point(text: str) -> tuple[float, float]:
    parts = text.split(",")
    try:
        x, y = (float(part) for part in parts)
    except ValueError:
        raise Mistake(f'"{text}" is not a place in the photograph.', mend="Write it as 120,340.") from None
    return x, y
