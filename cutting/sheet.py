"""The cutting list as plain text to take to the table: what to buy, what to cut, and how to cut it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from textwrap import wrap

from blocks.lengths import inches_text
from blocks.values import CutBias, Draft
from cutting.cutlist import CutLine
from cutting.listing import Section, gather
from cutting.plan import ClothPlan, PlacedSquare
from cutting.rules import grid_text, is_metric, length_text, size_text
from cutting.strips import Blank, Strip

__all__ = ["CAUTIONS", "cutting_text"]

_WIDE = 96
_WITHIN_A_LENGTH = re.compile(r"(?<=\d) (?=\d+/\d|in\b|mm\b|cm\b|m\b|yd\b|x\b)|(?<=\bx) (?=\d)")

CAUTIONS = (
    "A rotary cutter is sharper than it looks: cut away from yourself, keep fingers behind the ruler's edge, "
    "close the blade every time you lay it down, and keep it away from children. Young people cut only with "
    "an adult beside them.",
    "An iron burns and its steam scalds: try heat on a scrap first, and unplug it when you leave the table.",
    "Count pins and needles out and back, and take pins out before the machine needle reaches them.",
    "The makers' instructions for tools and cloth, and the rules of the place where you sew, come first.",
)
"""Source: North Dakota State University Extension CB111 (store cutters closed, away from young children) and
University of Kentucky 4JF-12PB, 2011 (adults supervise); irons and pins by plain sense."""


def cutting_text(
    draft: Draft,
    plans: Sequence[ClothPlan],
    *,
    names: Mapping[str, str] | None = None,
    whole_quilt: bool = False,
    besides: Mapping[str, Sequence[str]] | None = None,
) -> str:
    """The whole list: a heading, one part for each cloth, notes on the making, and the usual cautions.

    `names` gives a cloth's name for people where its key is not one. Lengths are in the ruler's own units.
    `whole_quilt` calls what is made a quilt top. `besides`: further parts, by their headings, with lines that
    stand after the cloths as they are.
    Raises: CountMismatchError if the plans were made for another block.
    """
    sections = gather(draft, plans, names=names)
    lines = list(_heading(draft, sections, whole_quilt=whole_quilt))
    for section in sections:
        lines += ["", *_cloth(section, draft)]
    for heading, more in (besides or {}).items():
        lines += ["", *_headed(heading), *more]
    if draft.notes:
        lines += ["", *_headed("Notes on the making")]
        lines += [line for note in draft.notes for line in _wrapped(note, lead="- ")]
    lines += ["", *_headed("Take care")]
    lines += [line for caution in CAUTIONS for line in _wrapped(caution, lead="- ")]
    return "\n".join(lines) + "\n"


def _heading(draft: Draft, sections: Sequence[Section], *, whole_quilt: bool) -> Iterator[str]:
    grid_in, blocks = sections[0].plan.rules.grid_in, sections[0].plan.blocks
    seam_in = draft.seam_in
    finished = size_text(draft.finished_width_in, draft.finished_height_in, grid_in=grid_in)
    unfinished = size_text(
        draft.finished_width_in + 2 * seam_in, draft.finished_height_in + 2 * seam_in, grid_in=grid_in
    )
    yield from _headed(f"Cutting list: {draft.name}", line="=")
    thing, then = ("quilt top", "bound") if whole_quilt else ("block", "joined")
    many = f"1 {thing}" if blocks == 1 else f"{blocks} {thing}s, each"
    yield from _wrapped(
        f"{many} {finished} finished, {unfinished} before it is {then}; seam allowance "
        f"{length_text(seam_in, grid_in=grid_in)}.",
    )
    yield from _wrapped(
        "Cut sizes are width x height with seam allowances. The height lies along the length of the cloth, "
        f"the grain. * = rounded up to the next {grid_text(grid_in)}; trim what is over.",
    )


def _cloth(section: Section, draft: Draft) -> Iterator[str]:
    yield from _headed(f"Cloth: {section.name}")
    yield from _purchase(section.plan)
    yield ""
    yield from _table(section)
    yield ""
    yield from _wrapped(
        "Cut strips across the width of the cloth first, then the pieces from left to right, each trimmed "
        "to its own height:"
    )
    for number, (strip, many) in enumerate(_alike(section.plan.strips, section), start=1):
        yield from _strip(strip, many, section, lead=f"{number}. ")
    for placed in section.plan.squares:
        yield from _bias(placed, section, draft)


def _purchase(plan: ClothPlan) -> Iterator[str]:
    grid_in = plan.rules.grid_in
    needed, spare, sold, usable, trimmed, across = (
        length_text(length, grid_in=grid_in)
        for length in (
            plan.length_in,
            plan.spare_length_in,
            plan.width_of_fabric_in,
            plan.usable_in,
            (plan.width_of_fabric_in - plan.usable_in) / 2,
            plan.spare_width_in,
        )
    )
    yield from _wrapped(
        f"Buy {_bought(plan)}. Strips take {needed} of the length and leave {spare}. Nothing is added for "
        "shrinking or for straightening the end."
    )
    yield from _wrapped(
        f"Width {sold} as sold, {usable} to cut from ({trimmed} off each selvage); the fullest strip leaves "
        f"{across}.",
    )
    for warning in plan.warnings:
        yield from _wrapped(warning, lead="! ")


def _bought(plan: ClothPlan) -> str:
    """The length to buy, in the shop's units for this ruler first."""
    yards, metres = f"{inches_text(plan.yards)} yd", f"{float(plan.metres):g} m"
    first, other = (metres, yards) if is_metric(plan.rules.grid_in) else (yards, metres)
    return f"{first} (or {other})"


