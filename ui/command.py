"""The `seamlight` command: what it takes, and how it answers. What it does is in `ui.jobs` and beside it.

Nothing of weight is imported here, so that help is there at once.
"""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Callable, Sequence
from typing import Any, NoReturn

from cutting.rules import GRIDS_IN
from ui.mistakes import Mistake, closest, tell
from ui.settings import CLOTH_WIDTH, PICTURE_PPI, PORT, SEAM, VIEWS, Setting

__all__ = ["main", "make_parser"]

_READ: dict[str, Setting] = {"ppi": PICTURE_PPI, "seam": SEAM, "fabric_width": CLOTH_WIDTH, "port": PORT}
"""Options whose text is read by a setting; the others are read by the job they belong to."""

_BLOCK_HELP = "a built-in block, a block file (.toml) or an audition file (.toml)"
_CLOTH_HELP = (
    'ROLE=CLOTH: the cloth for a role, by name, such as petal="clover field"; or a plain colour, such as '
    "stem=#2f6b3a; a patch number in place of the role overrules one patch"
)


class _Parser(argparse.ArgumentParser):
    """Raises what is wrong instead of printing a page of usage."""

    def error(self, message: str) -> NoReturn:
        raise Mistake(f"{message[:1].upper()}{message[1:]}.", mend=f"Run: {self.prog} --help")


def main(argv: Sequence[str] | None = None) -> int:
    """The exit code: 0 when done, 2 for a mistake that the user can mend, 130 when stopped by a key."""
    words = list(sys.argv[1:] if argv is None else argv)
    try:
        options = _options(words)
        module, function = options.pop("job")
        if "quiet" in options:
            options["say"] = _no_one if options.pop("quiet") else _say
        getattr(importlib.import_module(module), function)(**options)
        sys.stdout.flush()
    except KeyboardInterrupt:
        print("Stopped.", file=sys.stderr)
        return 130
    except BrokenPipeError:  # the reader of our output has seen enough
        sys.stderr.close()
        return 0
    except Exception as error:
        told = tell(error)
        if told is None:
            raise
        print(told.lines(), file=sys.stderr)
        return 2
    return 0


def _say(progress: str) -> None:
    print(progress, file=sys.stderr, flush=True)


def _no_one(progress: str) -> None:
    """Takes progress and says nothing."""


def _options(words: list[str]) -> dict[str, Any]:
    parser = make_parser()
    names = _job_names(parser)
    if not words:
        words = ["--help"]
    if not words[0].startswith("-") and words[0] not in names:
        raise Mistake(f'There is no "seamlight {words[0]}".', mend=closest(words[0], names))
    parsed, rest = parser.parse_known_args(words)
    options = vars(parsed)
    # argparse stops collecting ROLE=CLOTH at the first option; what follows it comes back as the rest.
    if rest and ("cloths" not in options or any(word.startswith("-") for word in rest)):
        raise Mistake(f'"{rest[0]}" is not understood here.', mend=f"Run: seamlight {words[0]} --help")
    if rest:
        options["cloths"] = [*options["cloths"], *rest]
    for name, setting in _READ.items():
        if options.get(name) is not None:
            options[name] = setting.read(options[name])
    return options


def _job_names(parser: argparse.ArgumentParser) -> list[str]:
    actions = (action for action in parser._actions if isinstance(action, argparse._SubParsersAction))
    return [name for action in actions for name in action.choices]


class _Version(argparse.Action):
    """Prints the version and stops; it is looked up only when asked for."""

    def __call__(self, parser: argparse.ArgumentParser, *_: object, **__: object) -> None:
        from importlib.metadata import version

        print(f"seamlight {version('seamlight')}")
        parser.exit()


def make_parser() -> argparse.ArgumentParser:
    """The whole command line."""
    parser = _Parser(
        prog="seamlight",
        description="See a quilt block in your own cloth at true scale before you cut: what reads, "
        "what to cut, which way it goes.",
        epilog="Begin with:  seamlight demo my-demo      or, in the browser:  seamlight page",
        allow_abbrev=False,
    )
    parser.add_argument(
        "--version", action=_Version, nargs=0, default=argparse.SUPPRESS, help="print the version and stop"
    )
    jobs = parser.add_subparsers(title="what it does", metavar="JOB", required=True, parser_class=_Parser)
    _add_looking_jobs(jobs)
    _add_block_jobs(jobs)
    _add_cloth_jobs(jobs)
    page = _add(jobs, "page", "open the web page on this machine", ("ui.serve", "open_page"))
    page.add_argument("--port", metavar="N", default=PORT.default, help=PORT.help_line())
    page.add_argument("--no-browser", action="store_true", help="print the address and open nothing")
    _add_stash(page)
    return parser


_Jobs = Any  # argparse gives this type no public name
_Adder = Callable[..., argparse.ArgumentParser]


