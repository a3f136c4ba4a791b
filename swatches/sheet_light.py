"""The light on the photo sheet: uneven lighting from its bare paper, camera and lamp from its grey steps."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import LUMINANCE_OF_RGB
from swatches.grey_curve import GreyCurve, fit_grey_curve
from swatches.lens_sampling import small_light
from swatches.sheet_find import FoundSheet
from swatches.sheet_layout import INK_REFLECTANCE, PAPER_REFLECTANCE, TAG_MM, SheetLayout
from swatches.sheet_shadow import Shadow, find_shadow

__all__ = ["SheetLight", "read_sheet_light"]

_ROUNDS = 3
_GRID_MM = 3.0
_CLEAR_MM = 2.5
_LEAST_POINTS = 40
_OUTLIER = 4.685
"""In spreads of the bulk. Source: Beaton and Tukey (1974), the biweight."""
_SHADOW = 0.10
_COVERED = 0.2
_CLIPPED_LIN16 = 65000

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class SheetLight:
    """How stored values become the cloth's own light, anywhere on the sheet."""

    curve: GreyCurve
    spread: Floats
    """(6, 3): logarithm of the light as a polynomial of degree 2 over the sheet, per channel."""
    middle_mm: tuple[float, float]
    half_mm: float
    uneven: float
    """Brightest over dimmest light in the window, less 1."""
    shadow: Shadow | None
    """A shadow across the sheet, which is taken off too."""
    shaded: float
    """Share of the bare paper that is darker than all this can explain."""
    tinted: float
    """How far the colour of the light changes across the window, as a share."""
    clipped: float
    """Share of the bare paper that is as white as the camera can store."""
    misfit: float
    """How far the grey steps of the two rows are from one curve, as a share of their light."""

    def cloth_light(
        self, stored_lin16: NDArray[np.uint16], *, origin_mm: tuple[float, float], per_mm: float
    ) -> NDArray[np.float32]:
        """Light (H, W, 3), 1 being a perfect white, of sampled values that begin at an origin."""
        made = np.empty(stored_lin16.shape, np.float32)
        rows, columns = stored_lin16.shape[0], stored_lin16.shape[1]
        x = np.asarray(origin_mm[0] + (np.arange(columns) + 0.5) / per_mm, dtype=np.float64)
        for top in range(0, rows, 256):
            band = slice(top, min(top + 256, rows))
            y = np.asarray(origin_mm[1] + (np.arange(band.start, band.stop) + 0.5) / per_mm, dtype=np.float64)
            light = self.curve.light_of(stored_lin16[band])
            np.divide(light, self._lighting(x, y), out=made[band])
        return made

    def _lighting(self, x: Floats, y: Floats) -> NDArray[np.float32]:
        """On a grid: the exponential of a quadratic, from one row, one column and a mixed term."""
        u = ((x - self.middle_mm[0]) / self.half_mm).astype(np.float32)
        v = ((y - self.middle_mm[1]) / self.half_mm).astype(np.float32)
        c = self.spread.astype(np.float32)
        made = np.empty((len(v), len(u), 3), np.float32)
        cover = None
        if self.shadow is not None:
            cover = self.shadow.cover(u[None].astype(np.float64), v[:, None].astype(np.float64)).astype(
                np.float32
            )
        for i in range(3):
            along = c[0, i] + c[1, i] * u + c[3, i] * u * u
            down = c[2, i] * v + c[5, i] * v * v
            logs = along[None] + down[:, None] + (c[4, i] * v)[:, None] * u[None]
            if cover is not None and self.shadow is not None:
                logs += cover * np.float32(self.shadow.depth[i])
            made[..., i] = np.exp(logs)
        return made


