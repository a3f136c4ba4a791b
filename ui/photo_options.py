"""What the jobs that bring cloth in take. Nothing of weight is imported here."""

from __future__ import annotations

import argparse
from typing import Any

from ui.option_groups import add_job, add_stash
from ui.settings import CLOTH_WIDTH

__all__ = ["PRINT_KINDS", "PRINT_WAYS", "add_photo_jobs"]

PRINT_KINDS = ("plain", "tone-on-tone", "small print", "medium print", "large print", "stripe")
PRINT_WAYS = ("one-way", "two-way", "all-way")

_PLACES = "places in the photograph are x,y in pixels, upright"

_PAGES: dict[str, Any] = {"metavar": "PAPER", "type": str.capitalize, "choices": ("A4", "Letter")}
"""Capitals or not."""

_Jobs = Any  # argparse gives this type no public name


def add_photo_jobs(jobs: _Jobs) -> None:
    """Adds the jobs that bring cloth in from photographs and mend what is known of it."""
    sheet = add_job(
        jobs,
        "photo-sheet",
        "make the sheet that gives photographs of cloth true size and colour, to print once (PDF)",
        ("ui.sheet_job", "make_sheet"),
        at_once=True,
    )
    sheet.add_argument("--page", **_PAGES, required=True, help="the paper it is printed on: A4 or Letter")
    sheet.add_argument("--to", metavar="FILE", required=True, help="the file to write (.pdf)")
    _add_add_cloth(jobs)
    _add_correct(jobs)


def _add_add_cloth(jobs: _Jobs) -> None:
    add = add_job(
        jobs,
        "add-cloth",
        "make a swatch of a photograph, or of each in a folder, and put it into your stash",
        ("ui.cloth_jobs", "add_cloth"),
    )
    add.add_argument(
        "photo",
        metavar="PHOTO",
        help="a photograph or scan of cloth (JPEG, PNG, TIFF, WebP or HEIC), or a folder of them",
    )
    add.add_argument("--name", help="what you call this cloth; in a folder each is named after its file")
    _add_scale(add.add_argument_group("scale: one of these", _PLACES))
    _add_colour(
        add.add_argument_group("colour: one of these", f"as the camera gave it unless told; {_PLACES}")
    )
    add.add_argument(
        "--crop",
        metavar="X,Y",
        nargs=2,
        help="two opposite corners of the cloth to use, in the straightened picture",
    )
    add.add_argument(
        "--repeat",
        metavar="REPEAT",
        default="find",
        help="find: look for the print's repeat; as-is: use the cloth as photographed; or your own steps "
        'from motif to motif, across,down in inches, such as "2.5,0 1.25,3" (find unless told)',
    )
    add.add_argument(
        "--fabric-width", metavar="LENGTH", default=CLOTH_WIDTH.default, help=CLOTH_WIDTH.help_line()
    )
    add.add_argument(
        "--one-way", action="store_true", help="the print has an up and a down, however it looks"
    )
    add.add_argument(
        "--report", metavar="FILE", help="also draw what was found, before and after (a picture)"
    )
    add.add_argument(
        "--replace", action="store_true", help="put it in place of the cloth of that name, if there is one"
    )
    add_stash(add)


def _add_scale(scale: argparse._ArgumentGroup) -> None:
    scale.add_argument("--sheet", action="store_true", help="our photo sheet lies on the cloth")
    scale.add_argument(
        "--bar", metavar="LENGTH", help='how long the sheet\'s 100 mm bar came out of the printer, as "97 mm"'
    )
    scale.add_argument(
        "--card",
        metavar="X,Y",
        nargs="*",
        help="a bank card lies on it; found by itself, or near four corners that you give",
    )
    scale.add_argument("--paper", **_PAGES, help="a sheet of paper lies on it, A4 or Letter; found by itself")
    scale.add_argument(
        "--corners", metavar="X,Y", nargs=4, help="the corners of that paper, if it is not found"
    )
    scale.add_argument(
        "--exact", action="store_true", help="take the given corners as they are: move them to no edge"
    )
    scale.add_argument(
        "--points", metavar="X,Y", nargs=2, help="two points a known distance apart, with --apart"
    )
    scale.add_argument(
        "--apart", metavar="LENGTH", help='how far apart they lie on the cloth, such as "8 in"'
    )
    scale.add_argument(
        "--ruler-ticks", metavar="X,Y", nargs=2, help="a line through the ticks of a ruler: they are counted"
    )
    scale.add_argument(
        "--tick",
        metavar="LENGTH",
        help='from one of those ticks to the next, such as "1 mm" (1/16 in unless told)',
    )
    scale.add_argument(
        "--shows",
        metavar="LENGTH",
        help="nothing lies on it: so much cloth is seen from the left edge of the photograph, or of the "
        'crop, to the right one, such as "12 in"',
    )
    scale.add_argument("--photo-ppi", metavar="N", help="pixels for one inch of cloth, as of a scanner")


def _add_colour(colour: argparse._ArgumentGroup) -> None:
    colour.add_argument("--grey", metavar="X,Y", help="a place on a grey card in the photograph")
    colour.add_argument("--white", metavar="X,Y", help="a place on white paper in the photograph")
    colour.add_argument(
        "--chart",
        metavar="X,Y",
        nargs="*",
        help="a 24-patch chart lies beside the cloth; found by itself, or at the outer corners of its field "
        "of patches, in order round it",
    )
    colour.add_argument(
        "--edition",
        choices=("before-2014", "after-2014"),
        help="when that chart was made: November 2014 or later, or before (after-2014 unless told)",
    )


def _add_correct(jobs: _Jobs) -> None:
    correct = add_job(
        jobs,
        "correct",
        "correct a cloth of your stash by eye, or say what its print is",
        ("ui.correct_job", "correct_cloth"),
        at_once=True,
    )
    correct.add_argument("cloth", metavar="CLOTH", help="a cloth of your stash, by name")
    eye = correct.add_argument_group(
        "by eye, with the cloth in hand",
        "each from -100 to 100, 0 changes nothing; kept beside the picture, never in it",
    )
    for name, what in (
        ("light", "lighter, or darker below 0"),
        ("warm", "towards yellow, or towards blue below 0"),
        ("pink", "towards pink, or towards green below 0"),
        ("strong", "stronger colours, or greyer below 0"),
    ):
        eye.add_argument(f"--{name}", metavar="N", help=what)
    eye.add_argument("--as-photographed", action="store_true", help="take every correction off again")
    correct.add_argument("--way", choices=PRINT_WAYS, help="which way the print goes")
    correct.add_argument("--kind", choices=PRINT_KINDS, help="what kind of print it is")
    add_stash(correct)
