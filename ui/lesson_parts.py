"""What every lesson has: a sheet and its answers, the block drawn, and the cloths in it."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from preview.frame import prepare_frame
from preview.render import paint
from swatches.swatch import Swatch
from ui.bench import Worked
from ui.colour_words import mentioned
from ui.lesson_pages import Handout

__all__ = ["Lesson", "careful", "cloths_in", "drawn"]


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """What the class is given, and what only the teacher is."""

    sheet: Handout
    answers: Handout
    cloths: tuple[Swatch, ...]
    """Every cloth that is shown or judged in it."""

    def caution(self) -> tuple[str, ...]:
        """What has to stand on both sheets where colours of these cloths were not measured."""
        return mentioned(*self.cloths)


def drawn(worked: Worked, side_px: int) -> NDArray[np.uint8]:
    """The block in its cloth, its longer side as long as asked."""
    scene = worked.drafted.scene
    ppi = side_px / max(float(scene.width_in), float(scene.height_in))
    return paint(prepare_frame(scene, ppi=ppi), worked.audition)


def cloths_in(worked: Worked) -> list[Swatch]:
    """Every cloth that shows, once each."""
    return list({swatch.key: swatch for swatch in worked.cloth_of_patches().values()}.values())


def careful(lesson: Lesson) -> Lesson:
    """The lesson with its caution under the text of both sheets; itself when there is none."""
    more = [("", f"Take care: {line}") for line in lesson.caution()]
    if not more:
        return lesson
    sheet, answers = (
        replace(each, lines=(*each.lines, *(line for pair in more for line in pair)))
        for each in (lesson.sheet, lesson.answers)
    )
    return replace(lesson, sheet=sheet, answers=answers)
