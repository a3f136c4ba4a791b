"""Photographs with known truth, made once for all tests of a run."""

from __future__ import annotations

from functools import cache

from benchmarks.sim.fabrics import render
from benchmarks.sim.on_table import lay_cloth
from benchmarks.sim.ours import our_sheet
from benchmarks.sim.shot import Shot, simulate

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


ROOM_MM = {"full": (0, 0, 0, 0), "one": (75, 0, 0, 0), "corner": (80, 62, 0, 0), "island": (80, 62, 84, 60)}
"""How far each edge of the cloth lies from the middle, by how it lies on its table; 0 for no edge there."""


def table_shot(lay: str, cloth: str, table: str, edge: str, *, kind: str, **options: object) -> Shot:
    """A photograph of cloth that ends on a table, with a card or nothing; `options`: of the simulator."""
    picture, _ = render(cloth, 10, 8, 160, 3)
    dress = lay_cloth(
        picture, 160, lay=lay, table=table, edge=edge, away_mm=ROOM_MM[lay], turn_deg=3.0, seed=5
    )
    return simulate(
        picture[:8, :8],
        100,
        kind,
        seed=5,
        keep_canvas=False,
        pad_mm=100,
        dress=dress,
        wrinkle_mm=0.0,
        **options,
    )
