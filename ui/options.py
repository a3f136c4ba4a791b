"""Everything that the `seamlight` command takes, job by job. Nothing of weight is imported here."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from ui.more_options import add_choosing_jobs
from ui.option_groups import (
    BLOCK_HELP,
    add_block,
    add_fussy,
    add_job,
    add_looking,
    add_making,
    add_ruler,
    add_stash,
)
from ui.paper_option import add_paper
from ui.photo_options import add_photo_jobs
from ui.reading_settings import ALL_VIEWS, CUTTINGS, SEVERAL, SHOWN_BEST
from ui.settings import CLOTH_WIDTH, PICTURE_PPI, PORT, SEAM, WIDTH, Setting
from ui.stash_options import add_stash_jobs

__all__ = ["READ", "add_jobs"]

_UNITS = Setting(
    name="number of units",
    default=Fraction(8),
    lowest=Fraction(1),
    highest=Fraction(10_000),
    kind="whole",
    unit="",
    help="how many units to make",
)

READ: dict[str, Setting] = {
    "ppi": PICTURE_PPI,
    "seam": SEAM,
    "width": WIDTH,
    "fabric_width": CLOTH_WIDTH,
    "port": PORT,
    "count": _UNITS,
    "cuttings": CUTTINGS,
    "several": SEVERAL,
    "best": SHOWN_BEST,
}
"""Options whose text is read by a setting; the others are read by the job they belong to."""

_Jobs = Any  # argparse gives this type no public name


def add_jobs(jobs: _Jobs) -> None:
    """Adds a parser for every job."""
    _add_looking_jobs(jobs)
    _add_block_jobs(jobs)
    add_choosing_jobs(jobs)
    _add_planning_jobs(jobs)
    add_photo_jobs(jobs)
    add_stash_jobs(jobs)
    page = add_job(jobs, "page", "open the web page on this machine", ("ui.serve", "open_page"))
    page.add_argument("--port", metavar="N", default=PORT.default, help=PORT.help_line())
    page.add_argument("--no-browser", action="store_true", help="print the address and open nothing")
    add_stash(page)


def _add_looking_jobs(jobs: _Jobs) -> None:
    demo = add_job(
        jobs,
        "demo",
        "make pictures, readings and cutting lists of three blocks",
        ("ui.demo", "make_demo"),
    )
    demo.add_argument("folder", metavar="FOLDER", help="where to put them; made if it is not there")
    demo.add_argument("--ppi", metavar="N", default=PICTURE_PPI.default, help=PICTURE_PPI.help_line())
    blocks = add_job(
        jobs, "blocks", "list the built-in blocks, or draw them all", ("ui.library_job", "show_blocks")
    )
    blocks.add_argument(
        "--to", metavar="FOLDER", help="draw each into this folder, with a contact sheet and an index page"
    )
    cloths = add_job(
        jobs,
        "cloths",
        "list the cloth at hand: demo cloth and your stash",
        ("ui.jobs", "list_cloths"),
        at_once=True,
    )
    add_stash(cloths)


def _add_block_jobs(jobs: _Jobs) -> None:
    draw = add_job(
        jobs, "draw", "draw a block or a quilt in its cloth at true scale", ("ui.draw_job", "draw_picture")
    )
    add_block(draw)
    draw.add_argument(
        "--to",
        metavar="FILE",
        required=True,
        help="what to write: a picture (.png, .jpg, .webp, .tif), a drawing (.svg), true-size pages (.pdf)",
    )
    draw.add_argument("--view", metavar="VIEW", choices=ALL_VIEWS, default="colour", help=_views_help())
    draw.add_argument("--ppi", metavar="N", default=PICTURE_PPI.default, help=PICTURE_PPI.help_line())
    add_paper(draw, "the sheets of a .pdf, or whole for one page as large as it takes", "whole")
    draw.add_argument("--several", metavar="N", help=SEVERAL.help)
    add_fussy(draw, "--several")
    add_looking(draw)
    draw.add_argument(
        "--keep", metavar="FILE", help="also keep the choice of cloth as an audition file (.toml)"
    )

    readings = add_job(
        jobs,
        "readings",
        "say of every seam and appliqué edge whether it reads; of a quilt, kind by kind",
        ("ui.jobs", "show_readings"),
    )
    add_block(readings)
    add_looking(readings)
    readings.add_argument("--cuttings", metavar="N", help=f"{CUTTINGS.help}, such as 25")
    add_fussy(readings, "--cuttings")
    readings.add_argument(
        "--figures", action="store_true", help="also list every figure that decides, with its source"
    )
    readings.add_argument("--all", action="store_true", help="also list the edges that need not read")
    readings.add_argument("--to", metavar="FILE", help="write them to a file instead (.txt or .csv)")

    cutting = add_job(
        jobs, "cutting", "work out the cutting list and the yardage", ("ui.jobs", "show_cutting")
    )
    add_block(cutting)
    cutting.add_argument("--to", metavar="FILE", help="write it to a file instead (.txt or .csv)")
    add_ruler(cutting, "the marks that cut sizes are rounded up to (1/8 in unless told)")

    check = add_job(
        jobs, "check", "check a file and say what it makes", ("ui.check_job", "check_block"), at_once=True
    )
    check.add_argument("block", metavar="BLOCK", help=BLOCK_HELP)
    add_making(check)
    add_ruler(check, "say whether every finished length lands on its marks")
    check.add_argument("--to", metavar="FILE", help="write the block as it now is to a block file (.toml)")


def _add_planning_jobs(jobs: _Jobs) -> None:
    sizes = add_job(
        jobs,
        "sizes",
        "say how many blocks make a quilt of a wanted size",
        ("ui.size_jobs", "count_blocks"),
        at_once=True,
    )
    sizes.add_argument("block", metavar="BLOCK", help="a built-in block or a block file (.toml)")
    sizes.add_argument("--wanted", metavar="SIZE", required=True, help='the size wanted, such as "60 x 72"')
    sizes.add_argument("--width", metavar="LENGTH", help=f"{WIDTH.help} (as written unless told)")
    sizes.add_argument("--sashing", metavar="LENGTH", help="finished width of strips between the blocks")
    sizes.add_argument("--around", action="store_true", help="the sashing also goes round the blocks")
    sizes.add_argument("--border", metavar="LENGTH", help="finished width of all borders on one side")
    sizes.add_argument("--on-point", action="store_true", help="the blocks stand on their corners")

    methods = add_job(
        jobs,
        "methods",
        "compare the ways of making a unit: cuts, cloth, left over, way of the print",
        ("ui.size_jobs", "show_methods"),
        at_once=True,
    )
    methods.add_argument("kind", metavar="UNIT", help='the kind of unit, such as "half-square triangle"')
    methods.add_argument(
        "--finished", metavar="SIZE", required=True, help='finished size, such as 3 or "4 x 2"'
    )
    methods.add_argument("--count", metavar="N", default=_UNITS.default, help=_UNITS.help_line())
    methods.add_argument(
        "--cloths", choices=("2", "4"), default="2", help="how many cloths a quarter-square triangle has"
    )
    methods.add_argument("--seam", metavar="LENGTH", default=SEAM.default, help=SEAM.help_line())
    add_ruler(methods, "the marks that cut sizes are rounded up to (1/8 in unless told)")

    drawing = add_job(
        jobs,
        "from-drawing",
        "turn an SVG drawing into a block file",
        ("ui.drawing_job", "block_from_drawing"),
        at_once=True,
    )
    drawing.add_argument(
        "drawing", metavar="FILE.svg", help="closed shapes, a label or a colour for each role"
    )
    drawing.add_argument("--to", metavar="FILE", required=True, help="the block file to write (.toml)")
    drawing.add_argument(
        "--width", metavar="LENGTH", help="finished width of the block (the drawing's own width unless told)"
    )
    drawing.add_argument("--name", help="the block's name (the drawing's title or file unless told)")
    drawing.add_argument(
        "--on-top",
        choices=("fault", "applique"),
        default="fault",
        help="what a shape is that lies over others: a fault, or appliqué",
    )
    drawing.add_argument(
        "--roles", choices=("names", "fills"), default="names", help="what tells the roles apart first"
    )
    drawing.add_argument(
        "--tolerance", metavar="LENGTH", help="how far shapes may miss each other and be joined (1/64 in)"
    )


def _views_help() -> str:
    return "; ".join(f"{name}: {what}" for name, what in ALL_VIEWS.items())
