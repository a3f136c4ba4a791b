"""The paper that several jobs of the command print on. Nothing of weight is imported here."""

from __future__ import annotations

import argparse

__all__ = ["add_paper"]


def add_paper(parser: argparse.ArgumentParser, help_line: str, *more: str) -> None:
    """Adds the paper that is printed on, in capitals or not."""
    named = ", ".join(("A4", "Letter", *more))
    parser.add_argument(
        "--paper",
        metavar="PAPER",
        type=str.lower,
        choices=("a4", "letter", *more),
        default="letter",
        help=f"{help_line}: {named} (Letter unless told)",
    )
