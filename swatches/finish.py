"""From straightened cloth as light to what a swatch keeps: squared, evened, a clean tile where it repeats."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin_to_srgb8
from palettes.gamut import bring_into_srgb
from palettes.lightness import lab_from_lin
from swatches.cloth_light import ClothLight, find_cloth_light, light_notes
from swatches.folds import even_plain, shading_beside
from swatches.patchwork import wrap_by_cut
from swatches.print_about import PrintAbout
from swatches.print_kind import about_print
from swatches.repeat import Repeat, find_repeat
from swatches.repeat_tile import CleanTile, tile_again, tile_from_repeat
from swatches.self_likeness import even_lab, without_margin
from swatches.straight import straighten
from swatches.weave import find_weave

__all__ = ["Finished", "RepeatChoice", "finish_cloth"]

RepeatChoice = Repeat | Literal["find", "as it is"]

_TURN_DEG = 0.1
_SHADED = 0.015
_LEAST_KEPT = 0.6
"""Of the contrast of the cloth, in a tile: less means that copies were laid beside each other (ours)."""
_OVERLAP_IN = 0.5
_EVEN_SHARE = 0.45
_HIDING = 0.5
"""Light so uneven may hide a repeat, which is looked for again."""
_MOST_TEXTURE_LAB = 9.0
_BAND_ROWS = 64


@dataclass(frozen=True, slots=True, eq=False)
class Finished:
    """What becomes of the cloth."""

    tile_srgb8: NDArray[np.uint8]
    """Read-only."""
    ppi: float
    wraps: bool
    """Whether the tile goes on for ever without a seam."""
    repeat: Repeat
    """In inches of the finished cloth."""
    about: PrintAbout
    turn_deg: float
    outside: float
    """Share of the tile whose colour lies outside sRGB and was brought to its nearest."""
    light: ClothLight | None
    """As the cloth itself showed it; None where it was known from elsewhere."""
    notes: tuple[str, ...]


def finish_cloth(
    cloth_lin: NDArray[np.float32], *, ppi: float, repeat: RepeatChoice = "find", lit_evenly: bool = False
) -> Finished:
    """The finished tile of straightened cloth (H, W, 3) in linear light, 1 being a perfect white.

    `repeat`: "find" looks for it; a Repeat is the maker's own; "as it is" keeps the photographed area with
    its edges known and its light as photographed. Cloth is never mirrored. `lit_evenly`: whether uneven
    light has been taken off already, as the photo sheet's white border shows it.
    """
    notes: list[str] = []
    found = find_repeat(cloth_lin, ppi=ppi) if isinstance(repeat, str) else repeat
    light = None
    if not lit_evenly:
        light = find_cloth_light(cloth_lin, ppi=ppi, repeat=found)
        if repeat == "as it is":
            # Every pixel stays as photographed, so a shadow too is said to be still there.
            light = replace(light, shadow=None)
        elif light.uneven or light.tinted or light.shadow is not None:
            cloth_lin = light.taken_off(cloth_lin)
            if isinstance(repeat, str) and (light.shadow is not None or light.uneven > _HIDING):
                found = find_repeat(cloth_lin, ppi=ppi)
        notes += light_notes(light, taken_off=repeat != "as it is")
    notes.insert(0, found.note)
    finished = _made(cloth_lin, found, ppi=ppi, as_it_is=repeat == "as it is", notes=notes)
    return replace(finished, light=light)


def _made(
    cloth_lin: NDArray[np.float32], found: Repeat, *, ppi: float, as_it_is: bool, notes: list[str]
) -> Finished:
    if not as_it_is and found.kind in ("lattice", "stripe"):
        before = len(notes)
        tile = _clean(without_margin(cloth_lin, found.margin), found, ppi=ppi, notes=notes)
        if tile is not None:
            if found.margin:
                notes.append("The edges of the photograph are unlike the print and were left out.")
            return _finished(tile.tile_lin, tile.ppi, True, _squared(found, tile), tile.turn_deg, notes)
        if len(notes) == before:
            notes.append("Its repeat runs too far off the grain for an upright tile: kept as it is.")
    cloth_lin, turn_deg = _to_grain(cloth_lin, ppi=ppi, notes=notes)
    wraps = False
    if not as_it_is and _is_texture(cloth_lin, found, ppi=ppi):
        cloth_lin = wrap_by_cut(even_plain(cloth_lin, ppi=ppi), overlap_px=round(_OVERLAP_IN * ppi))
        notes.append(
            "It has no motifs: it was made to go on for ever, by cuts along which it agrees with itself."
        )
        wraps = True
    elif found.kind in ("none", "one way"):
        notes.append("The photographed area is used as it is: pieces larger than it cannot be shown.")
    return _finished(cloth_lin, ppi, wraps, found, turn_deg, notes)


def _clean(cloth: NDArray[np.float32], repeat: Repeat, *, ppi: float, notes: list[str]) -> CleanTile | None:
    """The tile, made once more after what its repeats show to be folds has been taken off."""
    tile = tile_from_repeat(cloth, repeat, ppi=ppi)
    if tile is None:
        return None
    expected = _laid_out(tile, shape=cloth.shape[:2], ppi=ppi)
    kept = even_lab(expected, ppi=ppi)[2] / max(even_lab(cloth, ppi=ppi)[2], 1e-6)
    if kept < _LEAST_KEPT:
        notes.append("Its repeats do not lie evenly enough to be brought together: kept as it is.")
        return None
    shading = shading_beside(cloth, expected, ppi=ppi)
    if float(np.log(shading).std()) > _SHADED:
        tile = tile_again(tile, cloth / shading[..., None])
        notes.append("Shading of folds was taken off, told from the print by its repeats.")
    notes.append(tile.note)
    return tile


def _laid_out(tile: CleanTile, *, shape: tuple[int, ...], ppi: float) -> NDArray[np.float32]:
    """The tile laid over the photographed cloth again, as it would be without folds."""
    rows, columns = tile.tile_lin.shape[:2]
    shares = np.linalg.inv(tile.sides_in)
    x = (np.arange(shape[1]) + 0.5) / ppi - tile.start_in[0]
    y = (np.arange(shape[0]) + 0.5) / ppi - tile.start_in[1]
    laid = np.empty((*shape, 3), np.float32)
    for top in range(0, shape[0], _BAND_ROWS):
        part = slice(top, top + _BAND_ROWS)
        across, down = (
            _wrapped(y[part, None] * shares[1, i], x[None] * shares[0, i], side)
            for i, side in enumerate((columns, rows))
        )
        laid[part] = cv2.remap(tile.tile_lin, across, down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    return laid


def _wrapped(down: NDArray[np.float64], across: NDArray[np.float64], side_px: int) -> NDArray[np.float32]:
    """Pixels of a tile that wraps, from shares of its side along rows (n, 1) and columns (1, m)."""
    # Whole tiles are dropped before they would cost digits.
    share = (down % 1).astype(np.float32) + (across % 1).astype(np.float32)
    share -= np.floor(share)
    share *= side_px
    share -= 0.5
    return np.asarray(share, dtype=np.float32)


def _squared(repeat: Repeat, tile: CleanTile) -> Repeat:
    """The repeat's steps on the squared tile, whose sides lie exactly across and down."""
    rows, columns = tile.tile_lin.shape[:2]
    straight = np.diag([columns / tile.ppi, rows / tile.ppi])
    steps = np.array(repeat.steps_in) @ np.linalg.inv(tile.sides_in) @ straight
    return replace(repeat, steps_in=tuple((float(x), float(y)) for x, y in steps))


