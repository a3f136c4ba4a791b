"""What several jobs of the command take alike. Nothing of weight is imported here."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from typing import Any

from cutting.rules import GRIDS_IN
from ui.reading_settings import DISTANCE, SEVERITY, YEARS
from ui.settings import SEAM, WIDTH

__all__ = [
    "BLOCK_HELP",
    "add_block",
    "add_fussy",
    "add_job",
    "add_looking",
    "add_making",
    "add_ruler",
    "add_stash",
]

BLOCK_HELP = "a built-in block, or a block, setting or audition file (.toml)"

_CLOTH_HELP = (
    'the cloth for a role, by name, such as petal="clover field"; or a plain colour, such as stem=#2f6b3a; '
    "a patch number in place of the role overrules one patch"
)

_Jobs = Any  # argparse gives this type no public name
_Adder = Callable[..., argparse.ArgumentParser]


def add_job(
    jobs: _Jobs, name: str, help_line: str, job: tuple[str, str], *, at_once: bool = False
) -> argparse.ArgumentParser:
    """A parser for a new job; `job` is its module and function. `at_once`: it has no progress to tell."""
    adder: _Adder = jobs.add_parser
    sentence = help_line[:1].upper() + help_line[1:] + "."
    parser = adder(name, help=help_line, description=sentence, allow_abbrev=False)
    parser.set_defaults(job=job)
    if not at_once:
        parser.add_argument("-q", "--quiet", action="store_true", help="say nothing about progress")
    return parser


def add_block(parser: argparse.ArgumentParser) -> None:
    """Adds a block in its cloth, and how it is made."""
    parser.add_argument("block", metavar="BLOCK", help=BLOCK_HELP)
    parser.add_argument("cloths", metavar="ROLE=CLOTH", nargs="*", help=_CLOTH_HELP)
    add_making(parser)
    parser.add_argument(
        "--upright", action="store_true", help="lay one-way cloth so that its print finishes upright"
    )
    add_stash(parser)


def add_making(parser: argparse.ArgumentParser) -> None:
    """Adds how a block is made otherwise than it is written."""
    parser.add_argument("--width", metavar="LENGTH", help=f"{WIDTH.help} (as written unless told)")
    parser.add_argument("--seam", metavar="LENGTH", help=SEAM.help_line())
    parser.add_argument(
        "--method",
        metavar="STEP=METHOD",
        action="append",
        help='make a step by another method, such as corner="four at a time"; may be given again',
    )


def add_ruler(parser: argparse.ArgumentParser, help_line: str) -> None:
    """Adds the marks of the ruler."""
    parser.add_argument("--ruler", choices=GRIDS_IN, help=help_line)


def add_looking(parser: argparse.ArgumentParser) -> None:
    """Adds how it is looked at."""
    group = parser.add_argument_group("looking", "how it is looked at; common eyes in daylight unless told")
    group.add_argument(
        "--from",
        dest="distance",
        metavar="DISTANCE",
        help=f"{DISTANCE.help} (6 ft unless told; 1 ft to 100 ft)",
    )
    group.add_argument(
        "--shown",
        choices=("cloth", "screen", "projector"),
        default="cloth",
        help="the cloth itself, or its picture on a screen or a projector's wall",
    )
    group.add_argument(
        "--light",
        choices=("daylight", "warm-lamp"),
        default="daylight",
        help="in which light (daylight unless told)",
    )
    group.add_argument(
        "--eyes",
        choices=("protan", "deutan", "tritan"),
        help="eyes whose red, green or blue cones differ",
    )
    group.add_argument("--severity", metavar="SHARE", help=SEVERITY.help_line())
    group.add_argument("--years", metavar="YEARS", help=YEARS.help_line())


def add_fussy(parser: argparse.ArgumentParser, with_option: str) -> None:
    """Adds the roles that are cut for their motif."""
    parser.add_argument(
        "--fussy",
        metavar="ROLE,ROLE",
        help=f"roles that are cut for their motif: their pieces stay where they are ({with_option})",
    )


def add_stash(parser: argparse.ArgumentParser) -> None:
    """Adds the stash."""
    parser.add_argument("--stash", metavar="FILE", help="the stash to use instead of your own")