def read_sheet_light(photo_srgb8: NDArray[np.uint8], sheet: FoundSheet) -> SheetLight:
    """The light as the sheet shows it: flat-field and grey curve in turn, as each needs the other."""
    small, factor = small_light(photo_srgb8, most_px=1200)
    layout = sheet.layout
    window = layout.window_mm
    middle = ((window[0] + window[2]) / 2, (window[1] + window[3]) / 2)
    half = (window[2] - window[0]) / 2
    per_mm = sum(sheet.plane.pixels_per_unit(middle)) / 2 * factor

    def values(points: Floats, size_mm: float) -> Floats:
        reach = max(1, round(size_mm * per_mm))
        seen = cv2.blur(small, (reach, reach)) if reach > 1 else small
        at = sheet.plane.to_photo(points) * factor - 0.5
        most = (small.shape[1] - 1, small.shape[0] - 1)
        inside = np.asarray(((at >= 0) & (at <= most)).all(axis=1), dtype=np.bool_).reshape(-1)
        read = cv2.remap(
            seen, at[:, :1].astype(np.float32), at[:, 1:].astype(np.float32), cv2.INTER_LINEAR
        ).reshape(-1, 3)
        return np.where(inside[:, None], read / 65535, np.nan)

    paper_mm = _paper_points(layout)
    paper = values(paper_mm, 1.6)
    seen = np.isfinite(paper).all(axis=1) & (paper.min(axis=1) > 0.002)
    # No shadow takes four fifths of the light: what is so dark lies on the paper.
    seen &= paper.mean(axis=1) > _COVERED * np.nanmedian(paper.mean(axis=1))
    paper_mm, paper = paper_mm[seen], paper[seen]
    grey_mm, grey_light = _greys(layout)
    greys = values(grey_mm, 5.0)
    ink_mm = _ink_points(sheet)
    ink = values(ink_mm, 0.8)
    return _in_turn(
        (paper_mm, paper, np.full(len(paper), PAPER_REFLECTANCE)),
        (
            np.concatenate([grey_mm, ink_mm]),
            np.concatenate([greys, ink]),
            np.append(grey_light, np.full(len(ink_mm), INK_REFLECTANCE)),
        ),
        middle=middle,
        half=half,
        window=window,
    )


def _in_turn(
    paper: tuple[Floats, Floats, Floats],
    steps: tuple[Floats, Floats, Floats],
    *,
    middle: tuple[float, float],
    half: float,
    window: tuple[float, float, float, float],
) -> SheetLight:
    paper_mm, paper_seen, paper_light = paper
    known = np.isfinite(steps[1]).all(axis=1)
    step_mm, step_seen, step_light = (part[known] for part in steps)
    near = _near_paper(step_mm, paper_mm)
    terms = _terms(paper_mm, middle, half)
    curve = None
    weights = np.ones(len(paper_mm))
    spread = np.zeros((6, 3))
    shadow: Shadow | None = None
    lighting = np.ones_like(paper_seen)
    for _ in range(_ROUNDS):
        as_light = paper_seen if curve is None else _through(curve, paper_seen)
        logs = np.log(np.clip(as_light, 1e-4, None))
        shadow = find_shadow((paper_mm - middle) / half, logs, terms)
        spread, weights = _fit_spread(terms, logs - _shade(shadow, paper_mm, middle, half))
        spread[0] = 0
        lighting = np.exp(terms @ spread + _shade(shadow, paper_mm, middle, half))
        # A grey step takes the light of the paper right beside it, which a shadow covers as well.
        own = as_light / np.median(as_light[weights > 0.3] / lighting[weights > 0.3], axis=0)
        step_lighting = np.stack([np.median(own[beside], axis=0) for beside in near])
        good = weights > 0.3
        curve = fit_grey_curve(
            np.concatenate([paper_seen[good], step_seen]),
            np.concatenate([paper_light[good, None] * lighting[good], step_light[:, None] * step_lighting]),
        )
    assert curve is not None
    printed = step_light > INK_REFLECTANCE
    found = (_through(curve, step_seen) / step_lighting)[printed, 1]
    log_left = np.log(np.clip(_through(curve, paper_seen) / lighting, 1e-4, None)) - np.log(PAPER_REFLECTANCE)
    inside = np.stack(
        np.meshgrid(np.linspace(window[0], window[2], 9), np.linspace(window[1], window[3], 7)), -1
    )
    over = np.exp(_terms(inside.reshape(-1, 2), middle, half) @ spread)
    value = over @ np.array(LUMINANCE_OF_RGB)
    tint = over / value[:, None]
    return SheetLight(
        curve=curve,
        spread=spread,
        middle_mm=middle,
        half_mm=half,
        uneven=float(value.max() / value.min() - 1),
        shadow=shadow,
        shaded=float((log_left.mean(axis=1) < -_SHADOW).mean()),
        tinted=float((tint.max(axis=0) / tint.min(axis=0)).max() - 1),
        clipped=float((paper_seen.max(axis=1) > _CLIPPED_LIN16 / 65535).mean()),
        misfit=float(np.abs(np.log(np.clip(found, 1e-3, None) / step_light[printed])).mean()),
    )


