"""The command puts a lesson into a folder: sheets for the class, and the answers apart."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Literal

from preview.files import save_picture
from ui.advice_jobs import cloths_from
from ui.asked import Asked
from ui.colour_words import care_text
from ui.footnote import footed
from ui.lesson_pages import write_handout
from ui.lesson_parts import careful
from ui.lessons import LESSONS
from ui.writing import filled_folder

__all__ = ["make_lesson"]

_PPI = 150.0


def make_lesson(
    *,
    lesson: str,
    asked: Asked,
    from_cloth: str,
    paper: Literal["letter", "a4"],
    to: str,
    say: Callable[[str], None],
) -> None:
    """Writes the sheet and the answers, each as a PDF to print and as its picture alone."""
    worked = asked.worked(say=say)
    with filled_folder(Path(to)) as place:
        pool = cloths_from(asked.shelf(), from_cloth, say=say)
        say("Drawing ...")
        made = careful(LESSONS[lesson](worked, pool))
        for name, handout in ((lesson, made.sheet), (f"{lesson}-answers", made.answers)):
            write_handout(place / f"{name}.pdf", handout, paper=paper)
            save_picture(place / f"{name}.png", footed(handout.picture_srgb8, made.caution()), ppi=_PPI)
    print(f"In {to}: {lesson}.pdf for the class and {lesson}-answers.pdf, and the pictures of both (.png).")
    print(care_text(made.caution()), end="")
