"""The photo sheet found in a photograph, with no clicking: which one, where, how flat."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance, srgb8_to_lin
from swatches.lens_plane import LensPlane, fit_lens_plane
from swatches.sheet_layout import PAPERS_MM, TAG_MM, VERSION, SheetLayout, sheet_layout

__all__ = ["CURLED_MM", "FLAT_MM", "FoundSheet", "SheetError", "find_sheet"]

FLAT_MM = 0.07
CURLED_MM = 0.10
"""Misfit of the markers on a sheet that lies flat, and on one that does not (simulated: flat 0.06
at most unless blurred; edges up by 2 mm 0.14 and more)."""

_LEAST_TAGS = 2
_MODULES = 8
_DETECT_PX = 2000
_OFF_MM = 4.0


class SheetError(ValueError):
    """No photo sheet that can be used. Carries how to mend it."""

    def __init__(self, why: str, *, mend: str) -> None:
        self.mend = mend
        super().__init__(f"{why}.")


@dataclass(frozen=True, slots=True, eq=False)
class FoundSheet:
    """A sheet in a photograph; the plane counts in the sheet's own millimetres."""

    layout: SheetLayout
    plane: LensPlane
    corners_px: tuple[tuple[int, NDArray[np.float64]], ...]
    """Markers that were used and their corners (4, 2) in continuous pixels."""
    rms_mm: float
    """Misfit of the markers' corners: how far from flat the sheet lies, or how blurred it is."""
    tilt_deg: float
    """How far the camera looked from straight down, about."""
    uncertainty: float
    """Share by which the scale may be off in 19 of 20 cases, the printing left aside."""

    @property
    def curled(self) -> bool:
        """Whether the sheet does not lie flat."""
        return self.rms_mm > CURLED_MM

    @property
    def note(self) -> str:
        """In plain words, what to think of the sheet; empty when all is well."""
        notes = []
        if self.curled:
            notes.append(
                f"The sheet is not lying flat (its markers miss each other by {self.rms_mm:.2f} mm): "
                "weigh its corners down and photograph again."
            )
        elif self.rms_mm > FLAT_MM:
            notes.append(f"The sheet's markers fit to {self.rms_mm:.2f} mm only: blur, or a slight curl.")
        if len(self.corners_px) < len(self.layout.tags_mm):
            missing = len(self.layout.tags_mm) - len(self.corners_px)
            notes.append(f"{missing} of its {len(self.layout.tags_mm)} markers are covered or not seen.")
        return " ".join(notes)


def find_sheet(photo_srgb8: NDArray[np.uint8]) -> FoundSheet:
    """The sheet in a photograph, whichever way it is turned.

    Raises: SheetError when no sheet of ours is seen, or too little of it.
    """
    tags = _detect(photo_srgb8)
    layout, known = _which(tags)
    if len(known) < _LEAST_TAGS:
        raise SheetError(
            "Only one of the photo sheet's markers is seen",
            mend="Show the whole sheet, with no marker covered.",
        )
    refined = {number: _refine(photo_srgb8, corners) for number, corners in known.items()}
    rows, columns = photo_srgb8.shape[:2]
    for _ in range(3):
        plane_mm = np.concatenate([layout.corners_mm(number) for number in refined])
        photo_px = np.concatenate(list(refined.values()))
        plane, off_px = fit_lens_plane(plane_mm, photo_px, width_px=columns, height_px=rows)
        middle = (
            (layout.window_mm[0] + layout.window_mm[2]) / 2,
            (layout.window_mm[1] + layout.window_mm[3]) / 2,
        )
        per_mm = sum(plane.pixels_per_unit(middle)) / 2
        off_mm = np.hypot(*(off_px / per_mm).T).reshape(-1, 4).max(axis=1)
        # The corners of a half-covered marker lie nowhere near; a curled sheet is off by less.
        bad = [number for number, far in zip(refined, off_mm, strict=True) if far > _OFF_MM]
        if not bad or len(refined) - len(bad) < _LEAST_TAGS:
            break
        for number in bad:
            del refined[number]
    rms_mm = float(np.sqrt((off_px**2).sum(axis=1).mean())) / per_mm
    return FoundSheet(
        layout=layout,
        plane=plane,
        corners_px=tuple(refined.items()),
        rms_mm=rms_mm,
        tilt_deg=_tilt_deg(plane, middle),
        uncertainty=_uncertainty(rms_mm, tags=len(refined)),
    )


