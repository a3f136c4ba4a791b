"""Leaves, sprays, sprigs and grasses. Stalks start at `at` and grow along `spin`, whose length is theirs."""

from __future__ import annotations

import numpy as np

from swatches.demo.canvas import Canvas
from swatches.demo.outlines import Outline, disc, leaf, petal, ribbon, spline

__all__ = ["berry_twig", "fern_frond", "grass_ear", "leaf_blade", "spray", "stalk", "trefoil"]


def stalk(canvas: Canvas, path: Outline, width_in: float, ink: str) -> None:
    """Lay a stalk that thins towards its tip."""
    canvas.fill(ribbon(path, width_in * np.linspace(1.15, 0.55, len(path))), ink)


def leaf_blade(
    canvas: Canvas,
    at: complex,
    spin: complex,
    inks: tuple[str, str],
    *,
    breadth: float = 0.42,
    bend: float = 0.0,
    veins: int = 0,
) -> None:
    """Lay a leaf in the first ink with one half and its veins in the second."""
    whole = leaf(breadth, bend=bend, points=48)
    canvas.fill(at + spin * whole, inks[0])
    rib = np.linspace(0, 1, 24)
    rib = rib + 1j * bend * rib**2
    canvas.fill(at + spin * np.concatenate([rib[:-1], whole[24:]]), inks[1])
    for share in np.linspace(0.12, 0.74, veins):
        root = share + 1j * bend * share**2
        out = 0.42 * breadth * np.sin(np.pi * (share + 0.16)) ** 1.25
        for side, ink in ((-1, inks[1]), (1, inks[0])):
            vein = spline(np.array([root, root + 0.06 + 0.5j * side * out, root + 0.16 + 0.95j * side * out]))
            canvas.fill(at + spin * ribbon(vein, np.linspace(0.018, 0.004, len(vein))), ink)


def spray(
    canvas: Canvas,
    at: complex,
    spin: complex,
    inks: tuple[str, str],
    *,
    pairs: int = 4,
    leaf_share: float = 0.38,
    curve: float = 0.12,
    breadth: float = 0.4,
) -> None:
    """Lay a stalk with leaves in pairs, smaller towards the tip, and one leaf at the end."""
    t = np.linspace(0, 1, 20)
    path = at + spin * (t + 1j * curve * np.sin(np.pi * t))
    stalk(canvas, path, 0.035 * abs(spin), inks[1])
    for number in range(pairs):
        share = 0.18 + 0.7 * number / pairs
        root = spin * (share + 1j * curve * np.sin(np.pi * share))
        lean = np.exp(1j * curve * np.pi * np.cos(np.pi * share))
        size = leaf_share * (1 - 0.45 * number / pairs)
        for side in (-1, 1):
            turn = lean * np.exp(0.85j * side) * size
            leaf_blade(canvas, at + root, spin * turn, inks, breadth=breadth, bend=-0.1 * side)
    tip = np.exp(-1j * curve * np.pi)
    leaf_blade(canvas, path[-1] - 0.04 * spin, spin * tip * leaf_share * 0.72, inks, breadth=breadth)


def trefoil(canvas: Canvas, at: complex, spin: complex, inks: tuple[str, str]) -> None:
    """Lay a clover leaf: three notched leaflets, each with a paler band."""
    for turn in np.exp(1j * np.radians([-112.0, 0.0, 112.0])):
        canvas.fill(at + spin * turn * petal(0.86, fullness=0.8, notch=0.1), inks[0])
        band = np.array([0.36 - 0.27j, 0.62 + 0j, 0.36 + 0.27j])
        canvas.fill(at + spin * turn * ribbon(spline(band), 0.09), inks[1])


def fern_frond(
    canvas: Canvas, at: complex, spin: complex, ink: str, *, pairs: int = 11, curve: float = 0.15
) -> None:
    """Lay a fern: a curved rib with narrow leaflets that shorten towards the tip."""
    t = np.linspace(0, 1, 24)
    stalk(canvas, at + spin * (t + 1j * curve * t**2), 0.022 * abs(spin), ink)
    for share in np.linspace(0.12, 0.97, pairs):
        root = at + spin * (share + 1j * curve * share**2)
        lean = np.exp(2j * curve * share)
        # Longest a third of the way up; narrow enough for the ground to show between.
        size = 0.4 * np.sin(np.pi * (0.06 + 0.94 * share) ** 0.62) + 0.03
        for side in (-1, 1):
            blade = leaf(min(0.62 / pairs / size, 0.3), bend=-0.14 * side, points=24)
            canvas.fill(root + spin * lean * np.exp(1.05j * side) * size * blade, ink)


def grass_ear(
    canvas: Canvas, at: complex, spin: complex, inks: tuple[str, str], *, sway: float = 0.1
) -> None:
    """Lay a blade of grass with its ear of seeds on the upper third."""
    t = np.linspace(0, 1, 20)
    path = at + spin * (t + 1j * sway * t**2)
    stalk(canvas, path, 0.018 * abs(spin), inks[0])
    for number, share in enumerate(np.linspace(0.6, 1.0, 9)):
        root = at + spin * (share + 1j * sway * share**2)
        turn = np.exp(1j * (2 * sway * share + (0.5 if number % 2 else -0.5)))
        canvas.fill(root + spin * turn * 0.1 * petal(0.36, fullness=0.0, points=16), inks[1])


def berry_twig(
    canvas: Canvas, at: complex, spin: complex, inks: tuple[str, str, str], *, berries: int = 7
) -> None:
    """Lay a forked twig in the first ink with berries in the second, each with a spark of the third."""
    for number, share in enumerate(np.linspace(0.45, 1.0, berries)):
        side = 1 if number % 2 else -1
        root, tip = spin * 0.72 * share, spin * (share + 0.26j * side * (1.15 - share))
        path = at + spline(np.array([0, root * 0.9, tip]))
        stalk(canvas, path, 0.03 * abs(spin), inks[0])
        radius = 0.075 * abs(spin)
        canvas.fill(at + tip + radius * disc(corners=24), inks[1])
        canvas.fill(at + tip - (0.3 + 0.3j) * radius + 0.28 * radius * disc(corners=12), inks[2])
