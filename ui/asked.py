"""What was asked of a job, gathered: which block in which cloth, and how it is looked at."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from cutting.rules import CuttingRules
from palettes.viewing import Viewing, feet_away
from preview.audition import Audition
from ui.bench import Worked
from ui.mistakes import Mistake, closest
from ui.orders import Order, Wishes, fill_order, take_order
from ui.reading_settings import DISTANCE, SEVERITY, YEARS
from ui.shelf import Shelf, open_shelf

__all__ = ["Asked", "gathered", "one_block", "pieces_of", "read_methods", "split_names", "take_viewing"]

_METRIC = re.compile(r"\s*[\d.,]+\s*(mm|cm|m)\s*", re.IGNORECASE)

_OF_BLOCK = ("block", "cloths", "seam", "width", "method", "upright", "stash")
_OF_LOOKING = ("distance", "shown", "light", "eyes", "severity", "years")


@dataclass(frozen=True, slots=True)
class Asked:
    """A block or quilt in words: what every job that takes one has in common."""

    block: str
    cloths: tuple[str, ...]
    seam: Fraction | None
    width: Fraction | None
    method: tuple[str, ...]
    upright: bool
    stash: str | None

    def order(self) -> Order:
        """The order in these words. Raises: what `take_order` raises; Mistake for methods of no form."""
        wishes = Wishes(self.seam, self.width, read_methods(self.method), self.upright)
        return take_order(self.block, self.cloths, wishes=wishes)

    def shelf(self) -> Shelf:
        """The cloth at hand."""
        return open_shelf(self.stash)

    def worked(self, *, say: Callable[[str], None], rules: CuttingRules | None = None) -> Worked:
        """The order worked out in its cloth."""
        return fill_order(self.order(), self.shelf(), say=say, rules=rules)


def gathered(options: Mapping[str, Any]) -> dict[str, Any]:
    """The options of a job with those of a block as one `asked`, and those of looking as one `viewing`."""
    rest = dict(options)
    if "upright" in rest:
        of_block = {name: rest.pop(name) for name in _OF_BLOCK}
        of_block |= {name: tuple(of_block[name] or ()) for name in ("cloths", "method")}
        rest["asked"] = Asked(**of_block)
    if "distance" in rest:
        rest["viewing"] = take_viewing(**{name: rest.pop(name) for name in _OF_LOOKING})
    return rest


def take_viewing(
    *,
    distance: str | None,
    shown: str,
    light: str,
    eyes: str | None,
    severity: str | None,
    years: str | None,
) -> Viewing:
    """The way of looking that was asked for; words from the command, each None where nothing was said.

    Raises: Mistake for what is out of bounds, or a severity without eyes.
    """
    distance_in = DISTANCE.read(distance)
    if severity is not None and eyes is None:
        raise Mistake("--severity says how much, but not whose eyes.", mend="Add --eyes deutan, or another.")
    words = feet_away(round(float(distance_in) / 12, 2)).words
    if distance is not None and _METRIC.fullmatch(distance):
        words = f"from {' '.join(distance.split())}"
    return Viewing(
        words,
        float(distance_in),
        shown=shown,  # type: ignore[arg-type]  # the command's choices, checked by Viewing itself
        light=light.replace("-", " "),  # type: ignore[arg-type]
        eyes=eyes,  # type: ignore[arg-type]
        severity=float(SEVERITY.read(severity)),
        years=float(YEARS.read(years)),
    )


def one_block(worked: Worked, *, what: str) -> Audition:
    """The audition of a single block with edges.

    Raises: Mistake for a quilt, or for a block of one patch. `what` can begin a sentence.
    """
    if not isinstance(worked.audition, Audition) or worked.drafted.quilt is not None:
        raise Mistake(f"{what} for one block, and this is a quilt.", mend="Name one of its blocks instead.")
    if not worked.drafted.edges:
        raise Mistake(f"{what} for a block of several patches.", mend="Name a block with a seam in it.")
    return worked.audition


def split_names(typed: str | None, known: Collection[str], *, what: str) -> tuple[str, ...]:
    """Names from words such as "petal, leaf", each once. `what` is one of them: "role".

    Raises: Mistake for a name that is not known, with the nearest.
    """
    names = tuple(dict.fromkeys(part.strip() for part in (typed or "").split(",") if part.strip()))
    for name in names:
        if name not in known:
            raise Mistake(f'There is no {what} "{name}" here.', mend=closest(name, known))
    return names


def pieces_of(worked: Worked, roles: Collection[str]) -> frozenset[int]:
    """The numbers of the cut pieces of these roles."""
    return frozenset(patch.piece for patch in worked.drafted.draft.patches if patch.role in roles)


def read_methods(words: Sequence[str] | None) -> tuple[tuple[str, str], ...]:
    """Steps and methods from words such as corner="four at a time".

    Raises: Mistake for words of another form.
    """
    pairs = []
    for word in words or ():
        step, sign, method = (part.strip() for part in word.partition("="))
        if not sign or not step or not method:
            raise Mistake(f'"{word}" gives no method to a step.', mend='Write it as corner="four at a time".')
        pairs.append((step, method))
    return tuple(pairs)
