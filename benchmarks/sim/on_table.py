"""Cloth that ends inside the photograph, and the table beside it, drawn over the whole plane."""

from collections.abc import Callable
from dataclasses import dataclass

import cv2
import numpy as np

__all__ = ["EDGES", "LAYS", "TABLES", "Laid", "lay_cloth"]

TABLES = ("wood", "planks", "white", "dark", "mat", "stone")
EDGES = ("straight", "pinked", "wavy")
LAYS = ("full", "one", "corner", "strip", "island")
"""Cloth everywhere, or ending along one side, two that meet, two opposite ones, or all four."""

_SIDES = {"full": (), "one": (0,), "corner": (0, 1), "strip": (0, 2), "island": (0, 1, 2, 3)}


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """What the plane holds: where cloth is, on a mask of `per_mm` pixels per millimetre."""

    cloth: np.ndarray
    per_mm: float

    def is_cloth(self, mm):
        """Whether each place (n, 2) of the plane is cloth."""
        at = np.floor(np.asarray(mm) * self.per_mm).astype(int)
        rows, columns = self.cloth.shape
        inside = (at >= 0).all(1) & (at[:, 0] < columns) & (at[:, 1] < rows)
        at = np.clip(at, 0, (columns - 1, rows - 1))
        return np.where(inside, self.cloth[at[:, 1], at[:, 0]] > 127, True)


def lay_cloth(
    cloth_srgb8, cloth_ppi, *, lay: str, table: str, edge: str, away_mm, turn_deg: float, seed: int
) -> Callable:
    """What draws that cloth on that table, its middle in the middle of the plane; `away_mm`: of each edge."""

    def dress(canvas, ppmm):
        rng = np.random.default_rng(seed)
        rows, columns = canvas.shape[:2]
        board = _table(table, rows, columns, ppmm, rng)
        # Cloth larger than its picture goes on mirrored: only what lies beside its edges matters here.
        per = cloth_ppi / 25.4 / ppmm
        middle = np.array([columns, rows]) / 2
        turn = np.radians(turn_deg)
        across = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        linear = per * across
        start = np.array(cloth_srgb8.shape[1::-1]) / 2 - linear @ middle
        cloth = cv2.warpAffine(
            cloth_srgb8, np.column_stack([linear, start]), (columns, rows),
            flags=cv2.INTER_AREA | cv2.WARP_INVERSE_MAP, borderMode=cv2.BORDER_REFLECT,
        )  # fmt: skip
        cover = _cover(rows, columns, ppmm, lay, edge, away_mm, across, rng)
        shade = 1 - rng.uniform(0.0, 0.3) * cv2.GaussianBlur(cover, (0, 0), rng.uniform(0.4, 1.2) * ppmm)
        mixed = board * shade[..., None] * (1 - cover[..., None]) + cloth * cover[..., None]
        canvas[:] = np.round(mixed).astype(np.uint8)
        return {"laid": Laid((cover * 255).astype(np.uint8), ppmm)}

    return dress


def _cover(rows, columns, ppmm, lay, edge, away_mm, across, rng):
    """Share of each pixel that cloth covers."""
    x, y = np.meshgrid((np.arange(columns) + 0.5) / ppmm, (np.arange(rows) + 0.5) / ppmm)
    at = np.stack([x - columns / ppmm / 2, y - rows / ppmm / 2], axis=-1) @ across.T
    far = np.full((rows, columns), -1e3)
    for side in _SIDES[lay]:
        skew = np.radians(rng.uniform(-1.5, 1.5))
        u, v = (at[..., 0], at[..., 1]) if side % 2 == 0 else (at[..., 1], at[..., 0])
        u = u if side < 2 else -u
        over = u + np.tan(skew) * v - away_mm[side]
        if edge == "pinked":
            tooth = rng.uniform(4, 6)
            over = over + rng.uniform(1.5, 2.5) * (2 * np.abs((v / tooth) % 1 - 0.5) - 0.5)
        elif edge == "wavy":
            over = over + rng.uniform(0.6, 1.6) * np.sin(v / rng.uniform(8, 18) + rng.uniform(0, 6))
        far = np.maximum(far, over)
    return np.clip(0.5 - far * ppmm, 0, 1).astype(np.float32)


def _table(kind, rows, columns, ppmm, rng):
    """A table top, (rows, columns, 3) in sRGB codes."""
    x, y = np.meshgrid(np.arange(columns) / ppmm, np.arange(rows) / ppmm)
    if kind in ("wood", "planks"):
        base = np.array(
            [(176, 128, 84), (120, 78, 48), (205, 172, 130), (92, 66, 50)][rng.integers(4)], float
        )
        turn = rng.uniform(0, np.pi)
        u, v = x * np.cos(turn) + y * np.sin(turn), -x * np.sin(turn) + y * np.cos(turn)
        grain = _noise(rng, u / 60, v / 3.0) * 0.6 + _noise(rng, u / 25, v / 0.9) * 0.4
        light = 1 + rng.uniform(0.05, 0.2) * grain
        if kind == "planks":
            wide = rng.uniform(60, 110)
            tones = rng.uniform(0.85, 1.12, 40)
            light = light * tones[(np.floor(v / wide).astype(int) % 40)]
            light = np.where(np.abs((v / wide) % 1 - 0.5) > 0.5 - 0.8 / wide, light * 0.55, light)
        return np.clip(base * light[..., None], 0, 255)
    if kind == "mat":
        base = np.array([(38, 92, 74), (60, 66, 74), (34, 70, 120)][rng.integers(3)], float)
        line = np.abs((x / 25.4 + 0.5) % 1 - 0.5) * 25.4 < 0.3
        line |= np.abs((y / 25.4 + 0.5) % 1 - 0.5) * 25.4 < 0.3
        fine = (np.abs((x / 3.175 + 0.5) % 1 - 0.5) * 3.175 < 0.12) & (np.abs((y % 25.4) - 12.7) > 11.6)
        top = np.where((line | fine)[..., None], np.array([214, 208, 150.0]), base)
        return top * (1 + 0.015 * _noise(rng, x / 1.5, y / 1.5))[..., None]
    if kind == "stone":
        base = np.array([(150, 148, 142), (88, 86, 88)][rng.integers(2)], float)
        return np.clip(base * (1 + 0.12 * _noise(rng, x / 2.2, y / 2.2))[..., None], 0, 255)
    code = rng.uniform(222, 246) if kind == "white" else rng.uniform(22, 62)
    tint = np.array([1.0, rng.uniform(0.96, 1.0), rng.uniform(0.9, 1.0)])
    return np.clip(code * tint * (1 + 0.01 * _noise(rng, x / 12, y / 12))[..., None], 0, 255)


def _noise(rng, u, v):
    """Smooth noise of spread about one over a plane given in units of its own grain."""
    seeds = rng.normal(0, 1, (256, 256)).astype(np.float32)
    return cv2.remap(
        seeds, (u % 250).astype(np.float32), (v % 250).astype(np.float32), cv2.INTER_CUBIC,
        borderMode=cv2.BORDER_WRAP,
    )  # fmt: skip
