"""The shelf of demo cloth: every print and solid by name, drawn when it is asked for."""

from __future__ import annotations

from difflib import get_close_matches
from functools import lru_cache
from types import MappingProxyType
from zlib import crc32

from swatches.demo.canvas import PPI
from swatches.demo.ditsies import ditsies
from swatches.demo.dotted import dotted
from swatches.demo.florals import florals
from swatches.demo.leafy import leafy
from swatches.demo.mottled import mottled
from swatches.demo.recipe import DemoCloth, Recipe
from swatches.demo.solids import solids
from swatches.demo.standing import standing
from swatches.demo.tonal import tonal
from swatches.demo.weave import finish
from swatches.demo.yarn_dyed import yarn_dyed
from swatches.swatch import Swatch, make_swatch

__all__ = ["UnknownCloth", "demo_about", "demo_names", "demo_swatch", "draw_swatch"]

_SHELF = MappingProxyType(
    {
        one.about.name: one
        for family in (florals, ditsies, standing, dotted, yarn_dyed, leafy, tonal, mottled, solids)
        for one in family()
    }
)


class UnknownCloth(ValueError):
    """A name that is on no bolt of the demo cloth. `mend` says which names come close."""

    def __init__(self, name: str) -> None:
        close = get_close_matches(name.strip().lower(), _SHELF, n=3, cutoff=0.5)
        if close:
            self.mend = (
                "Did you mean " + " or ".join(f'"{one}"' for one in close) + "? Give one of the names listed."
            )
        else:
            self.mend = "Choose one of: " + ", ".join(_SHELF) + "."
        super().__init__(f'there is no demo cloth called "{name}".')


def demo_names() -> tuple[str, ...]:
    """The names of all demo cloth: prints by family, then solids."""
    return tuple(_SHELF)


def demo_about(name: str) -> DemoCloth:
    """What the label of one demo cloth says. Raises: UnknownCloth."""
    return _find(name).about


def demo_swatch(name: str) -> Swatch:
    """One demo cloth, drawn once and then kept. Raises: UnknownCloth.

    Example: demo_swatch("clover field").width_in -> 4.0
    """
    return _kept(_find(name).about.name)


def draw_swatch(name: str) -> Swatch:
    """One demo cloth, drawn afresh; the same bytes every time. Raises: UnknownCloth."""
    one = _find(name)
    about = one.about
    return make_swatch(
        finish(one.draw(about.repeat_in), seed=crc32(about.name.encode())),
        key=about.name.replace(" ", "-"),
        name=about.name,
        ppi=PPI,
        repeats=True,
        scale_note=f"exact: drawn at {PPI} pixels to the inch of cloth",
        colour_note="exact: drawn in sRGB, from no photograph",
        one_way=about.one_way,
        kind="solid" if about.kind == "solid" else "print",
    )


@lru_cache(maxsize=128)
def _kept(name: str) -> Swatch:
    return draw_swatch(name)


def _find(name: str) -> Recipe:
    try:
        return _SHELF[" ".join(name.lower().replace("-", " ").split())]
    except KeyError:
        raise UnknownCloth(name) from None
