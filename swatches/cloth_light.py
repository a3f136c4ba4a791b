"""The light on cloth that lies beside no white paper, told from the cloth itself as far as it can be.

A smooth change of light, of degree 2 as on the photo sheet, and one shadow: whatever makes places of one
colour, or of one spot of the repeat, agree. It is believed only where many more of them agree with it than
without, so that a print that is too busy, or has no two places alike, is left alone. A blur of the print
itself is never used: large flowers would get glowing middles.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import LUMINANCE_OF_RGB
from swatches.cloth_shadow import HuePairs, find_cloth_shadow, pairs_of_one_hue, several_colours
from swatches.light_witness import (
    ALIKE,
    Witness,
    agreeing,
    call_witness,
    covered,
    fit_light,
    fit_shadow,
    light_terms,
)
from swatches.like_places import Places, read_places
from swatches.repeat import Repeat
from swatches.shaded_part import ShadedPart, edge_width_in, find_shaded_part
from swatches.sheet_shadow import Shadow

__all__ = ["ClothLight", "find_cloth_light", "light_notes"]

_ROUNDS = ((0.15, 0.25), (0.25, 0.25), (0.4, 0.22), (0.7, 0.2), (1.2, 0.17), (2.0, 0.15), (2.0, 0.12))
"""Reach of the pairs in half widths, and how far alike pairs may differ: near and wide first (ours)."""
_NEAR_REACHES, _FAR_REACHES = (0.35, 1.2), (1.0, 2.0)
"""Near pairs see narrow shadows; far ones see that a part is darker than the rest, however large it is."""
_REPEAT_REACH, _REPEAT_ALIKE = 1.0, 0.2
_MUCH = 0.06
"""As ALIKE, but stricter: a small change of light shows in it."""
_LEAST_ALIKE = 0.085
"""Share of far pairs that have to agree: below it what was found was wrong as often as right (measured)."""
_LEAST_GAIN, _FEW_GAIN, _TINT_GAIN = 1.2, 1.5, 1.6
"""How many times as many agree with the light as without it; chance gives 1.00 to 1.12, to 1.4 where few
agree at all, and to 1.45 with a change of colour (measured)."""
_FEW = 0.2
_ALIKE_REPEATS = 0.4
_PRINTED_IN = 0.04
"""Printed edges are seen 0.01 to 0.02 inches wide, those of shadows 0.05 and more (measured)."""
_MOST_UNEVEN = 2.0
_MOST_OF_LENS = float(np.log(0.5))
"""Logarithm of the light that a lens may leave in the corners; more is said to be uneven (ours)."""
_GRID = (9, 7)
_BAND_ROWS = 32

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True, eq=False)
class ClothLight:
    """How the light changes over the cloth, and how far that is known."""

    sure: bool
    """Whether it was told from the print; where not, the rest means nothing and is even light."""
    spread: Floats
    """(5, 3): logarithm of the light as a polynomial of degree 2 in half widths from the middle."""
    shadow: Shadow | None
    """A shadow with one straight edge, which is taken off too."""
    shaded: float
    """Share of the cloth in shadow; 0 without one. One of another shape than that above is left as it is."""
    depth: float
    """Share of the light that the shadow takes."""
    uneven: float
    """Brightest over dimmest light, less 1, without the shadow."""
    one_sided: float
    """The same without what falls off alike towards all corners, as every lens makes it do."""
    tinted: float
    """How far the colour of the light changes, as a share; 0 where that is not sure."""
    alike: float
    """Share of far pairs of places that agree with it."""

    def taken_off(self, cloth_lin: NDArray[np.float32]) -> NDArray[np.float32]:
        """The cloth (H, W, 3) in even light, its mean colour kept."""
        rows, columns = cloth_lin.shape[:2]
        made = np.empty_like(cloth_lin)
        u = ((np.arange(columns, dtype=np.float32) + 0.5) / columns * 2 - 1)[None]
        before, after = np.zeros(3), np.zeros(3)
        for top in range(0, rows, _BAND_ROWS):
            part = slice(top, min(top + _BAND_ROWS, rows))
            v = ((np.arange(part.start, part.stop, dtype=np.float32) + 0.5) * 2 - rows)[:, None] / columns
            np.divide(cloth_lin[part], np.exp(self._logs(u, v)), out=made[part])
            before += cv2.sumElems(cloth_lin[part])[:3]
            after += cv2.sumElems(made[part])[:3]
        made *= (before / np.maximum(after, 1e-9)).astype(np.float32)
        return made

    def _logs(self, u: NDArray[np.float32], v: NDArray[np.float32]) -> NDArray[np.float32]:
        """Logarithm of the light at columns u (1, m) and rows v (n, 1): (n, m, 3), or 1 for all three."""
        c = self.spread.astype(np.float32)
        depth = np.zeros(3) if self.shadow is None else self.shadow.depth
        coloured = bool(np.ptp(c, axis=1).any() or np.ptp(depth))
        logs = np.empty((v.size, u.size, 3 if coloured else 1), np.float32)
        wide, high = u.astype(np.float64), v.astype(np.float64)
        for i in range(logs.shape[2]):
            np.multiply(c[3, i] * v, u, out=logs[..., i])
            logs[..., i] += (c[0, i] + c[2, i] * u) * u
            logs[..., i] += (c[1, i] + c[4, i] * v) * v
            if self.shadow is not None:
                logs[..., i] += (self.shadow.cover(wide, high) * depth[i]).astype(np.float32)
        return logs


def find_cloth_light(
    cloth_lin: NDArray[np.float32], *, ppi: float, repeat: Repeat | None = None, seed: int = 0
) -> ClothLight:
    """The light on straightened cloth (H, W, 3), in linear light; with its repeat where one was found.

    Cloth that is itself shaded from side to side looks the same as uneven light: only paper can tell.
    """
    seen = _Cloth(cloth_lin, ppi, read_places(cloth_lin, ppi=ppi))
    if repeat is None or repeat.kind not in ("lattice", "stripe"):
        return _lit(seen, None, seed=seed)
    by_repeat = _lit(seen, repeat, seed=seed)
    if by_repeat.alike > _ALIKE_REPEATS:
        return by_repeat
    by_colour = _lit(seen, None, seed=seed)
    return by_repeat if by_repeat.alike > by_colour.alike else by_colour


@dataclass(frozen=True, slots=True, eq=False)
class _Cloth:
    cloth_lin: NDArray[np.float32]
    ppi: float
    places: Places


def _lit(seen: _Cloth, repeat: Repeat | None, *, seed: int) -> ClothLight:
    places, chance = seen.places, np.random.default_rng(seed)
    even = _even(sure=False, shadow=None, alike=0.0)
    terms = light_terms(places.at)
    spread = np.zeros((5, 3))
    witness = Witness(*(np.empty((0, 3)) for _ in range(5)))
    for reach, alike in _ROUNDS:
        if repeat is not None:
            reach, alike = max(reach, _REPEAT_REACH), max(alike, _REPEAT_ALIKE)
        witness = call_witness(places, repeat, terms, reach=reach, chance=chance)
        if len(witness.apart) < 500:
            return even
        spread = fit_light(witness.terms, witness, spread, alike=alike)
    near, far = (
        pairs_of_one_hue(places, repeat, reaches=reaches, slow=terms @ spread, chance=chance)
        for reaches in (_NEAR_REACHES, _FAR_REACHES)
    )
    shadow = _straight_shadow(seen, near)
    part = None if shadow is not None else _part_in_shadow(seen, far)
    without = agreeing(witness, np.zeros_like(witness.apart), _MUCH)
    if shadow is not None:
        spread, shadow = fit_shadow(witness, spread, shadow)
    lit = _believed(witness, spread, shadow, without, places.rows / places.columns)
    if lit.shadow is not None:
        cover = lit.shadow.cover(*places.at.T)
        return replace(lit, shaded=float(cover.mean()), depth=1 - float(np.exp(lit.shadow.depth.mean())))
    if part is not None and lit.sure:
        return replace(lit, shaded=part.share, depth=1 - float(np.exp(part.depth)))
    return lit


def _straight_shadow(seen: _Cloth, pairs: HuePairs) -> Shadow | None:
    found = find_cloth_shadow(seen.places, pairs)
    if found is None:
        return None
    shadow, lit = found
    dark = shadow.cover(*seen.places.at.T).reshape(seen.places.rows, seen.places.columns) > 0.5
    return shadow if _soft(seen, dark, lit, depth=float(shadow.depth.mean())) else None


def _part_in_shadow(seen: _Cloth, pairs: HuePairs) -> ShadedPart | None:
    part = find_shaded_part(seen.places, pairs)
    if part is None or not _soft(seen, part.squares, part.lit, depth=part.depth):
        return None
    return part


def _soft(seen: _Cloth, dark: NDArray[np.bool_], lit: NDArray[np.intp], *, depth: float) -> bool:
    """Whether it can be a shadow: several colours say so, or its edge is softer than any printed one."""
    if several_colours(seen.places, lit):
        return True
    colour = np.median(seen.places.logs[lit], axis=0)
    width_in = edge_width_in(seen.cloth_lin, dark, ppi=seen.ppi, colour_logs=colour, depth=depth)
    return width_in > _PRINTED_IN


def _believed(
    seen: Witness, spread: Floats, shadow: Shadow | None, without: float, tall: float
) -> ClothLight:
    """What is kept of the light that was found: as much as plainly makes more places agree."""
    cover = 0.0 if shadow is None else np.outer(covered(seen, shadow), shadow.depth)
    grey = np.repeat((spread @ np.array(LUMINANCE_OF_RGB))[:, None], 3, axis=1)
    with_grey = agreeing(seen, seen.terms @ grey + cover, _MUCH)
    with_tint = agreeing(seen, seen.terms @ spread + cover, _MUCH)
    tinted = with_tint > _TINT_GAIN * with_grey
    kept = spread if tinted else grey
    alike = agreeing(seen, seen.terms @ kept + cover, ALIKE)
    uneven, one_sided, change = _extent(kept, tall)
    gain = (with_tint if tinted else with_grey) / max(without, 1e-9)
    sure = alike > _LEAST_ALIKE and uneven < _MOST_UNEVEN
    if not sure or gain < (_LEAST_GAIN if alike > _FEW else _FEW_GAIN):
        # Even light as far as can be told, or nothing that can be told.
        return _even(sure=sure, shadow=shadow if sure else None, alike=alike)
    return ClothLight(True, kept, shadow, 0.0, 0.0, uneven, one_sided, change if tinted else 0.0, alike)


def _even(*, sure: bool, shadow: Shadow | None, alike: float) -> ClothLight:
    return ClothLight(sure, np.zeros((5, 3)), shadow, 0.0, 0.0, 0.0, 0.0, 0.0, alike)


def _extent(spread: Floats, tall: float) -> tuple[float, float, float]:
    """How much brighter the brightest place is, with and without the lens, and how far the colour changes."""
    x, y = np.meshgrid(np.linspace(-0.95, 0.95, _GRID[0]), np.linspace(-0.95, 0.95, _GRID[1]) * tall)
    terms = light_terms(np.stack([x.ravel(), y.ravel()], axis=1))
    light = np.exp(terms @ spread)
    value = light @ np.array(LUMINANCE_OF_RGB)
    round_about = float((spread[2] + spread[4]) @ np.array(LUMINANCE_OF_RGB)) / 2
    lens = min(max(round_about, _MOST_OF_LENS / (1 + tall**2)), 0.0) * (terms[:, 2] + terms[:, 4])
    beside = value / np.exp(lens)
    tint = light / value[:, None]
    change = float((tint.max(axis=0) / tint.min(axis=0)).max() - 1)
    return float(value.max() / value.min() - 1), float(beside.max() / beside.min() - 1), change


def light_notes(light: ClothLight, *, taken_off: bool = True) -> tuple[str, ...]:
    """What was done about the light, or why nothing was, for the maker; nothing where it is even.

    `taken_off`: False for cloth that is kept just as it was photographed.
    """
    if not light.sure:
        return (
            "Uneven light could not be told from this print, so it was left as it is: use the photo sheet if "
            "one side looks darker.",
        )
    if not light.uneven and not light.tinted:
        return ()
    colour = f" and its change of colour of {light.tinted:.0%}" if light.tinted else ""
    if not taken_off:
        return (
            f"Uneven light of {light.uneven:.0%}{colour} was left in it, for it is kept as photographed.",
        )
    return (
        f"Uneven light of {light.uneven:.0%}{colour} was evened out by a smooth fit to places of the "
        "cloth that are alike. If the cloth itself is shaded from side to side, use the photo sheet.",
    )
