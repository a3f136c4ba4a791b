"""Flowers, drawn petal by petal. `at` is the middle in inches; the length of `spin` is the radius."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from swatches.demo.canvas import Canvas
from swatches.demo.outlines import disc, petal, ribbon, turns

__all__ = ["Petals", "blossom", "bud", "clover_head", "daisy", "dot", "peony", "poppy"]


@dataclass(frozen=True, slots=True)
class Petals:
    """The inks of one flower, from the rim of its petals to its eye."""

    rim: str
    body: str
    heart: str
    eye: str


def dot(canvas: Canvas, at: complex, radius_in: float, ink: str) -> None:
    """Lay a round dot."""
    canvas.fill(at + radius_in * disc(), ink)


def daisy(
    canvas: Canvas, at: complex, spin: complex, inks: Petals, *, petals: int = 11, double: bool = False
) -> None:
    """Lay a flower of narrow petals round a domed eye; `double` has a second, shorter ring."""
    shape = petal(3.0 / petals, fullness=0.5)
    for turn in turns(petals):
        canvas.fill(at + spin * turn * (0.16 + 0.84 * shape), inks.rim)
    for turn in turns(petals):
        canvas.fill(at + spin * turn * (0.2 + 0.42 * petal(0.13, fullness=-0.2)), inks.heart)
    if double:
        for turn in turns(petals, start_deg=180 / petals):
            canvas.fill(at + spin * turn * (0.1 + 0.56 * shape), inks.body)
    dot(canvas, at, abs(spin) * 0.25, inks.heart)
    dot(canvas, at - 0.03j * abs(spin), abs(spin) * 0.2, inks.eye)


def blossom(canvas: Canvas, at: complex, spin: complex, inks: Petals, *, petals: int = 5) -> None:
    """Lay a flat flower of broad, notched petals, flushed towards the middle, with stamens."""
    shape = petal(1.9 * np.sin(np.pi / petals) * 0.86, fullness=0.9, notch=0.13)
    for turn in turns(petals, start_deg=-90):
        canvas.fill(at + spin * turn * shape, inks.rim)
        canvas.fill(at + spin * turn * (0.04 + 0.84 * shape), inks.body)
    for turn in turns(petals, start_deg=-90):
        for lean, length in ((-0.24, 0.44), (0.0, 0.6), (0.24, 0.44)):
            streak = np.exp(1j * lean) * length * petal(0.11, fullness=-0.3, points=16)
            canvas.fill(at + spin * turn * streak, inks.heart)
    for turn in turns(2 * petals, start_deg=-90 + 90 / petals):
        tip = at + spin * turn * 0.36
        canvas.fill(ribbon(np.linspace(at, tip, 5), 0.035 * abs(spin)), inks.eye)
        dot(canvas, tip, abs(spin) * 0.05, inks.eye)
    dot(canvas, at, abs(spin) * 0.12, inks.eye)


def peony(canvas: Canvas, at: complex, spin: complex, inks: Petals, *, seed: int, rings: int = 4) -> None:
    """Lay a full, many-petalled bloom: ring upon ring of cupped petals, each shaded at its base."""
    rng = np.random.default_rng(seed)
    for ring in range(rings):
        reach = 1 - 0.78 * ring / rings
        count = 9 - ring
        for turn in turns(count, start_deg=float(rng.uniform(0, 360))):
            lean = turn * np.exp(1j * rng.uniform(-0.12, 0.12)) * rng.uniform(0.93, 1.04)
            _cupped_petal(canvas, at, spin * lean * reach, inks, seed=int(rng.integers(1 << 30)))
    for turn in turns(13):
        canvas.fill(at + spin * turn * rng.uniform(0.15, 0.2) * petal(0.22), inks.heart)
    for place in 0.11 * np.sqrt(rng.uniform(0, 1, 26)) * turns(26):
        dot(canvas, at + spin * complex(place), abs(spin) * 0.022, inks.eye)


def _cupped_petal(canvas: Canvas, at: complex, spin: complex, inks: Petals, *, seed: int) -> None:
    rng = np.random.default_rng(seed)
    shape = petal(0.86, fullness=0.95, points=56)
    # A ruffled edge: the rim waves, most of all where the petal is farthest from the middle.
    waves = 0.022 * np.sin(rng.integers(4, 7) * np.angle(shape - 0.55) + rng.uniform(0, 6))
    shape = shape * (1 + waves * np.clip(shape.real, 0, 1) ** 2)
    canvas.fill(at + spin * (shape * 1.018 - 0.005), inks.heart)
    canvas.fill(at + spin * shape, inks.rim)
    canvas.fill(at + spin * (0.9 * shape + 0.02j * rng.uniform(-1, 1)), inks.body)
    for lean, length in zip((-0.3, -0.15, 0.02, 0.17, 0.31), rng.uniform(0.55, 0.8, 5), strict=True):
        vein = np.exp(1j * lean) * length * petal(0.05, fullness=-0.35, points=16)
        canvas.fill(at + spin * (0.12 + 0.85 * vein), inks.heart)
    canvas.fill(at + spin * 0.42 * petal(0.75, fullness=0.7), inks.heart)


def poppy(canvas: Canvas, at: complex, spin: complex, inks: Petals, *, seed: int) -> None:
    """Lay an open poppy: four crumpled petals, dark blotches, a ring of stamens."""
    rng = np.random.default_rng(seed)
    for turn in turns(4, start_deg=20):
        shape = petal(1.25, fullness=0.8, points=56)
        shape = shape * (1 + 0.035 * np.sin(7 * np.angle(shape - 0.5) + rng.uniform(0, 6)) * shape.real)
        canvas.fill(at + spin * turn * (1.03 * shape), inks.heart)
        canvas.fill(at + spin * turn * shape, inks.rim)
        canvas.fill(at + spin * turn * 0.84 * shape, inks.body)
        canvas.fill(at + spin * turn * 0.4 * petal(0.8, fullness=0.9), inks.heart)
    dot(canvas, at, abs(spin) * 0.2, inks.eye)
    for turn in turns(14):
        dot(canvas, at + spin * turn * 0.29, abs(spin) * 0.035, inks.eye)


def clover_head(canvas: Canvas, at: complex, spin: complex, inks: Petals) -> None:
    """Lay a clover flower, seen from the side and held at `at`: a ball of narrow florets in three tiers,
    deeper below than on top."""
    for tier, (count, reach, middle) in enumerate(((15, 0.58, 0.5), (12, 0.47, 0.58), (8, 0.34, 0.66))):
        for index, turn in enumerate(turns(count, start_deg=11 * tier)):
            low = turn.real < -0.25
            ink = inks.heart if low and index % 2 else (inks.rim, inks.body)[(index + tier) % 2]
            canvas.fill(at + spin * (middle + turn * reach * petal(0.36, fullness=0.8, points=20)), ink)


def bud(canvas: Canvas, at: complex, spin: complex, inks: Petals, *, cup: str) -> None:
    """Lay a bud that grows from `at` along `spin`, in its green cup."""
    canvas.fill(at + spin * petal(0.62, fullness=0.1), inks.body)
    canvas.fill(at + spin * (0.04j + 0.95 * petal(0.3, fullness=0.0)), inks.rim)
    for side in (-0.45, 0.45, 0.0):
        canvas.fill(at + spin * np.exp(1j * side) * 0.46 * petal(0.36, fullness=-0.1), cup)
