"""What is wrong with a photograph of cloth, by name, each with the mend."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from palettes.encodings import luminance
from swatches.blur import ClothBlur, OutlineBlur
from swatches.cloth_light import ClothLight
from swatches.glare import has_glare
from swatches.resampling import light_at
from swatches.sheet_find import CURLED_MM, FoundSheet
from swatches.sheet_layout import TAG_MM
from swatches.sheet_light import SheetLight

__all__ = ["Fault", "blur_faults", "cloth_faults", "light_faults", "sheet_faults", "tilt_faults"]

_CLIPPED_SHARE = 0.01
_FEW_PPI = 100.0
_TILT_DEG = 28.0
_TINTED = 0.15
_TILT_CARD_DEG, _TILT_RULER_DEG = 25.0, 5.0
"""A card mends less of a tilt than the sheet, being smaller, and a ruler none (ours). With a card all tilts
from 30 degrees are said and none up to 20; half are found within 0.3 degrees, 19 of 20 within 3.5 (measured
with benchmarks.light)."""
_UNEVEN = 1.2
_UNEVEN_ALONE, _TINTED_ALONE = 0.5, 0.2
"""Without white paper what is taken off is less sure, so less of it is named; a tone curve looks like a
change of colour of up to 0.16 on vivid cloth (ours, measured). With these, and those of cloth_light.py and
cloth_shadow.py, benchmarks.light names 94 % of slopes of 40 %, 88 % of shadows and 82 % of mixed light; of
the rest it is said that light cannot be told from that print. None is named in 166 even photographs."""
_SHADED = 0.04
_BLUR_MM = 0.28
_BLUR_OUTLINE_IN, _BLUR_OUTLINE_PX = 0.0095, 2.3
"""Outlines in sharp photographs spread over up to 2.2 pixels, which are 0.005 to 0.011 inches; at 220 an inch
over up to 1.5 (measured, simulated). Finer than that inch, blur takes nothing from a swatch (ours)."""
_SMEARED = 1.6

_FURTHER = "Switch the flash off, and photograph from further away with the cloth in the middle."
_SHARPER = "Wipe the lens, tap the cloth to focus, and hold the camera still or rest it on something."
_OUT_OF_LIGHT = "Keep yourself and the camera out of the light, and photograph again if a trace is seen."


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault."""

    name: str
    """One or two words, such as "glare"."""
    words: str
    mend: str
    """One sentence in the imperative."""

    def __str__(self) -> str:
        return f"{self.words} {self.mend}"


def cloth_faults(cloth_lin: NDArray[np.float32], *, ppi: float, clipped: float) -> tuple[Fault, ...]:
    """Faults that cloth itself shows: linear light (H, W, 3), and the share that is too bright to store."""
    faults = []
    if clipped > _CLIPPED_SHARE:
        faults.append(
            Fault(
                "too bright",
                f"{clipped:.0%} of the cloth is as bright as the camera can store: colours there are lost.",
                "Photograph it a little darker: tap the brightest place, or lower the exposure.",
            )
        )
    if ppi < _FEW_PPI:
        faults.append(
            Fault(
                "few pixels",
                f"One inch of cloth has {ppi:.0f} pixels; {_FEW_PPI:.0f} are wanted.",
                "Photograph it from nearer, or with the camera's full resolution.",
            )
        )
    if has_glare(cloth_lin, ppi=ppi):
        faults.append(
            Fault(
                "glare",
                "A pale spot lies over part of the cloth, as from a flash or a lamp.",
                "Switch the flash and lamps off, and photograph by a window, from the side away from it.",
            )
        )
    return tuple(faults)


def light_faults(light: ClothLight) -> tuple[Fault, ...]:
    """Faults of the light that the cloth alone shows, without the photo sheet."""
    faults = []
    if light.tinted > _TINTED_ALONE:
        faults.append(_mixed(light.tinted))
    if light.shaded > 0:
        done = (
            "was taken off along its straight edge" if light.shadow is not None else "is still in the swatch"
        )
        faults.append(
            Fault(
                "shadow",
                f"A shadow lies over {light.shaded:.0%} of the cloth: all its colours are "
                f"{light.depth:.0%} darker there. It {done}.",
                _OUT_OF_LIGHT,
            )
        )
    if light.one_sided > _UNEVEN_ALONE:
        faults.append(_uneven(light.one_sided))
    elif light.uneven > _UNEVEN:
        words = f"The middle of the cloth is {1 + light.uneven:.1f} times as bright as its corners."
        faults.append(Fault("uneven light", words, _FURTHER))
    return tuple(faults)


def tilt_faults(card_deg: float | None = None, ruler_deg: float | None = None) -> tuple[Fault, ...]:
    """The fault of a camera that looked off straight down on a card, or along a ruler."""
    if card_deg is not None and card_deg > _TILT_CARD_DEG:
        return (
            Fault(
                "tilted",
                f"The camera looked about {card_deg:.0f}° off straight down.",
                "Hold the camera level above the middle of the cloth.",
            ),
        )
    if ruler_deg is not None and ruler_deg > _TILT_RULER_DEG:
        return (
            Fault(
                "tilted",
                f"The camera looked about {ruler_deg:.0f}° off straight down along the ruler, which a ruler "
                "does not mend.",
                "Hold the camera level above the middle of the cloth, or use a card or the photo sheet.",
            ),
        )
    return ()


