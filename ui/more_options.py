"""What the jobs of advice, choice, palettes and lessons take. Nothing of weight is imported here."""

from __future__ import annotations

import argparse
from typing import Any

from ui.option_groups import add_block, add_job, add_looking, add_stash
from ui.paper_option import add_paper
from ui.reading_settings import SHOWN_BEST
from ui.settings import PICTURE_PPI

__all__ = ["add_choosing_jobs"]

_LESSONS = {
    "value-placements": "one block in several placements of value",
    "sorting": "cloths to sort from light to dark",
    "first-to-go": "which edge is lost first, walking away",
    "phone-grey": "why a phone's grey picture is not value",
    "coloured-film": "what a red or green film gets wrong",
}

_Jobs = Any  # argparse gives this type no public name


def add_choosing_jobs(jobs: _Jobs) -> None:
    """Adds the jobs that help to choose cloth."""
    _add_advise(jobs)
    _add_choose(jobs)
    _add_shelf(jobs)
    _add_line_up(jobs)
    _add_palette(jobs)
    _add_size_strip(jobs)
    _add_lesson(jobs)


def _add_advise(jobs: _Jobs) -> None:
    advise = add_job(
        jobs,
        "advise",
        "say what would help every weak edge, each remedy before and after",
        ("ui.advice_jobs", "give_advice"),
    )
    add_block(advise)
    add_looking(advise)
    _add_source(advise, "where other cloths may come from")
    advise.add_argument(
        "--threads", metavar="FILE", help="your own threads (.csv with the columns name and colour)"
    )
    advise.add_argument("--to", metavar="FILE", help="write it to a file instead (.txt or .csv)")


def _add_choose(jobs: _Jobs) -> None:
    choose = add_job(
        jobs,
        "choose",
        "choose cloths for some roles so that the weakest edge reads best; the best ten that differ",
        ("ui.choice_jobs", "choose"),
    )
    add_block(choose)
    choose.add_argument(
        "--open",
        dest="open_roles",
        metavar="ROLE,ROLE",
        required=True,
        help="the roles to choose for, or all; the others keep their cloths",
    )
    _add_source(choose, "where the cloths come from")
    choose.add_argument(
        "--families",
        metavar="ROLE=HUE,HUE",
        action="append",
        help="hues that a role keeps to, such as petal=red,pink; may be given again",
    )
    choose.add_argument("--like", metavar="CLOTH", help="keep all open roles to the colours of this print")
    choose.add_argument("--with-colour", action="store_true", help="let colour help light and dark")
    choose.add_argument("--best", metavar="N", default=SHOWN_BEST.default, help=SHOWN_BEST.help_line())
    choose.add_argument("--to", metavar="FOLDER", required=True, help="where to put them; made if not there")
    add_looking(choose)


def _add_shelf(jobs: _Jobs) -> None:
    shelf = add_job(
        jobs,
        "shelf",
        "rank the cloth at hand by how it would read as stem, petal or background",
        ("ui.choice_jobs", "rank"),
    )
    shelf.add_argument(
        "--as",
        dest="part",
        choices=("stem", "petal", "background"),
        required=True,
        help="what it would be in the block",
    )
    shelf.add_argument(
        "--on",
        metavar="CLOTH",
        action="append",
        required=True,
        help="the cloth that it would lie on or beside; may be given again",
    )
    shelf.add_argument(
        "--with", dest="goes_with", metavar="CLOTH", help="a print whose own colours it should go with"
    )
    _add_source(shelf, "which cloth is ranked", default="all")
    shelf.add_argument("--best", metavar="N", default=SHOWN_BEST.default, help=SHOWN_BEST.help_line())
    add_stash(shelf)


def _add_source(parser: argparse.ArgumentParser, help_line: str, *, default: str = "demo") -> None:
    parser.add_argument(
        "--from-cloth",
        choices=("demo", "stash", "all"),
        default=default,
        help=f"{help_line} ({default} unless told)",
    )


def _add_line_up(jobs: _Jobs) -> None:
    line = add_job(
        jobs,
        "line-up",
        "put all cloths of a block on one line from light to dark, with their spread",
        ("ui.palette_jobs", "line_cloths_up"),
    )
    add_block(line)
    line.add_argument("--to", metavar="FILE", help="also draw the line (.png, .jpg, .webp or .tif)")


def _add_palette(jobs: _Jobs) -> None:
    palette = add_job(
        jobs,
        "palette",
        "name the colours of a cloth, with the solids and threads that match",
        ("ui.palette_jobs", "show_palette"),
    )
    palette.add_argument("cloth", metavar="CLOTH", help="a cloth at hand, by name")
    palette.add_argument("--to", metavar="FILE", help="also write the colours (.csv, .json or .gpl)")
    palette.add_argument(
        "--threads", metavar="FILE", help="your own threads (.csv with the columns name and colour)"
    )
    add_stash(palette)


def _add_size_strip(jobs: _Jobs) -> None:
    strip = add_job(
        jobs,
        "size-strip",
        "show one print at several patch sizes side by side, at true scale",
        ("ui.palette_jobs", "draw_sizes"),
    )
    strip.add_argument("cloth", metavar="CLOTH", help="a cloth at hand, by name")
    strip.add_argument(
        "--sizes",
        metavar="LENGTHS",
        default="1, 2, 3, 4 1/2",
        help="finished sizes with commas between (1, 2, 3, 4 1/2 unless told)",
    )
    strip.add_argument("--ppi", metavar="N", default=PICTURE_PPI.default, help=PICTURE_PPI.help_line())
    strip.add_argument(
        "--to", metavar="FILE", required=True, help="the picture to write (.png, .jpg, .webp or .tif)"
    )
    add_stash(strip)


def _add_lesson(jobs: _Jobs) -> None:
    lesson = add_job(
        jobs,
        "lesson",
        "make sheets on value for a class, with the answers apart",
        ("ui.teaching_jobs", "make_lesson"),
    )
    lesson.add_argument(
        "lesson",
        metavar="LESSON",
        choices=_LESSONS,
        help="; ".join(f"{name}: {what}" for name, what in _LESSONS.items()),
    )
    add_block(lesson)
    _add_source(lesson, "cloths that may be used beside the block's own")
    add_paper(lesson, "the paper of the sheets")
    lesson.add_argument("--to", metavar="FOLDER", required=True, help="where to put them; made if not there")