def _detect(photo_srgb8: NDArray[np.uint8]) -> dict[int, NDArray[np.float64]]:
    """Markers and their corners in continuous pixels; looked for in a smaller copy first."""
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    detector = cv2.aruco.ArucoDetector(dictionary, settings)
    grey = cv2.cvtColor(photo_srgb8, cv2.COLOR_RGB2GRAY)
    found: dict[int, NDArray[np.float64]] = {}
    for factor in sorted({max(1, round(max(grey.shape) / _DETECT_PX)), 1}, reverse=True):
        size = (grey.shape[1] // factor, grey.shape[0] // factor)
        copy = cv2.resize(grey[: size[1] * factor, : size[0] * factor], size, interpolation=cv2.INTER_AREA)
        corners, numbers, _ = detector.detectMarkers(copy if factor > 1 else grey)
        for each, number in zip(corners, [] if numbers is None else numbers.ravel(), strict=True):
            if int(number) not in found:
                found[int(number)] = (each.reshape(4, 2).astype(np.float64) + 0.5) * factor
        if len(_which_numbers(found)) == _MODULES:
            break
    return found


def _which_numbers(tags: dict[int, NDArray[np.float64]]) -> tuple[int, ...]:
    best: tuple[int, ...] = ()
    for layout in _layouts():
        seen = tuple(number for number, _, _ in layout.tags_mm if number in tags)
        best = max(best, seen, key=len)
    return best


def _layouts() -> tuple[SheetLayout, ...]:
    return tuple(sheet_layout(page, version=v) for v in range(1, VERSION + 1) for page in PAPERS_MM)


def _which(tags: dict[int, NDArray[np.float64]]) -> tuple[SheetLayout, dict[int, NDArray[np.float64]]]:
    numbers = _which_numbers(tags)
    for layout in _layouts():
        if numbers and numbers[0] in {number for number, _, _ in layout.tags_mm}:
            return layout, {number: tags[number] for number in numbers}
    raise SheetError(
        "No photo sheet is seen in the picture",
        mend="Show the whole sheet, sharp and flat, or choose another reference.",
    )


def _refine(photo_srgb8: NDArray[np.uint8], corners_px: NDArray[np.float64]) -> NDArray[np.float64]:
    """The corners in linear light, where blur does not shrink black: a quarter of the error (measured)."""
    side = min(hypot(*(corners_px[i] - corners_px[i - 1])) for i in range(4))
    reach = int(min(max(0.4 * side / _MODULES, 2), 9))
    margin = reach * 2 + 4
    left, top = np.floor(corners_px.min(axis=0)).astype(int) - margin
    right, bottom = np.ceil(corners_px.max(axis=0)).astype(int) + margin
    left, top = max(left, 0), max(top, 0)
    light = np.ascontiguousarray(
        luminance(srgb8_to_lin(photo_srgb8[top:bottom, left:right])), dtype=np.float32
    )
    start = (corners_px - (left + 0.5, top + 0.5)).astype(np.float32).reshape(4, 1, 2)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 60, 0.002)
    better = cv2.cornerSubPix(light, start.copy(), (reach, reach), (-1, -1), stop).reshape(4, 2)
    moved = np.hypot(*(better - start.reshape(4, 2)).T)
    kept = np.where((moved <= reach)[:, None], better, start.reshape(4, 2))
    return np.asarray(np.add(kept, (left + 0.5, top + 0.5)), dtype=np.float64)


def _tilt_deg(plane: LensPlane, middle: tuple[float, float]) -> float:
    """From the densities along and across the tilt at one place: from straight above they agree."""
    least, most = plane.pixels_per_unit(middle)
    return float(np.degrees(np.arccos(np.clip(least / most, 0, 1))))


def _uncertainty(rms_mm: float, *, tags: int) -> float:
    """Measured on simulated photographs: a curl of rms 0.22 mm costs 0.44 %, flat 0.01 to 0.05 %.

    Paper on cloth stands a tenth of a millimetre nearer to a camera some 300 mm away: 0.03 %.
    """
    span_mm = 250.0 if tags >= 4 else 4 * TAG_MM
    fit = 2.0 * rms_mm / span_mm * (1 if rms_mm <= FLAT_MM else 2.5)
    return hypot(fit, 0.0003)
