"""Closed outlines that prints are drawn with, as complex numbers: x to the right, y (imaginary) down.

A shape is made about the origin in units of its own, and laid on the cloth by `at + spin * outline`:
`at` is the place in inches, and `spin` holds the size (its length) and the turn (its direction) at once.
Long shapes grow from 0 towards 1, so that the base of a petal or a leaf is where it is held.
"""

from __future__ import annotations

from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

__all__ = ["Outline", "blob", "disc", "leaf", "petal", "ribbon", "spline", "turns"]

Outline: TypeAlias = NDArray[np.complexfloating[Any, Any]]


def turns(count: int, *, start_deg: float = 0.0) -> Outline:
    """`count` directions evenly round the circle, clockwise as seen, each of length 1."""
    angle = np.radians(start_deg) + 2 * np.pi * np.arange(count) / count
    circle: Outline = np.exp(1j * angle)
    return circle


def disc(*, corners: int = 40) -> Outline:
    """A circle of radius 1 about the origin; its polygon has the circle's own area."""
    area_share = float(np.sin(2 * np.pi / corners) * corners / (2 * np.pi))
    circle: Outline = turns(corners) * area_share**-0.5
    return circle


def petal(breadth: float, *, fullness: float = 0.6, notch: float = 0.0, points: int = 36) -> Outline:
    """A petal from 0 to 1, `breadth` wide at its widest.

    `fullness` 0 is an ellipse; more moves the widest place towards the tip and narrows the base.
    `notch` dents the tip, as on an apple blossom.
    """
    u = 2 * np.pi * (np.arange(points) + 0.5) / points
    along = (1 - np.cos(u)) / 2
    across = np.sin(u) * along**fullness
    across *= breadth / (across.max() - across.min())
    dent = notch * np.exp(-(((u - np.pi) / 0.45) ** 2))
    return (along - dent) + 1j * across


def leaf(breadth: float, *, belly: float = 1.0, bend: float = 0.0, points: int = 32) -> Outline:
    """A leaf from 0 to about 1, pointed at both ends; `bend` curves it sideways, `belly` below 1 moves
    its widest place towards the stalk."""
    t = np.linspace(0, 1, points // 2)
    half = np.sin(np.pi * t**belly) ** 1.25
    half *= breadth / (2 * half.max())
    side = 1j * bend * t**2
    return np.concatenate([t - 1j * half + side, (t + 1j * half + side)[-2:0:-1]])


def blob(seed: int, *, roughness: float = 0.12, points: int = 48, waves: int = 5) -> Outline:
    """A rounded, irregular closed shape of mean radius 1: a pebble, a stain, the edge of a bloom."""
    rng = np.random.default_rng(seed)
    angle = 2 * np.pi * np.arange(points) / points
    radius = np.ones(points)
    for order in range(2, waves + 1):
        radius += roughness / (order - 1) * rng.uniform(-1, 1) * np.cos(order * angle + rng.uniform(0, 6.3))
    return radius * np.cos(angle) + 1j * radius * np.sin(angle)


def spline(knots: Outline, *, closed: bool = False, steps: int = 8) -> Outline:
    """A smooth curve through the knots (a Catmull-Rom spline with even parameters)."""
    if closed:
        padded = np.concatenate([knots[-1:], knots, knots[:2]])
    else:
        padded = np.concatenate([2 * knots[:1] - knots[1:2], knots, 2 * knots[-1:] - knots[-2:-1]])
    a, b, c, d = (padded[i : len(padded) - 3 + i, None] for i in range(4))
    t = np.arange(steps) / steps
    curve = 0.5 * (2 * b + (c - a) * t + (2 * a - 5 * b + 4 * c - d) * t**2 + (3 * (b - c) + d - a) * t**3)
    return curve.ravel() if closed else np.append(curve.ravel(), knots[-1])


def ribbon(path: Outline, width: float | NDArray[np.float64]) -> Outline:
    """The outline of a line of the given width (one, or one for every point) along an open path."""
    along = np.gradient(path)
    normal = 1j * along / np.maximum(np.abs(along), 1e-12) * (np.asarray(width) / 2)
    return np.concatenate([path + normal, (path - normal)[::-1]])
