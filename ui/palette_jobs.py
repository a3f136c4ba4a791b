"""What the command says of cloths together and alone: the whole choice on one line, and a print's palette."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from blocks.lengths import parse_inches
from palettes.palette_files import palette_csv, palette_gpl, palette_json
from palettes.print_palette import Match, PaletteColour, match_colours, palette_of
from palettes.threads import Thread, own_threads, read_threads, thread_labs
from palettes.whole_choice import OnTheLine, WholeChoice, labels_beside, line_up
from preview.files import SUFFIXES, save_picture
from preview.keeping import PaintCache
from preview.seen_cloth import cloth_look
from preview.sheets import size_strip
from swatches.swatch import Swatch
from swatches.trust import colour_is_measured
from ui.asked import Asked
from ui.bench import Worked
from ui.colour_words import STARRED, care_text, marked, mentioned, star
from ui.footnote import footed
from ui.line_picture import CHIP_PX, line_picture
from ui.looks import look_at_cloth
from ui.mistakes import Mistake
from ui.reading_words import percent
from ui.shelf import Shelf, open_shelf
from ui.writing import check_place, write_whole

__all__ = ["draw_sizes", "line_cloths_up", "line_of_cloths", "show_palette"]

_PPI = 96.0
"""Pictures to look at, at no true scale."""

_MOST_SIZES = 12
_VANISHING_L = 2.0
"""A thread that is to vanish is looked for a little darker than its cloth (ours)."""


def line_cloths_up(*, asked: Asked, to: str | None, say: Callable[[str], None]) -> None:
    """Prints all cloths of a block or quilt from light to dark, and what is light or dark beside what."""
    file = check_place(Path(to), ends=tuple(SUFFIXES)) if to else None
    worked = asked.worked(say=say)
    say("Looking at the cloths ...")
    _, lines, draw = line_of_cloths(worked)
    if file is not None:
        save_picture(file, footed(draw(), mentioned(*worked.cloths.values())), ppi=_PPI)
    print(f"From light to dark: {worked.drafted.draft.name}\n")
    print("\n".join(lines))


def line_of_cloths(worked: Worked) -> tuple[str, list[str], Callable[[], NDArray[np.uint8]]]:
    """The cloths that show on one line: what is said of them, all of it in lines, and what draws it."""
    named, cache = _by_name(worked), PaintCache()
    choice = line_up({name: cloth_look(swatch, cache=cache) for name, swatch in named.items()})

    def draw() -> NDArray[np.uint8]:
        chips = {name: look_at_cloth(swatch, side_px=CHIP_PX) for name, swatch in named.items()}
        return line_picture(choice, chips)

    caution = care_text(mentioned(*named.values()))
    return choice.note, [*_line_text(worked, choice), *caution.splitlines()], draw


def _by_name(worked: Worked) -> dict[str, Swatch]:
    """The cloths that show, each by a name that no other has, starred where its colours were not measured."""
    shown = {swatch.key: swatch for swatch in worked.cloth_of_patches().values()}
    names = [swatch.name for swatch in shown.values()]
    return {
        (swatch.name if names.count(swatch.name) == 1 else f"{swatch.name} ({swatch.key})")
        + star(swatch): swatch
        for swatch in shown.values()
    }


def _line_text(worked: Worked, choice: WholeChoice) -> list[str]:
    keys = {swatch.key: name for name, swatch in _by_name(worked).items()}
    cloth_of = {number: keys[swatch.key] for number, swatch in worked.cloth_of_patches().items()}
    roles: dict[str, dict[str, None]] = {}
    for patch in worked.drafted.draft.patches:
        roles.setdefault(cloth_of[patch.number], {})[patch.role] = None
    wide = max(len(name) for name in roles)
    lines = [f"{'L*':>4} {'from':>5} {'to':>4}  {'cloth':{wide}}  roles"]
    lines += [_on_the_line(each, wide, roles[each.name]) for each in choice.line]
    lines += ["", choice.note]
    if len(choice.clumps) > 1:
        lines += [f"Within one value step: {', '.join(clump)}." for clump in choice.clumps]
    meeting = [(cloth_of[edge.first], cloth_of[edge.second]) for edge in worked.drafted.edges if edge.wanted]
    beside = labels_beside({each.name: each.L for each in choice.line}, meeting)
    if beside:
        lines += ["", "Where they meet and should read:"]
        lines += [
            f"  {name}: " + ", ".join(f"{label} beside {other}" for other, label in labels)
            for name, labels in beside.items()
        ]
    return lines


def _on_the_line(each: OnTheLine, wide: int, roles: dict[str, None]) -> str:
    split = "  (lights and darks in one cloth: it has no single value)" if each.is_split else ""
    return (
        f"{each.L:4.0f} {each.low_L:5.0f} {each.high_L:4.0f}  {each.name:{wide}}  {', '.join(roles)}{split}"
    )


def show_palette(
    *, cloth: str, threads: str | None, to: str | None, stash: str | None, say: Callable[[str], None]
) -> None:
    """Prints the colours of a cloth with the solids and threads that match; writes CSV, JSON or GPL."""
    file = check_place(Path(to), ends=(".csv", ".json", ".gpl")) if to else None
    spools = read_threads(Path(threads)) if threads else own_threads()
    shelf = open_shelf(stash)
    swatch = shelf.find(cloth)
    colours = palette_of(swatch.tile_srgb8)
    say("Looking for solids ...")
    solids = [each for each in _solids(shelf) if each.key != swatch.key]
    print("\n".join(_palette_text(swatch, colours, solids, spools)))
    if file is not None:
        write_whole(file, _palette_file(colours, swatch, end=file.suffix.lower()))
        print(f"{file}: {len(colours)} colours")


def _palette_file(colours: Sequence[PaletteColour], swatch: Swatch, *, end: str) -> str:
    """The palette as a file; one that was not measured says so in its name, and in a table in a column."""
    if end == ".csv":
        return palette_csv(colours, measured=colour_is_measured(swatch))
    name = swatch.name if colour_is_measured(swatch) else f"{swatch.name} (colours not measured)"
    return palette_json(colours, name=name) if end == ".json" else palette_gpl(colours, name=name)


def _solids(shelf: Shelf) -> list[Swatch]:
    """Everything of one colour at hand; of the stash each cloth has to be opened to know."""
    entries = [entry for entry in shelf.entries() if entry.source == "stash" or entry.kind == "solid"]
    return [swatch for swatch in (shelf.take(entry) for entry in entries) if swatch.kind == "solid"]


def _palette_text(
    swatch: Swatch, colours: Sequence[PaletteColour], solids: Sequence[Swatch], spools: Sequence[Thread]
) -> list[str]:
    labs = np.array([each.lab for each in colours])
    # A solid is one colour throughout, whatever its weave.
    solid_labs = np.array([palette_of(each.tile_srgb8, most=1)[0].lab for each in solids]).reshape(-1, 3)
    cloth_matches = match_colours(labs, solid_labs, count=2) if solids else ((),) * len(colours)
    thread_matches = match_colours(labs, thread_labs(spools), count=2, darker_L=_VANISHING_L)
    lines = [f"The colours of {swatch.name}", ""]
    for each, cloths, own in zip(colours, cloth_matches, thread_matches, strict=True):
        lines.append(
            f"{percent(each.share):>5}  {each.name}  {each.hex}  L* {each.lab[0]:.0f}, {each.family}"
        )
        if cloths:
            lines.append(f"       solids: {_matches([marked(solid) for solid in solids], cloths)}")
        lines.append(f"       threads: {_matches([spool.name for spool in spools], own)}")
    lines += [
        "",
        "In brackets: how far off, in CIEDE2000; 1 is a just visible step, more than 5 another colour.",
    ]
    starred = any(star(solids[each.index]) for cloths in cloth_matches for each in cloths)
    caution = (*_palette_caution(swatch), *((STARRED,) if starred else ()))
    return [*lines, *care_text(caution).splitlines()]


def _palette_caution(swatch: Swatch) -> tuple[str, ...]:
    """What has to stand beside the colours of a cloth that were not measured; nothing beside others."""
    if colour_is_measured(swatch):
        return ()
    return (
        f"The colours of {swatch.name} were not measured: names, figures and matches may be off by 10 steps "
        "and more. Hold solids and threads against the cloth itself before you buy.",
    )


def _matches(names: Sequence[str], found: Sequence[Match]) -> str:
    return ", ".join(f"{names[each.index]} ({each.dE00:.1f})" for each in found)


def draw_sizes(
    *, cloth: str, sizes: str, ppi: Fraction, to: str, stash: str | None, say: Callable[[str], None]
) -> None:
    """Draws one print as squares of several finished sizes side by side, at true scale."""
    file = check_place(Path(to), ends=tuple(SUFFIXES))
    sizes_in = [parse_inches(part.strip()) for part in sizes.split(",") if part.strip()]
    if not sizes_in or min(sizes_in) <= 0 or len(sizes_in) > _MOST_SIZES:
        raise Mistake(
            f"Sizes are 1 to {_MOST_SIZES} lengths above nothing.", mend='Write them as "1, 2 1/2, 4".'
        )
    swatch = open_shelf(stash).find(cloth)
    say("Drawing ...")
    picture = size_strip(swatch, sizes_in, ppi=float(ppi))
    save_picture(file, picture, ppi=float(ppi))
    size = f"{picture.shape[1]} x {picture.shape[0]} pixels at {float(ppi):g} per inch"
    print(f"{file}: {len(sizes_in)} sizes, {size}")
