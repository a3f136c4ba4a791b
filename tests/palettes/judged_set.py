"""The judged pairs: cloth drawn by formula, laid as petal, stem or seam, and read as a block is."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from math import cos, pi, sin
from pathlib import Path

import numpy as np

from blocks.edges import find_edges
from blocks.motion import shift
from palettes.colours import parse_colour
from palettes.encodings import lin_to_srgb8, srgb8_to_lin
from palettes.lightness import lin_from_lab, luminance_of_lightness
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import make_audition
from preview.keeping import PaintCache
from preview.readings import EdgeReading, read_edges
from swatches.swatch import Swatch
from tests.preview.scenes import arc_stem, cloth, draft, rectangle, shape, stay_places

TABLE = Path(__file__).with_name("judged_pairs.csv")
PPI = 40
SIDE_IN = 8
VIEWINGS = {
    "table": ACROSS_TABLE,
    "deutan": Viewing("from 6 feet", 72, eyes="deutan"),
    "projector": Viewing("from 6 feet", 72, shown="projector"),
}


@dataclass(frozen=True)
class Pair:
    """One row of the table."""

    number: int
    half: str
    first: str
    second: str
    where: str
    viewing: str
    by: str
    words: tuple[str, ...]
    rule: str


@cache
def pairs() -> tuple[Pair, ...]:
    lines = [line for line in TABLE.read_text("utf-8").splitlines() if not line.startswith("#")]
    return tuple(
        Pair(
            int(row["pair"]),
            row["half"],
            row["first"],
            row["second"],
            row["where"],
            row["viewing"],
            row["by"],
            tuple(row["word"].split(" or ")),
            row["rule"],
        )
        for row in csv.DictReader(lines)
    )


@cache
def read_all() -> tuple[EdgeReading, ...]:
    """The reading of every pair, in the order of the table."""
    kept = PaintCache()
    return tuple(read_pair(pair, kept) for pair in pairs())


def read_pair(pair: Pair, kept: PaintCache) -> EdgeReading:
    block, edges = block_of(pair.where)
    # Laid where no repeat of the cloth begins, so that no motif is met by design except where asked for.
    places = stay_places(block) | ({} if pair.where == "seam" else {0: shift(0.37, 0.61)})
    roles = {"ground": draw(pair.second), "motif": draw(pair.first)}
    audition = make_audition(block, roles=roles, places=places)
    (found,) = read_edges(audition, edges, viewing=VIEWINGS[pair.viewing], cache=kept)
    return found


def word_of(pair: Pair, found: EdgeReading) -> str:
    return found.reading.word_with_colour if pair.by == "colour" else found.reading.word


@cache
def block_of(where: str):
    if where == "seam":
        laid = [rectangle(1, "ground", 0, 0, 4, 8), rectangle(2, "motif", 4, 0, 4, 8)]
    elif where == "stem":
        laid = [rectangle(1, "ground", 0, 0, 8, 8), arc_stem(2, "motif", 8, 8, 6, 0.25, layer=1)]
    else:
        rim = [(4 + 1.0 * cos(2 * pi * i / 120), 4 + 1.9 * sin(2 * pi * i / 120)) for i in range(120)]
        laid = [rectangle(1, "ground", 0, 0, 8, 8), shape(2, "motif", rim, layer=1)]
    block = draft([patch for patch, _ in laid], [piece for _, piece in laid], width=8, height=8)
    return block, find_edges(block)


@cache
def draw(spec: str) -> Swatch:
    """The cloth for a few words; see the head of the table."""
    kind, *rest = spec.split()
    tile = {
        "solid": lambda L: flat(grey(float(L))),
        "lab": lambda *lab: flat(lin_from_lab(np.array(lab, dtype=np.float64))),
        "check": check,
        "stripe": stripe,
        "dots": dots,
        "leaves": leaves,
        "tonal": tonal,
        "medallion": medallion,
        "multi": multi,
    }.get(kind, lambda: flat(light(spec)))(*rest)
    return cloth(
        lin_to_srgb8(tile),
        ppi=PPI,
        name=spec,
        kind="solid" if kind in ("solid", "lab") or not rest else "print",
    )


def light(colour: str) -> np.ndarray:
    return srgb8_to_lin(parse_colour(colour)).astype(np.float64)


def grey(L: float) -> np.ndarray:
    return np.full(3, float(luminance_of_lightness(L)))


def flat(colour: np.ndarray) -> np.ndarray:
    return np.tile(colour, (PPI, PPI, 1))


def grid() -> tuple[np.ndarray, np.ndarray]:
    """Inches across and down of every point."""
    at = (np.arange(SIDE_IN * PPI) + 0.5) / PPI
    return at[None, :], at[:, None]


def mix(share: np.ndarray, one: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Light of one colour where the share is 1 and of the other where it is 0."""
    return share[..., None] * one + (1 - share[..., None]) * other


def check(one: str, other: str, side: str) -> np.ndarray:
    """Squares; finer ones than a point are their mean, as in a photograph."""
    x, y = grid()
    # Means over each point of the two square waves that make the check.
    waves = [square_wave(axis, float(side)) for axis in (x, y)]
    return mix((1 + waves[0] * waves[1]) / 2, light(one), light(other))


