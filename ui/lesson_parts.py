"""What every lesson has: a sheet and its answers, the block drawn, and the cloths in it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from preview.frame import prepare_frame
from preview.render import paint
from swatches.swatch import Swatch
from ui.bench import Worked
from ui.lesson_pages import Handout

__all__ = ["Lesson", "cloths_in", "drawn"]


@dataclass(frozen=True, slots=True, eq=False)
class Lesson:
    """What the class is given, and what only the teacher is."""

    sheet: Handout
    answers: Handout


def drawn(worked: Worked, side_px: int) -> NDArray[np.uint8]:
    """The block in its cloth, its longer side as long as asked."""
    scene = worked.drafted.scene
    ppi = side_px / max(float(scene.width_in), float(scene.height_in))
    return paint(prepare_frame(scene, ppi=ppi), worked.audition)


def cloths_in(worked: Worked) -> list[Swatch]:
    """Every cloth that shows, once each."""
    return list({swatch.key: swatch for swatch in worked.cloth_of_patches().values()}.values())
