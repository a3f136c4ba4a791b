"""The `seamlight` command and how it answers. `ui.options` says what it takes, `ui.jobs` and others do it.

Nothing of weight is imported here, so that help is there at once.
"""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

from ui.mistakes import Mistake, closest, tell
from ui.options import READ, add_jobs

__all__ = ["main", "make_parser"]


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
        job = getattr(importlib.import_module(module), function)
        if _wants_cloth(options):
            options = importlib.import_module("ui.asked").gathered(options)
        job(**options)
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


def _wants_cloth(options: dict[str, Any]) -> bool:
    """Whether the job takes a block in cloth or a way of looking, which are handed over as one value each."""
    return "upright" in options or "distance" in options


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
    for name, setting in READ.items():
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
    add_jobs(parser.add_subparsers(title="what it does", metavar="JOB", required=True, parser_class=_Parser))
    return parser


if __name__ == "__main__":
    sys.exit(main())
