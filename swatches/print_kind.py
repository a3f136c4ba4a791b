"""What a print is, computed from its picture: motif size, coverage, which way up, kind and colours."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.colours import colour_name
from palettes.encodings import lin_to_srgb8
from palettes.lightness import lab_from_lin
from swatches.print_about import Colouring, PrintAbout, PrintWord, Way
from swatches.print_turns import Turns, find_turns
from swatches.repeat import Repeat
from swatches.turned_likeness import like_mirrored, like_quarter_turned, like_turned, spectra

__all__ = ["about_print"]

_WORK_PPI = 60.0
_MOST_PX = 900
_CLUSTERS = 8
_SAME_LAB = 9.0
_LEAST_OWN, _BLEND_LAB = 0.10, 14.0
_LEAST_SHARE = 0.015
_PLAIN_LAB = 2.2
_TONAL_LAB, _TONAL_CHROMA = 11.0, 7.0
_SMALL_IN, _LARGE_IN = 0.75, 2.5
"""Ours: the trade draws these lines differently from shop to shop."""
_CLOSED_IN = 0.04
_LEAST_COVERED = 0.01
"""Less of the ground than this is covered by slubs and specks, not by motifs (ours)."""
_ALIKE = 0.70
_ALIKE_MOTIFS = 0.93
"""Even motifs come to 0.95 and more, motifs with an up to 0.92, but for a leaf with its stalk (measured)."""
_FINE_IN = 0.15
"""In a pattern that repeats within this no up is seen (ours)."""
_LEAST_ODD = 0.05
_MIRRORED, _SAME = 0.15, 0.1
"""How much more a mirrored print is like itself than a turned one; real ones 0.4 to 0.8 (measured on 6)."""
_LINED = 0.75

Map = NDArray[np.float32]


def about_print(
    cloth_lin: NDArray[np.float32], *, ppi: float, repeat: Repeat, wraps: bool = False
) -> PrintAbout:
    """What linear light (H, W, 3) of straightened cloth, or of a tile that wraps, says of the print."""
    lab, work_ppi, light = _reduced(cloth_lin, ppi=ppi)
    labels, colours = _colours(lab, light)
    spread = _spread(lab)
    if repeat.kind == "plain" or (spread < _PLAIN_LAB and repeat.kind not in ("lattice", "stripe")):
        whole = _plain_colour(light)
        return PrintAbout("plain", "all-way", None, 0.0, (whole,))
    covered = np.asarray(labels != 0)
    coverage = float(covered.mean())
    if wraps:
        covered = np.tile(covered, (2, 2))
    has_motifs = coverage >= _LEAST_COVERED and not (wraps and repeat.kind == "none")
    motif_in = _motif_in(covered, ppi=work_ppi) if has_motifs else 0.0
    shortest = min((hypot(*step) for step in repeat.steps_in), default=None)
    if shortest is not None:
        # Motifs that touch across the repeat are one to the computer, but not to the eye.
        motif_in = min(motif_in, shortest)

    def turns() -> Turns:
        return find_turns(cloth_lin, ppi=ppi, steps_in=repeat.steps_in, wraps=wraps)

    way, sure = _way(lab, repeat=repeat, wraps=wraps, has_motifs=has_motifs, turns=turns)
    return PrintAbout(
        word=_word(lab, spread, motif_in=motif_in, repeat=repeat),
        way=way,
        motif_in=round(motif_in, 3) if has_motifs else None,
        coverage=round(coverage, 4),
        colours=colours,
        way_sure=sure,
    )


def _reduced(cloth_lin: NDArray[np.float32], *, ppi: float) -> tuple[Map, float, Map]:
    rows, columns = cloth_lin.shape[:2]
    factor = min(1.0, _WORK_PPI / ppi, _MOST_PX / max(rows, columns))
    size = (max(8, round(columns * factor)), max(8, round(rows * factor)))
    light = np.clip(cloth_lin, 0, 1).astype(np.float32, copy=False)
    if factor < 1:
        light = np.asarray(cv2.resize(light, size, interpolation=cv2.INTER_AREA), dtype=np.float32)
    return np.asarray(lab_from_lin(light), dtype=np.float32), ppi * size[0] / columns, light


def _spread(lab: Map) -> float:
    soft = cv2.blur(lab, (3, 3))
    low, high = np.percentile(soft.reshape(-1, 3), (4, 96), axis=0)
    return float(hypot(*(high - low))) / 2.5


def _colours(lab: Map, light: Map) -> tuple[NDArray[np.int64], tuple[Colouring, ...]]:
    """For every pixel its colour's number, 0 being the ground's, and the colours, largest share first."""
    flat = lab.reshape(-1, 3)
    samples = np.ascontiguousarray(flat[:: max(1, len(flat) // 20_000)])
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.3)
    cv2.setRNGSeed(11)
    count = min(_CLUSTERS, len(samples))
    _, _, centres = cv2.kmeans(samples, count, np.empty((0, 1), np.int32), stop, 3, cv2.KMEANS_PP_CENTERS)
    nearest = np.concatenate(
        [
            np.argmin(((part[:, None] - centres[None]) ** 2).sum(axis=2), axis=1)
            for part in np.array_split(flat, max(1, len(flat) // 100_000))
        ]
    )
    shares = np.bincount(nearest, minlength=count) / len(flat)
    joined = _joined(np.asarray(centres, dtype=np.float64), shares)
    labels = joined[nearest]
    order = np.argsort(-np.bincount(labels, minlength=count), kind="stable")
    rank = np.empty(count, np.int64)
    rank[order] = np.arange(count)
    labels = rank[labels]
    flat_light = light.reshape(-1, 3)
    colours = []
    for number in range(count):
        share = float((labels == number).mean())
        if share >= _LEAST_SHARE or number == 0:
            # Blends along edges would grey the mean: the median light is the colour itself.
            codes = lin_to_srgb8(np.median(flat_light[labels == number], axis=0))
            colours.append((share, codes))
    return labels.reshape(lab.shape[:2]), _named(colours)


def _joined(centres: NDArray[np.float64], shares: NDArray[np.floating]) -> NDArray[np.int64]:
    """Which clusters are one colour: each goes with the largest one that lies near it."""
    joined = np.arange(len(centres))
    order = np.argsort(-shares, kind="stable")
    for place, i in enumerate(order):
        for j in order[:place]:
            # Light and dark of one colour are more alike to a maker than two hues as far apart.
            apart = (centres[i] - centres[j]) * (0.8, 1.0, 1.0)
            if joined[j] == j and float(np.sqrt(apart @ apart)) < _SAME_LAB:
                joined[i] = j
                break
    # A middle tone, as of gingham, may be many clusters, none of which is large by itself.
    summed = np.bincount(joined, shares, minlength=len(centres)).astype(np.float64)
    for i in order[::-1]:
        if joined[i] == i and summed[i] < _LEAST_OWN:
            joined[i] = _end_of_blend(int(i), centres, summed, joined)
    # A blend may have gone to a colour that is part of another.
    return joined[joined[joined]]


def _end_of_blend(
    i: int, centres: NDArray[np.float64], shares: NDArray[np.floating], joined: NDArray[np.int64]
) -> int:
    """The nearer of two colours whose blend along their edges a small cluster is; itself if it is none."""
    larger = [int(k) for k in np.nonzero((joined == np.arange(len(joined))) & (shares > 1.5 * shares[i]))[0]]
    for j in larger:
        for k in larger:
            way = centres[k] - centres[j]
            along = float((centres[i] - centres[j]) @ way / max(float(way @ way), 1e-9))
            if j == k or not 0.1 < along < 0.9:
                continue
            off = centres[i] - centres[j] - along * way
            if float(off @ off) < _BLEND_LAB**2:
                return j if along < 0.5 else k
    return i


def _named(colours: list[tuple[float, NDArray[np.uint8]]]) -> tuple[Colouring, ...]:
    """Colours of one name become one."""
    made: dict[str, tuple[float, NDArray[np.uint8]]] = {}
    for share, codes in colours:
        name = colour_name(codes)
        if name in made:
            made[name] = (made[name][0] + share, made[name][1])
        else:
            made[name] = (share, codes)
    rows = sorted(made.items(), key=lambda row: -row[1][0])
    return tuple(
        Colouring(name, "#{:02x}{:02x}{:02x}".format(*codes.tolist()), round(share, 4))
        for name, (share, codes) in rows
    )


def _plain_colour(light: Map) -> Colouring:
    codes = lin_to_srgb8(light.mean(axis=(0, 1), dtype=np.float64))
    return Colouring(colour_name(codes), "#{:02x}{:02x}{:02x}".format(*codes.tolist()), 1.0)


def _motif_in(covered: NDArray[np.bool_], *, ppi: float) -> float:
    """How large what covers the ground is, weighed by area: the typical patch of it, across."""
    side = max(1, 2 * round(_CLOSED_IN * ppi / 2) + 1)
    mask = cv2.morphologyEx(covered.astype(np.uint8), cv2.MORPH_CLOSE, np.ones((side, side), np.uint8))
    count, _, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=8)
    if count < 2:
        return float(min(covered.shape)) / ppi
    area = stats[1:, cv2.CC_STAT_AREA].astype(float)
    across = np.sqrt(stats[1:, cv2.CC_STAT_WIDTH].astype(float) * stats[1:, cv2.CC_STAT_HEIGHT])
    big = area >= 0.1 * area.max()
    return float((across[big] * area[big]).sum() / area[big].sum() / ppi)


def _word(lab: Map, spread: float, *, motif_in: float, repeat: Repeat) -> PrintWord:
    if repeat.kind == "stripe":
        return "stripe"
    low, high = np.percentile(lab[..., 1:].reshape(-1, 2), (5, 95), axis=0)
    if spread < _TONAL_LAB and hypot(*(high - low)) / 2 < _TONAL_CHROMA:
        return "tone-on-tone"
    if motif_in < _SMALL_IN:
        return "small print"
    return "large print" if motif_in > _LARGE_IN else "medium print"


def _way(
    lab: Map, *, repeat: Repeat, wraps: bool, has_motifs: bool, turns: Callable[[], Turns]
) -> tuple[Way, bool]:
    """Whether the cloth looks the same turned by a half turn, and by a quarter; and whether that is sure.

    The whole is turned first: stripes, checks and prints of even motifs are then the same at once. Other
    cloth is asked for motifs that are found again, and how they are turned. Where neither tells, it counts
    as one-way: that wastes cloth, but never turns a bird on its head. Cloth that is its own mirror image one
    way, but not turned, grows up or down.
    """
    even = lab - lab.mean(axis=(0, 1))
    seen = spectra(even, wraps=wraps)
    turned = like_turned(seen, even)
    if repeat.kind == "stripe":
        return ("two-way" if turned >= _ALIKE else "one-way"), True
    if _is_lined(even):
        # Tartans and plaids are woven even as a rule; what is seen of one may show only part of it.
        if turned < _ALIKE:
            return ("one-way" if repeat.kind == "lattice" else "two-way"), True
        return _by_quarter(even, repeat=repeat, wraps=wraps), True
    fine = min((hypot(*step) for step in repeat.steps_in), default=1.0) < _FINE_IN
    even_whole = turned >= (_ALIKE if fine else _ALIKE_MOTIFS)
    told = Turns(None, None) if fine else turns()
    if told.half is False:
        return "one-way", has_motifs and not even_whole
    if even_whole or not (has_motifs or _leans(even)):
        # Mottled cloth and weaves have nothing to stand on its head, unless all of it leans.
        return _by_quarter(even, repeat=repeat, wraps=wraps), True
    if told.half:
        return ("all-way" if told.quarter else "two-way"), told.quarter is not None
    sideways, upwards = like_mirrored(seen, even)
    mirrored = max(sideways, upwards) - turned > _MIRRORED and min(sideways, upwards) - turned < _SAME
    return "one-way", mirrored


def _by_quarter(even: Map, *, repeat: Repeat, wraps: bool) -> Way:
    """What cloth is that half a turn leaves the same."""
    side = min(even.shape[:2])
    quarter = like_quarter_turned(even[:side, :side], wraps=wraps and even.shape[0] == even.shape[1])
    if quarter >= _ALIKE or (repeat.kind not in ("lattice", "one way") and not _leans(np.rot90(even))):
        return "all-way"
    return "two-way"


def _is_lined(even: Map) -> bool:
    """Whether the cloth is little but lines across and down, as plaids are."""
    lines = even.mean(axis=0)[None] + even.mean(axis=1)[:, None]
    left = float(((even - lines) ** 2).sum(dtype=np.float64))
    return left < (1 - _LINED) * float((even**2).sum(dtype=np.float64))


def _leans(even: Map) -> bool:
    """Whether up differs from down in the print: the third moment of slopes down, beside their spread."""
    soft = cv2.GaussianBlur(np.ascontiguousarray(even[..., 0]), (0, 0), 2.0)
    slope = np.diff(soft, axis=0)
    spread = float(slope.std())
    return spread > 0 and abs(float((slope**3).mean())) / spread**3 > _LEAST_ODD * 4