def blur_faults(outline: OutlineBlur | None, cloth: ClothBlur | None) -> tuple[Fault, ...]:
    """The fault of a blurred photograph: from a card's or paper's outline, else from the cloth alone."""
    if outline is None:
        if cloth is None:
            return ()
        words = (
            "It may be blurred, for the camera moved: edges that run one way are all soft, those across them "
            "sharp."
            if cloth.moved
            else "It may be blurred: neither threads are seen nor any edge that is sharper than "
            f"{cloth.spread_in * 1000:.0f} thousandths of an inch."
        )
        return (Fault("blurred", words, _SHARPER),)
    worst_in, worst_px = max((outline.level_in, outline.level_px), (outline.upright_in, outline.upright_px))
    if worst_in < _BLUR_OUTLINE_IN or worst_px < _BLUR_OUTLINE_PX:
        return ()
    way = ""
    if outline.upright_px > _SMEARED * outline.level_px:
        way = ", sideways: the camera moved"
    elif outline.level_px > _SMEARED * outline.upright_px:
        way = ", up and down: the camera moved"
    return (Fault("blurred", _smeared(worst_in, way), _SHARPER),)


def sheet_faults(photo_srgb8: NDArray[np.uint8], sheet: FoundSheet, light: SheetLight) -> tuple[Fault, ...]:
    """Faults that the photo sheet shows."""
    faults = []
    blur_mm = _edge_blur_mm(photo_srgb8, sheet)
    # Blur alone moves corners a little, and it is named for itself.
    if sheet.curled and sheet.rms_mm > CURLED_MM + 0.35 * max(0.0, blur_mm - 0.25):
        faults.append(
            Fault(
                "not flat",
                f"The sheet is not lying flat: its markers miss each other by {sheet.rms_mm:.2f} mm.",
                "Weigh its corners down and photograph again.",
            )
        )
    if sheet.tilt_deg > _TILT_DEG:
        faults.append(
            Fault(
                "tilted",
                f"The camera looked {sheet.tilt_deg:.0f}° off straight down.",
                "Hold the camera level above the middle of the sheet.",
            )
        )
    if light.tinted > _TINTED:
        faults.append(_mixed(light.tinted))
    if light.clipped > _CLIPPED_SHARE:
        faults.append(
            Fault(
                "too bright",
                f"{light.clipped:.0%} of the white paper is as white as the camera can store.",
                "Photograph it a little darker: tap the white paper, or lower the exposure.",
            )
        )
    if light.shadow is not None or light.shaded > _SHADED:
        faults.append(
            Fault(
                "shadow",
                "A shadow lies across the sheet; it was taken off as far as the white border shows it.",
                _OUT_OF_LIGHT,
            )
        )
    if light.uneven > _UNEVEN:
        faults.append(_uneven(light.uneven))
    if blur_mm > _BLUR_MM:
        faults.append(Fault("blurred", _smeared(blur_mm / 25.4), _SHARPER))
    return tuple(faults)


def _smeared(spread_in: float, way: str = "") -> str:
    return f"Edges are smeared over {spread_in * 1000:.0f} thousandths of an inch{way}."


def _mixed(tinted: float) -> Fault:
    return Fault(
        "mixed light",
        f"The colour of the light changes by {tinted:.0%} across the cloth: two kinds of lamp, or a lamp and "
        "a window.",
        "Use one kind of light only; switch lamps off by a window.",
    )


def _uneven(uneven: float) -> Fault:
    return Fault(
        "uneven light",
        f"One side of the cloth is {1 + uneven:.1f} times as bright as the other.",
        "Move away from the lamp, or turn the table so that the window lies alongside.",
    )


def _edge_blur_mm(photo: NDArray[np.uint8], sheet: FoundSheet) -> float:
    """The spread of the markers' outer edges, one standard deviation in millimetres; the median of them."""
    spreads = []
    far_mm = np.linspace(-1.6, 1.6, 65)
    places = np.linspace(0.2, 0.8, 25)
    for number, _ in sheet.corners_px:
        corners = sheet.layout.corners_mm(number)
        for i in range(4):
            start, end = corners[i], corners[(i + 1) % 4]
            out = np.array([(end - start)[1], -(end - start)[0]]) / TAG_MM
            points = start + places[:, None, None] * (end - start) + far_mm[None, :, None] * out
            light = light_at(photo, sheet.plane.to_photo(points.reshape(-1, 2)).reshape(points.shape))
            if light is None:
                continue
            profile = luminance(light).mean(axis=0)
            rise = np.clip(np.diff(profile), 0, None)
            rise = np.where(rise > 0.08 * rise.max(), rise, 0)
            if rise.sum() <= 0:
                continue
            middle = (far_mm[1:] + far_mm[:-1]) / 2
            mean = float((rise * middle).sum() / rise.sum())
            spreads.append(float(np.sqrt((rise * (middle - mean) ** 2).sum() / rise.sum())))
    return float(np.median(spreads)) if spreads else 0.0