def _to_grain(
    cloth: NDArray[np.float32], *, ppi: float, notes: list[str]
) -> tuple[NDArray[np.float32], float]:
    weave = find_weave(cloth, ppi=ppi)
    if weave is None or max(abs(weave.turn_deg), abs(weave.skew_deg)) < _TURN_DEG:
        return cloth, 0.0
    turn, skew = abs(weave.turn_deg), abs(weave.skew_deg)
    notes.append(f"The weave lay {turn:.1f}° off straight and {skew:.1f}° off square; mended.")
    return straighten(cloth, turn_deg=weave.turn_deg, skew_deg=weave.skew_deg), weave.turn_deg


def _is_texture(cloth: NDArray[np.float32], repeat: Repeat, *, ppi: float) -> bool:
    """Whether the cloth is plain or mottled evenly: no motifs, and much the same in every inch."""
    if repeat.kind == "plain":
        return True
    if repeat.kind != "none":
        return False
    inch = max(1, round(ppi / 20))
    size = (max(4, cloth.shape[1] // inch), max(4, cloth.shape[0] // inch))
    lab = lab_from_lin(np.clip(cv2.resize(cloth, size, interpolation=cv2.INTER_AREA), 0, 1))
    spread = float(np.sqrt(lab.reshape(-1, 3).var(axis=0).sum()))
    slow = cv2.blur(np.asarray(lab, dtype=np.float32), (20, 20))
    slow_spread = float(np.sqrt(slow.reshape(-1, 3).var(axis=0).sum()))
    return spread < _MOST_TEXTURE_LAB and slow_spread < _EVEN_SHARE * spread


def _finished(
    cloth: NDArray[np.float32], ppi: float, wraps: bool, repeat: Repeat, turn_deg: float, notes: list[str]
) -> Finished:
    held, outside = bring_into_srgb(cloth)
    if outside > 0.002:
        notes.append(
            f"{outside:.1%} of it has colours outside sRGB, too vivid or too bright: brought to its edge."
        )
    tile = np.array(lin_to_srgb8(held), order="C")
    tile.flags.writeable = False
    # As large as the cloth itself, while what the print is will be found out.
    del held
    return Finished(
        tile_srgb8=tile,
        ppi=ppi,
        wraps=wraps,
        repeat=repeat,
        about=about_print(cloth, ppi=ppi, repeat=repeat, wraps=wraps),
        turn_deg=turn_deg,
        outside=outside,
        light=None,
        notes=tuple(notes),
    )
