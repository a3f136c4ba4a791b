"""Photographs of cloth taken in by the command: one, or a folder of them, becomes swatches in the stash."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace as changed
from fractions import Fraction
from pathlib import Path
from typing import Any

from preview.files import SUFFIXES, save_picture
from swatches.measure import measure_photo
from swatches.photo_folder import PhotoOutcome, contact_sheet, measure_folder, photo_files, photo_outcome
from swatches.references import ColourReference, Reference
from ui.mistakes import Mistake, tell
from ui.photo_known import KnownInPhoto, read_colour, read_crop, read_reference, read_repeat
from ui.photo_words import fault_lines, found_lines, size_words, trust_line
from ui.shelf import Shelf, open_shelf
from ui.writing import check_place

__all__ = ["add_cloth"]

_REPORT_PPI = 100.0

Say = Callable[[str], None]


def add_cloth(
    *,
    photo: str,
    name: str | None,
    fabric_width: Fraction,
    report: str | None,
    replace: bool,
    stash: str | None,
    say: Say,
    **known: Any,
) -> None:
    """Takes a photograph in, or a folder of them, and says what each is and how far it can be trusted.

    Raises: Mistake for what was said wrongly, and what `measure_photo` raises; of a folder only if no
    photograph of it became cloth.
    """
    told = KnownInPhoto(**known)
    path = Path(photo)
    file = check_place(Path(report), ends=tuple(SUFFIXES)) if report else None
    shelf = open_shelf(stash)
    if path.is_dir():
        _check_folder(told, name)
        reference, colour = read_reference(told), read_colour(told)
        _add_folder(
            path,
            reference,
            colour,
            shelf=shelf,
            fabric_width=fabric_width,
            report=file,
            replace=replace,
            say=say,
        )
        return
    if name is None:
        raise Mistake("The cloth has no name.", mend='Give it one, such as --name "bee skeps".')
    reference, colour, crop = read_reference(told), read_colour(told), read_crop(told.crop)
    repeat = read_repeat(told.repeat)
    if not replace:
        shelf.check_free(name)
    say("Measuring the photograph ...")
    measured = measure_photo(
        path,
        name=name,
        reference=reference,
        colour=colour,
        crop=crop,
        repeat=repeat,
        one_way=True if told.one_way else None,
        width_of_fabric_in=fabric_width,
    )
    swatch = measured.swatch
    shelf.add(swatch, replace=replace)
    if file is not None:
        save_picture(file, contact_sheet([photo_outcome(path, measured)], columns=1), ppi=_REPORT_PPI)
    print(f'"{swatch.name}" is in your stash: {size_words(swatch)}.')
    print(trust_line(swatch))
    for line in (*found_lines(measured), *fault_lines(measured)):
        print(line)


def _check_folder(told: KnownInPhoto, name: str | None) -> None:
    """What holds for one photograph cannot be said of a folder."""
    wrong = (*(("--name",) if name is not None else ()), *told.places)
    if wrong:
        raise Mistake(
            f"{wrong[0]} cannot be said of a whole folder.",
            mend="Leave it out, or add that photograph alone.",
        )


def _add_folder(
    folder: Path,
    reference: Reference,
    colour: ColourReference | None,
    *,
    shelf: Shelf,
    fabric_width: Fraction,
    report: Path | None,
    replace: bool,
    say: Say,
) -> None:
    """Each goes into the stash whole and at once, so that stopping loses at most the one at work."""
    paths = photo_files(folder)
    seen: list[PhotoOutcome] = []
    try:
        for outcome in measure_folder(paths, reference=reference, colour=colour, progress=_progress(say)):
            seen.append(_kept(outcome, shelf, fabric_width=fabric_width, replace=replace))
            print(f"{outcome.path.name}: {_line(seen[-1])}", flush=True)
    finally:
        _sum_up(seen, of=len(paths))
    if report is not None:
        save_picture(report, contact_sheet(seen), ppi=_REPORT_PPI)
    if not any(outcome.good for outcome in seen):
        raise Mistake("No photograph of the folder became cloth.", mend="See the reason beside each of them.")


def _progress(say: Say) -> Callable[[int, int, Path], None]:
    return lambda done, count, path: say(f"{done + 1} of {count}: {path.name} ...")


def _kept(outcome: PhotoOutcome, shelf: Shelf, *, fabric_width: Fraction, replace: bool) -> PhotoOutcome:
    """The outcome once its swatch is in the stash, or why it is not; without the tile, which may be large."""
    if outcome.swatch is None:
        return outcome
    try:
        shelf.add(changed(outcome.swatch, width_of_fabric_in=fabric_width), replace=replace)
    except ValueError as error:
        told = tell(error)
        if told is None:
            raise
        return changed(outcome, swatch=None, words=f"{told.what} {told.mend}")
    return changed(
        outcome, swatch=changed(outcome.swatch, tile_srgb8=outcome.swatch.tile_srgb8[:1, :1].copy())
    )


def _line(outcome: PhotoOutcome) -> str:
    if outcome.swatch is None:
        return f"refused. {outcome.words}"
    about = "" if outcome.swatch.about is None else f" {outcome.swatch.about.words}"
    return f'"{outcome.swatch.name}". {outcome.words}.{about}'


def _sum_up(seen: list[PhotoOutcome], *, of: int) -> None:
    taken = sum(outcome.good for outcome in seen)
    print(f"{taken} of {of} photographs became cloth in your stash.")
    refused = [outcome.path.name for outcome in seen if not outcome.good]
    if refused:
        print(f"Refused, each for the reason above: {', '.join(refused)}.")
    if len(seen) < of:
        print(f"Not looked at: {of - len(seen)}.", flush=True)
