"""Prints drawn with a known way: motifs with an up, laid upright, at two opposite turns, or at any."""

from __future__ import annotations

from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray

from benchmarks.sim.fabrics import circle, flower, leaf
from palettes.encodings import srgb8_to_lin

__all__ = ["UPRIGHT", "Laid", "draw_motifs"]

Laid = Literal["upright", "half turns", "tossed"]
Part = tuple[NDArray[np.float64], int]

_PETAL, _STALK, _LEAF, _EYE = range(4)
UPRIGHT: dict[str, list[Part]] = {
    "sprig": [
        (np.array([[-0.04, -0.1], [0.04, -0.1], [0.04, 0.5], [-0.04, 0.5]]), _STALK),
        (np.add(leaf(0.4, 0.16, 0.6), (0.18, 0.2)), _LEAF),
        (np.add(flower(0.24, 5), (0, -0.25)), _PETAL),
        (np.add(circle(0.07), (0, -0.25)), _EYE),
    ],
    "bird": [
        (leaf(0.7, 0.36, 0.2), _PETAL),
        (np.add(circle(0.15), (0.33, -0.12)), _PETAL),
        (np.array([[0.45, -0.16], [0.62, -0.1], [0.46, -0.06]]), _EYE),
        (np.array([[-0.3, -0.05], [-0.62, -0.25], [-0.5, 0.05]]), _LEAF),
        (np.array([[0.0, 0.15], [0.03, 0.15], [0.05, 0.42], [0.02, 0.42]]), _STALK),
    ],
    "house": [
        (np.array([[-0.3, 0], [0.3, 0], [0.3, 0.4], [-0.3, 0.4]]), _PETAL),
        (np.array([[-0.38, 0], [0, -0.35], [0.38, 0]]), _LEAF),
        (np.array([[-0.05, 0.15], [0.1, 0.15], [0.1, 0.4], [-0.05, 0.4]]), _EYE),
    ],
    "tulip": [
        (np.array([[-0.03, 0], [0.03, 0], [0.05, 0.5], [-0.02, 0.5]]), _STALK),
        (
            np.array([[-0.2, 0], [-0.26, -0.42], [-0.1, -0.22], [0, -0.48], [0.1, -0.22], [0.26, -0.42]]),
            _PETAL,
        ),
        (np.add(leaf(0.5, 0.14, 1.1), (0.14, 0.25)), _LEAF),
    ],
}
_COLOURS = (
    ((242, 176, 30), (31, 143, 163), (184, 53, 75), (255, 255, 255)),
    ((31, 58, 104), (63, 107, 58), (138, 168, 90), (227, 192, 64)),
)
_GROUNDS = ((44, 47, 69), (243, 239, 226))


def draw_motifs(
    kinds: tuple[str, ...], *, laid: Laid, seed: int, ppi: int, size_in: float, shape_in: tuple[float, float]
) -> tuple[NDArray[np.float32], int]:
    """Linear light of cloth without a repeat in sight, a little soft and noisy, and how many motifs lie on it.

    Motifs of the given kinds in about equal parts, each a little larger or smaller and, unless tossed, up to
    a few degrees off.
    """
    rng = np.random.default_rng(seed)
    wide, high = shape_in
    palette, ground = _COLOURS[seed % 2], _GROUNDS[seed % 2]
    picture = np.full((round(high * ppi), round(wide * ppi), 3), ground, np.uint8)
    places: list[NDArray[np.float64]] = []
    for _ in range(3000):
        at = rng.uniform(-0.3, 1.3, 2) * (wide, high)
        if all(np.hypot(*(at - other)) > 1.05 * size_in for other in places):
            places.append(at)
    inside = 0
    for number, at in enumerate(places):
        turn = {
            "upright": 0.0,
            "half turns": np.pi * rng.integers(2),
            "tossed": rng.uniform(0, 2 * np.pi),
        }[laid] + rng.normal(0, 0.05)
        turned = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
        across = size_in * rng.uniform(0.9, 1.1)
        for points, colour in UPRIGHT[kinds[number % len(kinds)]]:
            corners = (points @ turned.T * across + at) * ppi - 0.5
            whole = np.round(corners * 256).astype(np.int32)
            cv2.fillPoly(picture, [whole], palette[colour], lineType=cv2.LINE_AA, shift=8)
        inside += bool((at > 0).all() and (at < (wide, high)).all())
    light = cv2.GaussianBlur(srgb8_to_lin(picture), (0, 0), rng.uniform(0.5, 1.4))
    light = light + rng.normal(0, rng.uniform(0.004, 0.015), light.shape)
    return np.clip(light, 0, 1).astype(np.float32), inside
