"""Large pictures drawn and written a band of rows at a time, and tiles of a picture drawn on demand."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from blocks.quilt import Quilt
from blocks.values import Draft
from preview.band_png import write_png
from preview.band_tiff import write_tiff
from preview.files import OutputError, check_ppi
from preview.frame import prepare_frame, whole_px
from preview.keeping import PaintCache
from preview.progress import QUIET, Watch
from preview.render import paint
from preview.scene import Scene, scene_of
from preview.wear import Dressed

__all__ = ["draw_bands", "draw_tile", "save_in_bands"]

_Picture = NDArray[np.uint8]

_BAND_PX = 2_500_000
"""Pixels drawn at a time: about 60 MB in all."""
_TILES_BYTES = 512 * 2**20
_LONGEST_SIDE_PX = 200_000


def draw_bands(
    subject: Draft | Quilt | Scene, audition: Dressed, *, ppi: float, watch: Watch = QUIET
) -> Iterator[_Picture]:
    """The picture from top to bottom, some rows at a time, in bounded memory.

    Raises: FrameError for an impossible size; Cancelled between two bands if the watch says so.
    """
    scene = scene_of(subject)
    width, height = whole_px(scene, ppi=ppi)
    rows = max(1, _BAND_PX // width)
    cache = PaintCache(limit_bytes=_TILES_BYTES)
    for top in range(0, height, rows):
        watch.at(top / height)
        window = (0, top, width, min(rows, height - top))
        frame = prepare_frame(scene, ppi=ppi, window_px=window)
        yield paint(frame, audition, cache=cache)
        # The next band is another frame; the cloths at this resolution stay.
        cache.forget(frame.token)
    watch.at(1.0)


def save_in_bands(
    path: Path | str,
    subject: Draft | Quilt | Scene,
    audition: Dressed,
    *,
    ppi: float,
    watch: Watch = QUIET,
) -> Path:
    """The path of the PNG or TIFF now written, however many pixels it has, with profile and resolution.

    Raises: OutputError for another name, a closed folder or an absurd size; FrameError; Cancelled. Nothing
    half-written is left.
    """
    path = Path(path)
    writers = {".png": write_png, ".tif": write_tiff, ".tiff": write_tiff}
    write = writers.get(path.suffix.lower())
    if write is None:
        raise OutputError(path, "is neither a PNG nor a TIFF", mend='End the file name in ".png" or ".tif".')
    check_ppi(path, ppi)
    scene = scene_of(subject)
    width, height = whole_px(scene, ppi=ppi)
    if max(width, height) > _LONGEST_SIDE_PX:
        raise OutputError(
            path, f"a picture of {width} x {height} pixels is absurd", mend="Ask for fewer pixels per inch."
        )
    bands = draw_bands(scene, audition, ppi=ppi, watch=watch)
    write(path, bands, width_px=width, height_px=height, ppi=ppi)
    return path


def draw_tile(
    subject: Draft | Quilt | Scene,
    audition: Dressed,
    *,
    ppi: float,
    column: int,
    row: int,
    side_px: int = 512,
    cache: PaintCache | None = None,
) -> _Picture:
    """One square of the picture at a resolution, counted from the top left; smaller at the far edges.

    With a cache, squares looked at lately are kept ready within its limit, and so is their geometry: after
    a change of cloth only what changed in them is painted. Give the scene of a quilt, not the quilt.
    Raises: FrameError if there is no such square.
    """
    scene = scene_of(subject)
    width, height = whole_px(scene, ppi=ppi)
    left, top = column * side_px, row * side_px
    window = (left, top, min(side_px, width - left), min(side_px, height - top))
    kept = cache if cache is not None else PaintCache()
    frame = kept.get(
        ("frame", scene.token, float(ppi), window),
        lambda: prepare_frame(scene, ppi=ppi, window_px=window),
        weigh=lambda made: made.kept_bytes,
    )
    return paint(frame, audition, cache=kept)