def _add(
    jobs: _Jobs, name: str, help_line: str, job: tuple[str, str], *, at_once: bool = False
) -> argparse.ArgumentParser:
    adder: _Adder = jobs.add_parser
    sentence = help_line[:1].upper() + help_line[1:] + "."
    parser = adder(name, help=help_line, description=sentence, allow_abbrev=False)
    parser.set_defaults(job=job)
    if not at_once:
        parser.add_argument("-q", "--quiet", action="store_true", help="say nothing about progress")
    return parser


def _add_looking_jobs(jobs: _Jobs) -> None:
    demo = _add(
        jobs,
        "demo",
        "make pictures, readings and cutting lists of three blocks",
        ("ui.demo", "make_demo"),
    )
    demo.add_argument("folder", metavar="FOLDER", help="where to put them; made if it is not there")
    demo.add_argument("--ppi", metavar="N", default=PICTURE_PPI.default, help=PICTURE_PPI.help_line())
    _add(jobs, "blocks", "list the built-in blocks and their roles", ("ui.jobs", "list_blocks"), at_once=True)
    cloths = _add(
        jobs,
        "cloths",
        "list the cloth at hand: demo cloth and your stash",
        ("ui.jobs", "list_cloths"),
        at_once=True,
    )
    _add_stash(cloths)


def _add_block_jobs(jobs: _Jobs) -> None:
    draw = _add(jobs, "draw", "draw a block in its cloth at true scale", ("ui.jobs", "draw_picture"))
    _add_block(draw)
    draw.add_argument("--to", metavar="FILE", required=True, help="the picture to write (.png)")
    draw.add_argument("--view", choices=VIEWS, default="colour", help=_views_help())
    draw.add_argument("--ppi", metavar="N", default=PICTURE_PPI.default, help=PICTURE_PPI.help_line())
    draw.add_argument(
        "--keep", metavar="FILE", help="also keep the choice of cloth as an audition file (.toml)"
    )

    readings = _add(
        jobs, "readings", "say of every seam and appliqué edge whether it reads", ("ui.jobs", "show_readings")
    )
    _add_block(readings)
    readings.add_argument("--all", action="store_true", help="also list the edges that need not read")
    readings.add_argument("--to", metavar="FILE", help="write them to a file instead (.txt or .csv)")

    cutting = _add(jobs, "cutting", "work out the cutting list and the yardage", ("ui.jobs", "show_cutting"))
    _add_block(cutting)
    cutting.add_argument("--to", metavar="FILE", help="write it to a file instead (.txt or .csv)")
    cutting.add_argument(
        "--ruler", choices=GRIDS_IN, default="1/8 in", help="the marks that cut sizes are rounded up to"
    )

    check = _add(
        jobs, "check", "check a block file and say what it makes", ("ui.jobs", "check_block"), at_once=True
    )
    check.add_argument("block", metavar="BLOCK", help="a block file (.toml) or a built-in block")
    check.add_argument("--seam", metavar="LENGTH", help=SEAM.help_line())


def _views_help() -> str:
    return "; ".join(f"{name}: {what}" for name, what in VIEWS.items())


def _add_block(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("block", metavar="BLOCK", help=_BLOCK_HELP)
    parser.add_argument("cloths", metavar="ROLE=CLOTH", nargs="*", help=_CLOTH_HELP)
    parser.add_argument("--seam", metavar="LENGTH", help=SEAM.help_line())
    _add_stash(parser)


def _add_cloth_jobs(jobs: _Jobs) -> None:
    add = _add(
        jobs,
        "add-cloth",
        "make a swatch of a photograph and put it into your stash",
        ("ui.cloth_jobs", "add_cloth"),
    )
    add.add_argument(
        "photo", metavar="PHOTO", help="a photograph or scan of cloth: JPEG, PNG, TIFF, WebP or HEIC"
    )
    add.add_argument("--name", required=True, help="what you call this cloth")
    scale = add.add_argument_group(
        "scale: one of these", "places in the photograph are x,y in pixels, upright"
    )
    scale.add_argument("--photo-ppi", metavar="N", help="pixels of the photograph for one inch of cloth")
    scale.add_argument(
        "--points", metavar="X,Y", nargs=2, help="two points a known distance apart, with --apart"
    )
    scale.add_argument(
        "--apart", metavar="LENGTH", help='how far apart they lie on the cloth, such as "8 in"'
    )
    scale.add_argument(
        "--card",
        metavar="X,Y",
        nargs=4,
        help="the corners of a bank card on the cloth; this also straightens it",
    )
    add.add_argument("--crop", metavar="X,Y", nargs=2, help="two opposite corners of the cloth to use")
    add.add_argument(
        "--fabric-width", metavar="LENGTH", default=CLOTH_WIDTH.default, help=CLOTH_WIDTH.help_line()
    )
    add.add_argument(
        "--replace", action="store_true", help="put it in place of the cloth of that name, if there is one"
    )
    add.add_argument("--one-way", action="store_true", help="the print has an up and a down")
    _add_stash(add)


def _add_stash(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--stash", metavar="FILE", help="the stash to use instead of your own")


if __name__ == "__main__":
    sys.exit(main())