def _through(curve: GreyCurve, stored_lin: Floats) -> Floats:
    """Light of stored values, between the curve's steps as well."""
    at = np.clip(stored_lin, 0, 1) * 65535
    low = np.minimum(at.astype(int), 65534)
    part = at - low
    channels = np.arange(3)
    table = curve.table.astype(np.float64)
    return np.asarray(table[low, channels] * (1 - part) + table[low + 1, channels] * part)


def _shade(shadow: Shadow | None, points_mm: Floats, middle: tuple[float, float], half: float) -> Floats:
    if shadow is None:
        return np.zeros((len(points_mm), 3))
    u, v = ((np.asarray(points_mm) - middle) / half).T
    return np.outer(shadow.cover(u, v), shadow.depth)


def _terms(points_mm: Floats, middle: tuple[float, float], half: float) -> Floats:
    u, v = ((np.asarray(points_mm) - middle) / half).T
    return np.stack([np.ones_like(u), u, v, u * u, u * v, v * v], axis=1)


def _fit_spread(terms: Floats, logs: Floats) -> tuple[Floats, Floats]:
    """Polynomials (6, 3) by reweighted least squares, and each point's weight (n,)."""
    weights: Floats = np.ones(len(terms))
    spread: Floats = np.zeros((6, 3))
    for _ in range(12):
        root = np.sqrt(weights)[:, None]
        spread = np.asarray(np.linalg.lstsq(terms * root, logs * root, rcond=None)[0], dtype=np.float64)
        off = (logs - terms @ spread).mean(axis=1)
        off = off - np.median(off)
        bulk = max(1.4826 * float(np.median(np.abs(off))), 0.01)
        weights = np.asarray(np.clip(1 - (off / (_OUTLIER * bulk)) ** 2, 0, None) ** 2, dtype=np.float64)
    return spread, weights


def _near_paper(points_mm: Floats, paper_mm: Floats) -> list[NDArray[np.intp]]:
    apart = np.hypot(*(points_mm[:, None] - paper_mm[None]).transpose(2, 0, 1))
    return [np.argsort(row)[:8] for row in apart]


def _paper_points(layout: SheetLayout) -> Floats:
    """Places of bare paper, clear of everything printed and of both edges."""
    wide, high = layout.paper_mm
    x, y = np.meshgrid(np.arange(4, wide - 3, _GRID_MM), np.arange(4, high - 3, _GRID_MM))
    points = np.stack([x.ravel(), y.ravel()], axis=1)
    left, top = layout.bar_100mm
    low_left, low = layout.bar_4in
    printed = [
        layout.window_mm,
        *(box for box, _ in layout.greys_mm),
        *((x, y, x + TAG_MM, y + TAG_MM) for _, x, y in layout.tags_mm),
        (left, top - 1.5, left + 140, top + 1.5),
        (low_left - 30, low - 1.5, low_left + 145, low + 1.5),
    ]
    clear: NDArray[np.bool_] = np.ones(len(points), dtype=np.bool_)
    for x0, y0, x1, y1 in printed:
        clear &= ~(
            (points[:, 0] > x0 - _CLEAR_MM)
            & (points[:, 0] < x1 + _CLEAR_MM)
            & (points[:, 1] > y0 - _CLEAR_MM)
            & (points[:, 1] < y1 + _CLEAR_MM)
        )
    return points[clear]


def _greys(layout: SheetLayout) -> tuple[Floats, Floats]:
    centres = [((box[0] + box[2]) / 2, (box[1] + box[3]) / 2) for box, _ in layout.greys_mm]
    return np.array(centres), np.array([grey for _, grey in layout.greys_mm])


def _ink_points(sheet: FoundSheet) -> Floats:
    """The black corner modules of the markers that were seen."""
    inset = TAG_MM / 16
    places = []
    for number, left, top in sheet.layout.tags_mm:
        if number in dict(sheet.corners_px):
            near, far = inset, TAG_MM - inset
            places += [(left + x, top + y) for x in (near, far) for y in (near, far)]
    return np.array(places, dtype=np.float64).reshape(-1, 2)
