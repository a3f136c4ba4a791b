"""Views that ask for more than a picture: a way of looking, a reading, or other cuttings."""

from __future__ import annotations

from collections.abc import Collection, Mapping

import numpy as np
from numpy.typing import NDArray

from blocks.motion import Motion
from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from palettes.seeing import as_viewed
from palettes.thresholds import THRESHOLDS
from palettes.viewing import Viewing
from preview.audition import Audition, make_audition
from preview.cuttings import cutting_places
from preview.frame import Frame
from preview.keeping import PaintCache
from preview.readings import EdgeReading, read_edges
from preview.render import paint
from preview.sheets import contact_sheet
from preview.views_roles import roles_view
from preview.views_seams import lost_view, seams_view
from preview.views_sewn import sewn_view
from preview.views_value import dim_view, far_view, stepped_view
from ui.asked import one_block
from ui.bench import Worked
from ui.looks import look
from ui.mistakes import Mistake
from ui.reading_words import percent, sides_words
from ui.settings import VIEWS

__all__ = ["cut_elsewhere", "look_closer", "several_cuttings"]

_Picture = NDArray[np.uint8]

_EVENED_IN = 2 * THRESHOLDS.compared_radius_in
"""A print falls into one step as a whole: light is averaged over what the eye takes together."""


def look_closer(
    worked: Worked, *, view: str, frame: Frame, viewing: Viewing, cache: PaintCache | None = None
) -> _Picture:
    """The block or quilt in any view of `ALL_VIEWS`, as many pixels as the frame has.

    Raises: Mistake for the edges of a quilt, or for "seen" with nothing unusual about the looking.
    """
    if view in VIEWS:
        return look(worked, view=view, ppi=frame.ppi, frame=frame, cache=cache)
    if view == "roles":
        return roles_view(frame)
    if view == "seen" and viewing.is_usual:
        raise Mistake(
            "Daylight, common eyes and the cloth itself are what --view colour shows.",
            mend="Choose a warm lamp, a screen or a projector, other eyes, or their years.",
        )
    cloth = paint(frame, worked.audition, cache=cache)
    match view:
        case "three-steps" | "five-steps":
            steps = 3 if view == "three-steps" else 5
            return stepped_view(cloth, steps=steps, averaged_px=_EVENED_IN * frame.ppi)
        case "step-back":
            return far_view(cloth, ppi=frame.ppi, viewing=viewing)
        case "seen":
            return lin_to_srgb8(as_viewed(srgb8_to_lin(cloth), viewing))
        case "dim":
            return dim_view(cloth)
        case "sewn":
            return sewn_view(frame, cloth)
        case "seams":
            return seams_view(frame, _readings(worked, viewing, cache), over_srgb8=_pale(cloth))
        case "lost":
            return lost_view(frame, _readings(worked, viewing, cache), over_srgb8=cloth)
        case _:
            raise ValueError(f"no view {view!r}")


def _readings(worked: Worked, viewing: Viewing, cache: PaintCache | None) -> tuple[EdgeReading, ...]:
    audition = one_block(worked, what="Edges are marked")
    return read_edges(audition, worked.drafted.edges, viewing=viewing, cache=cache)


def _pale(picture_srgb8: _Picture) -> _Picture:
    """The picture half way to white, so that marks stand out from it."""
    return lin_to_srgb8(srgb8_to_lin(picture_srgb8) * np.float32(0.5) + np.float32(0.5))


def cut_elsewhere(audition: Audition, places: Mapping[int, Motion]) -> Audition:
    """The same block with its pieces cut at other places of the same cloths."""
    return make_audition(audition.draft, roles={}, places=places, overrides=audition.cloths)


def several_cuttings(
    worked: Worked, *, count: int, fussy: Collection[int], viewing: Viewing, ppi: float
) -> _Picture:
    """The block as cut from `count` different places on its cloths, each over its weakest edge in words.

    fussy: numbers of the pieces that stay where they are. Raises: Mistake for a quilt; FrameError.
    """
    audition, edges, cache = (
        one_block(worked, what="Several cuttings are shown"),
        worked.drafted.edges,
        PaintCache(),
    )
    cuts = [
        cut_elsewhere(audition, places)
        for places in cutting_places(audition, edges, count=count, fussy=fussy)
    ]
    captions = []
    for number, cut in enumerate(cuts, start=1):
        weakest = read_edges(cut, edges, viewing=viewing, cache=cache)[0]
        captions.append(
            f"Cutting {number}: weakest {sides_words(weakest)}, "
            f"{percent(weakest.reading.share_shows)} shows, {weakest.word}"
        )
    scene = worked.drafted.scene
    each_px = round(ppi * max(float(scene.width_in), float(scene.height_in)))
    return contact_sheet(scene, cuts, captions=captions, each_px=each_px)