def square_wave(at: np.ndarray, half_in: float) -> np.ndarray:
    """+1 and -1 by turns of half_in, averaged over the width of a point."""

    def upto(t: np.ndarray) -> np.ndarray:
        into = t % (2 * half_in)
        return np.minimum(into, 2 * half_in - into)

    return (upto(at + 0.5 / PPI) - upto(at - 0.5 / PPI)) * PPI


def stripe(one: str, other: str, width: str, way: str, offset: str) -> np.ndarray:
    """Stripes that run off a seam (across) or beside it (along)."""
    x, y = grid()
    at = (x + 0 * y + float(offset)) if way == "along" else (y + 0 * x + float(offset))
    return mix((1 + square_wave(at, float(width))) / 2, light(one), light(other))


def dots(ground: str, dot: str, across: str, pitch: str) -> np.ndarray:
    """Round dots on a square grid."""
    x, y = (axis % float(pitch) - float(pitch) / 2 for axis in grid())
    share = np.clip((float(across) / 2 - np.hypot(x, y)) * PPI + 0.5, 0, 1)
    return mix(share, light(dot), light(ground))


def leaves(ground: str, leaf: str, cover: str, size: str) -> np.ndarray:
    """Leaves of about this size, tossed, that cover this share of the cloth."""
    field = lumps(float(size), seed=round(1000 * float(size)) + round(100 * float(cover)))
    return mix((field > np.quantile(field, 1 - float(cover))).astype(float), light(leaf), light(ground))


def tonal(L: str, spread: str, size: str) -> np.ndarray:
    """Motifs a little lighter than the cloth they lie on."""
    field = np.tanh(3 * lumps(float(size), seed=5)) * float(spread) / 2
    return luminance_of_lightness(np.clip(float(L) + field, 0, 100))[..., None] * np.ones(3)


def medallion(ground: str, centre: str, size: str, moved: str) -> np.ndarray:
    """One big round motif in every 8 inches, in the middle of the petal or moved away from it."""
    x, y = (axis - 4 - float(moved) - nudge for axis, nudge in zip(grid(), (0.37, 0.61), strict=True))
    x, y = ((axis + 4) % 8 - 4 for axis in (x, y))
    share = np.clip((float(size) / 2 + 0.4 - np.hypot(x, y)) * PPI + 0.5, 0, 1)
    return mix(share, light(centre), light(ground))


def multi(L: str, size: str, colours: str) -> np.ndarray:
    """A busy print of many colours, from three value steps under to three above its mean."""
    hues = {"warm": (20, 45, 75, 350), "cool": (160, 200, 250, 290)}[colours]
    first, second = (lumps(float(size), seed=seed + hues[0]) for seed in (1, 2))
    lab = np.zeros((*first.shape, 3))
    lab[..., 0] = float(L)
    for part, (hue, step) in enumerate(zip(hues, (-25, -8, 12, 26), strict=True)):
        chosen = (2 * (first > 0) + (second > 0)) == part
        lab[chosen] = (float(L) + step, 28 * cos(hue * pi / 180), 28 * sin(hue * pi / 180))
    return np.asarray(lin_from_lab(lab))


@cache
def lumps(size: float, *, seed: int) -> np.ndarray:
    """A wrapping field of lumps about `size` inches from one to the next; mean 0, spread 1."""
    side = SIDE_IN * PPI
    frequency = np.hypot(*np.meshgrid(np.fft.fftfreq(side, 1 / PPI), np.fft.fftfreq(side, 1 / PPI)))
    band = np.exp(-(((frequency - 1 / (1.4 * size)) / (0.25 / size)) ** 2))
    noise = np.fft.fft2(np.random.default_rng(seed).standard_normal((side, side)))
    field = np.fft.ifft2(noise * band).real
    return field / field.std()


def right_of_plain_rule(figures: list[float], *, fitted_on: str) -> int:
    """How many pairs a rule of two bounds on one figure gets right: below the lower lost, from the upper clear.

    fitted_on: the half whose best bounds are taken ("tune"), or "all", which lets it see the answers.
    """
    chosen = [i for i, pair in enumerate(pairs()) if fitted_on in ("all", pair.half)]
    marks = np.concatenate([[0.0], np.sort(np.array(figures)) + 1e-9])
    bounds = [(low, high) for i, low in enumerate(marks) for high in marks[i:]]

    def right(which: list[int], low: float, high: float) -> int:
        return sum(plain_word(figures[i], low, high) in pairs()[i].words for i in which)

    low, high = max(bounds, key=lambda each: right(chosen, *each))
    return right(list(range(len(figures))), low, high)


def plain_word(figure: float, low: float, high: float) -> str:
    return "clear" if figure >= high else "soft" if figure >= low else "lost"


def scores() -> dict[str, int]:
    """Pairs, and how many of them our words, the difference of mean L* and CIEDE2000 of the means get right."""
    found = read_all()
    ours = sum(word_of(pair, each) in pair.words for pair, each in zip(pairs(), found, strict=True))
    return {
        "pairs": len(pairs()),
        "pairs_right_ours": ours,
        "pairs_right_dL": right_of_plain_rule([each.reading.diff_L for each in found], fitted_on="tune"),
        "pairs_right_dE00": right_of_plain_rule([each.reading.dE00 for each in found], fitted_on="tune"),
    }
