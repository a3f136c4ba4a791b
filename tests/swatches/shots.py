"""Photographs with known truth, made once for all tests of a run."""

from __future__ import annotations

from functools import cache

from benchmarks.sim.fabrics import render
from benchmarks.sim.ours import our_sheet
from benchmarks.sim.shot import simulate

SMALL = {"size": (1600, 1200), "canvas_ppmm": 6.5, "keep_canvas": False}
STRAIGHT = {
    "tilt_deg": 6.0,
    "k1": 0.02,
    "cct": 5500.0,
    "awb": 0.8,
    "noise": 0.005,
    "blur_px": 0.8,
    "wrinkle_mm": 0.0,
}


@cache
def sheet_shot(cloth: str = "floral_half", page: str = "A4", seed: int = 1, more: tuple = (), ppi: int = 220):
    """A photograph with the photo sheet over a made-up cloth; `more`: pairs of the simulator's options."""
    picture, info = render(cloth, 7.9, 5.4, ppi, seed)
    options = {**SMALL, **STRAIGHT, "tone": True, **dict(more)}
    return simulate(picture, ppi, "sheet", seed=seed, layout=our_sheet(page), **options), info


@cache
def other_shot(kind: str, cloth: str = "plaid", seed: int = 4, more: tuple = ()):
    """A photograph with a card, a ruler or nothing."""
    picture, info = render(cloth, 9.5, 7.2, 200, seed)
    return simulate(picture, 200, kind, seed=seed, **{**SMALL, **STRAIGHT, **dict(more)}), info
