"""What the command chooses: cloths for the open roles of a block, and the shelf ranked for one part."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path

import numpy as np

from palettes.hues import FAMILIES, Family
from palettes.print_palette import palette_of
from palettes.shelf import Part, Ranking, rank_shelf, shelf_of
from palettes.viewing import Viewing
from preview.choosing_for_block import BlockChoice, choose_for_block
from preview.files import save_picture
from preview.readings import EdgeReading
from preview.seen_cloth import cloth_look
from preview.sheets import contact_sheet
from swatches.swatch import Swatch
from ui.advice_jobs import cloths_from
from ui.asked import Asked, one_block, split_names
from ui.audition_file import audition_text
from ui.bench import Worked, work_out
from ui.colour_words import STARRED, care_text, marked, mentioned, star
from ui.footnote import footed
from ui.mistakes import Mistake
from ui.orders import Order, fill_order, written_order
from ui.reading_words import percent
from ui.shelf import open_shelf
from ui.writing import filled_folder, write_whole

__all__ = ["choose", "rank"]

_SHEET = "contact-sheet.png"
_TEXT = "choices.txt"
_PPI = 96.0
"""The sheet is to look at, at no true scale."""


def choose(
    *,
    asked: Asked,
    viewing: Viewing,
    open_roles: str,
    from_cloth: str,
    families: Sequence[str] | None,
    like: str | None,
    with_colour: bool,
    best: Fraction,
    to: str,
    say: Callable[[str], None],
) -> None:
    """Fills a folder with the best choices for the open roles: auditions, a contact sheet, and a text."""
    order, shelf = asked.order(), asked.shelf()
    worked = fill_order(order, shelf, say=_no_word)
    audition = one_block(worked, what="Cloth is chosen")
    known = list(dict.fromkeys(patch.role for patch in worked.drafted.draft.patches))
    opened = known if open_roles.strip() == "all" else split_names(open_roles, known, what="role")
    if not opened:
        raise Mistake("No role is open.", mend=f"Name some, such as --open {','.join(known[:2])}.")
    kept_to = _families(families, opened)
    wish = shelf.find(like) if like else None
    wished = [each.lab for each in palette_of(wish.tile_srgb8)] if wish is not None else None
    with filled_folder(Path(to)) as place:
        stash = cloths_from(shelf, from_cloth, say=say)
        say("Choosing ...")
        found = choose_for_block(
            audition,
            worked.drafted.edges,
            open_roles=opened,
            stash=stash,
            families=kept_to,
            wished_lab=wished,
            with_colour=with_colour,
            count=int(best),
            viewing=viewing,
        )
        say("Drawing ...")
        lines = _fill(place, order, worked, found, opened=opened, viewing=viewing, wish=wish)
    print("\n".join(lines))
    print(f"In {to}: an audition for each (.toml), {_SHEET} and {_TEXT}.")


def _no_word(_: str) -> None:
    """Our own first choice for the open roles is not worth telling."""


def _families(words: Sequence[str] | None, opened: Sequence[str]) -> dict[str, tuple[Family, ...]]:
    found: dict[str, tuple[Family, ...]] = {}
    for word in words or ():
        role, sign, listed = (part.strip() for part in word.partition("="))
        if not sign or not listed:
            raise Mistake(f'"{word}" gives no hues to a role.', mend="Write it as petal=red,pink.")
        (role,) = split_names(role, opened, what="open role") or ("",)
        found[role] = tuple(
            family for family in FAMILIES if family in split_names(listed, FAMILIES, what="hue family")
        )
    return found


def _fill(
    place: Path,
    order: Order,
    worked: Worked,
    found: Sequence[BlockChoice],
    *,
    opened: Sequence[str],
    viewing: Viewing,
    wish: Swatch | None,
) -> list[str]:
    """Writes everything of the choices into the folder; the lines that are told of them."""
    laid = [
        work_out(
            worked.drafted, roles={**worked.roles, **dict(choice.cloths)}, patches=_singles(worked, order)
        )
        for choice in found
    ]
    lines = [
        _line(number, choice, each, opened=opened, viewing=viewing)
        for number, (choice, each) in enumerate(zip(found, laid, strict=True), start=1)
    ]
    cloths = {swatch.key: swatch for each in laid for swatch in each.cloths.values()}
    caution = mentioned(*cloths.values(), wish)
    for number, each in enumerate(laid, start=1):
        text = audition_text(written_order(order, each, beside=place))
        write_whole(place / f"choice-{number:02d}.toml", text)
    captions = [
        f"{number}. " + ", ".join(f"{role}: {marked(each.roles[role])}" for role in opened)
        for number, each in enumerate(laid, start=1)
    ]
    sheet = contact_sheet(worked.drafted.scene, [each.audition for each in laid], captions=captions)
    save_picture(place / _SHEET, footed(sheet, caution), ppi=_PPI)
    lines += _unchanged(worked, opened=opened, viewing=viewing)
    lines += care_text(caution).splitlines()
    write_whole(place / _TEXT, "\n".join(lines) + "\n")
    return lines


def _singles(worked: Worked, order: Order) -> dict[int, Swatch]:
    cloths = worked.cloth_of_patches()
    return {number: cloths[number] for number in order.patches}


def _line(number: int, choice: BlockChoice, laid: Worked, *, opened: Sequence[str], viewing: Viewing) -> str:
    chosen = ", ".join(f'{role}="{laid.roles[role].name}"{star(laid.roles[role])}' for role in opened)
    # Edges between cloths that stay are the same in every choice; they are told once, after all of them.
    weakest = next((each for each in laid.readings(viewing=viewing) if _can_change(each, opened)), None)
    as_laid = (
        f"; as laid here {percent(weakest.reading.share_shows)} {weakest.word} "
        f"({weakest.first_role} and {weakest.second_role})"
        if weakest
        else ""
    )
    proven = "" if choice.is_proven else "; there may be a better one"
    return (
        f"{number:2}. {chosen}\n    weakest edge {percent(choice.weakest)} of cloths like these "
        f"({' and '.join(choice.weakest_roles)}){as_laid}{proven}"
    )


def _can_change(found: EdgeReading, opened: Sequence[str]) -> bool:
    return found.wanted and (found.first_role in opened or found.second_role in opened)


def _unchanged(worked: Worked, *, opened: Sequence[str], viewing: Viewing) -> list[str]:
    """What no choice of these roles can mend: pairs of roles that stay, and are not clear."""
    weak: dict[frozenset[str], EdgeReading] = {}
    for each in worked.readings(viewing=viewing):
        if each.wanted and each.word != "clear" and not _can_change(each, opened):
            weak.setdefault(frozenset((each.first_role, each.second_role)), each)
    if not weak:
        return []
    told = ", ".join(
        f"{each.first_role} and {each.second_role} {percent(each.reading.share_shows)} {each.word}"
        for each in weak.values()
    )
    return ["", f"The same in all of them, as these roles stay: {told}."]


def rank(
    *,
    part: Part,
    on: Sequence[str],
    goes_with: str | None,
    from_cloth: str,
    best: Fraction,
    stash: str | None,
    say: Callable[[str], None],
) -> None:
    """Prints the shelf, best first, by how each cloth would read as this part beside the named cloths."""
    shelf = open_shelf(stash)
    grounds = [shelf.find(name) for name in on]
    wish = shelf.find(goes_with) if goes_with else None
    focus = cloth_look(wish) if wish is not None else None
    keys = {ground.key for ground in grounds}
    entries = [
        entry for entry in shelf.entries() if from_cloth in ("all", entry.source) and entry.key not in keys
    ]
    if not entries:
        raise Mistake("There is no cloth to rank.", mend="Add cloth to your stash, or use --from-cloth demo.")
    say(f"Looking at {len(entries)} cloths ...")
    # One after the other: of a large stash only the looks are kept, never all the pictures.
    looks, names = [], []
    for entry in entries:
        swatch = shelf.take(entry)
        looks.append(cloth_look(swatch))
        names.append(marked(swatch))
    ranking = rank_shelf(shelf_of(looks), [cloth_look(ground) for ground in grounds], part, focus=focus)
    named = " and ".join(ground.name for ground in grounds)
    beside = f", going with {goes_with}" if goes_with else ""
    print(f"As {part} {'under' if part == 'background' else 'on'} {named}{beside}, from 6 feet:\n")
    print("\n".join(_ranked(names, ranking, best=int(best), focus=focus is not None)))
    starred = any(name != entry.name for name, entry in zip(names, entries, strict=True))
    print(care_text((*mentioned(*grounds, wish), *((STARRED,) if starred else ()))), end="")


def _ranked(names: Sequence[str], ranking: Ranking, *, best: int, focus: bool) -> list[str]:
    wide = max(len(name) for name in names)
    heading = f"{'no.':>4}  {'cloth':{wide}}  {'shows':>6} {'merges':>7}" + (f" {'goes':>6}" if focus else "")
    lines = [heading]
    for number, index in enumerate(np.asarray(ranking.order)[:best].tolist(), start=1):
        harmony = f" {percent(float(ranking.harmony[index])):>6}" if focus else ""
        lines.append(
            f"{number:4}  {names[index]:{wide}}  {percent(float(ranking.shows[index])):>6} "
            f"{percent(float(ranking.merges[index])):>7}{harmony}"
        )
    more = len(names) - min(best, len(names))
    if more:
        lines.append(f"and {more} more; the last is {names[int(ranking.order[-1])]}.")
    lines += ["", "shows: the share of an edge that light and dark alone would tell; merges: how much has a"]
    lines += [
        "colour of the other cloth"
        + ("; goes: how near its colours are to the print's own." if focus else ".")
    ]
    return lines