def _table(section: Section) -> Iterator[str]:
    rows = [
        ("", "cut", "size", "finished", "for"),
        *(_table_row(letter, line, section) for letter, line in section.lines),
    ]
    widths = [max(len(row[i]) for row in rows) for i in range(4)]
    for letter, many, size, finished, use in rows:
        start = f"{letter:>{widths[0]}}  {many:>{widths[1]}}  {size:<{widths[2]}}  {finished:<{widths[3]}}  "
        body = _wrapped(use, wide=max(24, _WIDE - len(start))) or [""]
        yield (start + body[0]).rstrip()
        yield from (" " * len(start) + more for more in body[1:])


def _table_row(letter: str, line: CutLine, section: Section) -> tuple[str, str, str, str, str]:
    grid_in = section.plan.rules.grid_in
    size = size_text(line.rounded_width_in, line.rounded_height_in, grid_in=grid_in)
    mark = " *" if line.is_rounded() else ""
    if line.kind == "bias strip":
        size = f"bias strip {size}"
    elif line.kind == "template":
        size, mark = f"template, box {size}", ""
    return (
        letter,
        str(line.quantity),
        f"{size}{mark}",
        line.finished,
        f"{line.role} ({', '.join(line.steps)})",
    )


def _alike(strips: Iterable[Strip], section: Section) -> Iterator[tuple[Strip, int]]:
    """Strips that are cut alike and lie together, with how many there are."""
    for _, group in groupby(strips, key=lambda strip: _looks(strip, section)):
        first, *more = group
        yield first, 1 + len(more)


def _looks(strip: Strip, section: Section) -> tuple[object, ...]:
    blanks = tuple(_blank_name(blank, section) for blank in strip.blanks)
    return strip.height_in, blanks, tuple(_looks(end, section) for end in strip.ends)


def _strip(strip: Strip, many: int, section: Section, *, lead: str) -> Iterator[str]:
    strips, each = ("1 strip", "it") if many == 1 else (f"{many} strips", "each")
    height = length_text(strip.height_in, grid_in=section.plan.rules.grid_in)
    cuts = [_cuts(strip, section)]
    last = strip
    while len(last.ends) == 1:
        # One shorter strip at the end is simplest cut as more pieces of the strip, trimmed to their height.
        (last,) = last.ends
        cuts.append(_cuts(last, section))
    yield from _wrapped(f"{strips} {height} high; from {each} cut {', '.join(cuts)}.", lead=lead)
    indent = " " * len(lead)
    if last.ends:
        room = length_text(last.ends[0].room_in, grid_in=section.plan.rules.grid_in)
        yield from _wrapped(f"Cut the end that is left ({room}) into strips:", lead=indent)
    for end, many_ends in _alike(last.ends, section):
        yield from _strip(end, many_ends, section, lead=f"{indent}- ")


def _cuts(strip: Strip, section: Section) -> str:
    counted = Counter(_blank_name(blank, section) for blank in strip.blanks)
    return ", ".join(f"{number}\u00a0{name}" for name, number in counted.items())


def _blank_name(blank: Blank, section: Section) -> str:
    size = size_text(blank.width_in, blank.height_in, grid_in=section.plan.rules.grid_in)
    if any(placed.key == blank.key for placed in section.plan.squares):
        return f"bias square {size}"
    laid = section.plan.laid[blank.key]
    turned = ", laid a quarter turned" if laid.turned else ""
    return f"{section.letter_of(laid.piece)}\u00a0({size}{turned})"


def _bias(placed: PlacedSquare, section: Section, draft: Draft) -> Iterator[str]:
    """How to cut one square into bias strips: where the first cut goes, then the strips either side."""
    grid_in, square = section.plan.rules.grid_in, placed.square
    first_in = square.first_cut_in()
    if first_in == 0:
        where = "from the top left corner to the bottom right"
    else:
        towards = "bottom left" if first_in > 0 else "top right"
        where = (
            f"parallel to the line from the top left corner to the bottom right, "
            f"{length_text(abs(first_in), grid_in=grid_in)} from it towards the {towards} corner"
        )
    yield from _wrapped(
        f"Bias square {length_text(square.side_in, grid_in=grid_in)}, edges on the grain: cut first {where}. "
        "Lay further cuts parallel to it; a larger square does no harm.",
    )
    below = [i for i, strip in enumerate(square.strips) if strip.across_in >= first_in]
    above = [i for i, strip in reversed(list(enumerate(square.strips))) if strip.across_in < first_in]
    for side, indices in (("bottom left", below), ("top right", above)):
        if indices:
            names = groupby(_strip_name(placed, i, section, draft) for i in indices)
            strips = [f"{len(list(group))}\u00a0{name}" for name, group in names]
            yield from _wrapped(f"Towards the {side}, in this order: {', '.join(strips)}.", lead="- ")


def _strip_name(placed: PlacedSquare, i: int, section: Section, draft: Draft) -> str:
    strip, piece = placed.square.strips[i], draft.pieces[placed.pieces[i]]
    assert isinstance(piece.shape, CutBias)
    size = size_text(strip.width_in, strip.length_in, grid_in=section.plan.rules.grid_in)
    return f"{section.letter_of(piece.number)}\u00a0({size})"


def _headed(title: str, *, line: str = "-") -> list[str]:
    return [title, line * len(title)]


def _wrapped(text: str, *, lead: str = "", wide: int = _WIDE) -> list[str]:
    """The text in lines, later ones set in under the first; a length is never broken from its unit."""
    held = _WITHIN_A_LENGTH.sub("\u00a0", text)
    indent = " " * len(lead)
    return [
        line.replace("\u00a0", " ")
        for line in wrap(held, wide, initial_indent=lead, subsequent_indent=indent, break_on_hyphens=False)
    ]
