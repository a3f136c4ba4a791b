"""What lives and grows on the lane: bees, hens, skeps and pears. Upright when `spin` has no turn."""

from __future__ import annotations

import numpy as np

from swatches.demo.blooms import dot
from swatches.demo.canvas import Canvas
from swatches.demo.foliage import leaf_blade
from swatches.demo.outlines import disc, petal, ribbon, spline

__all__ = ["bee", "hen", "pear", "skep"]

_HEN = np.array(
    (
        *(0.40 - 1.0j, 0.53 - 0.92j, 0.53 - 0.78j, 0.59 - 0.52j, 0.45 - 0.26j, 0.12 - 0.15j, -0.24 - 0.24j),
        *(-0.47 - 0.5j, -0.7 - 0.86j, -0.55 - 0.98j, -0.36 - 0.72j, -0.06 - 0.55j, 0.18 - 0.66j, 0.28 - 0.9j),
    )
)
_PEAR = np.array(
    (
        *(0 - 1j, 0.15 - 0.94j, 0.2 - 0.72j, 0.33 - 0.46j, 0.4 - 0.2j, 0.27 + 0.03j, 0 + 0.09j),
        *(-0.27 + 0.03j, -0.4 - 0.2j, -0.33 - 0.46j, -0.2 - 0.72j, -0.15 - 0.94j),
    )
)


def bee(canvas: Canvas, at: complex, spin: complex) -> None:
    """Lay a honeybee seen from above, flying along `spin`; its body is about as long as `spin`."""
    for side in (-1, 1):
        for lean, length in ((1.95, 0.62), (1.35, 0.78)):
            wing = 0.1 + np.exp(1j * side * lean) * length * petal(0.42, fullness=0.6)
            canvas.fill(at + spin * wing, "slate")
            inner = 0.1 + np.exp(1j * side * lean) * (0.05 + length * 0.9 * petal(0.34, fullness=0.6))
            canvas.fill(at + spin * inner, "mist")
        feeler = spline(np.array([0.42, 0.56 + 0.08j * side, 0.66 + 0.2j * side]))
        canvas.fill(at + spin * ribbon(feeler, 0.035), "soot")
    canvas.fill(at + spin * (-0.55 + 0.85 * petal(0.44, fullness=-0.1)), "soot")
    for middle, half in ((-0.32, 0.15), (-0.12, 0.19), (0.08, 0.18)):
        band = spline(np.array([middle - half * 1j, middle - 0.03, middle + half * 1j]))
        canvas.fill(at + spin * ribbon(band, 0.1), "honey")
    canvas.fill(at + spin * (0.22 + 0.17 * disc()), "acorn")
    canvas.fill(at + spin * (0.4 + 0.12 * disc()), "soot")


def hen(canvas: Canvas, at: complex, spin: complex, inks: tuple[str, str]) -> None:
    """Lay a hen of height about 1 that stands at `at` and looks to the right."""
    for foot in (0.02, 0.2):
        leg = np.array([foot - 0.2j, foot - 0.02j])
        canvas.fill(at + spin * ribbon(leg, 0.035), "marigold")
        toes = np.array([foot - 0.06, foot - 0.03j, foot + 0.1])
        canvas.fill(at + spin * ribbon(spline(toes), 0.03), "marigold")
    for place, radius in (
        (0.3 - 1.02j, 0.065),
        (0.39 - 1.06j, 0.075),
        (0.48 - 1.02j, 0.06),
        (0.55 - 0.76j, 0.06),
    ):
        dot(canvas, at + spin * place, abs(spin) * radius, "rosehip")
    canvas.fill(at + spin * np.array([0.5 - 0.93j, 0.68 - 0.86j, 0.5 - 0.82j]), "marigold")
    canvas.fill(at + spin * spline(_HEN, closed=True), inks[0])
    wing = 0.3 - 0.46j - 0.62 * np.exp(0.12j) * petal(0.56, fullness=-0.25)
    canvas.fill(at + spin * wing, inks[1])
    for start in (-0.14, -0.04, 0.06):
        feather = spline(np.array([start - 0.44j, start - 0.1 - 0.36j, start - 0.02 - 0.29j]))
        canvas.fill(at + spin * ribbon(feather, 0.025), inks[0])
    for tip in (-0.6 - 0.86j, -0.5 - 0.88j):
        quill = spline(np.array([-0.33 - 0.52j, -0.42 - 0.68j, tip]))
        canvas.fill(at + spin * ribbon(quill, np.linspace(0.045, 0.015, len(quill))), inks[1])
    dot(canvas, at + spin * (0.42 - 0.89j), abs(spin) * 0.03, "soot")


def skep(canvas: Canvas, at: complex, spin: complex, inks: tuple[str, str]) -> None:
    """Lay a straw beehive of height 1 that stands at `at`: coils of the first ink bound in the second."""
    coils = 6
    for number in range(coils):
        share = (number + 0.5) / coils
        half = 0.5 * np.sqrt(1 - share**2.6) + 0.02
        middle = -(0.09 + 0.86 * number / coils)
        _coil(canvas, at + spin * 1j * middle, spin, half, inks)
    arch = 0.11 * disc()
    door = np.where(arch.imag > 0, arch.real + 0.0j, arch) - 0.04j
    canvas.fill(at + spin * (door * 1.25 + 0.03j), inks[1])
    canvas.fill(at + spin * door, "peat")


def _coil(canvas: Canvas, at: complex, spin: complex, half: float, inks: tuple[str, str]) -> None:
    thick = 0.175
    for grow, ink in ((0.012, inks[1]), (-0.012, inks[0])):
        cap = (thick / 2 + grow) * disc(corners=24)
        long = np.where(cap.real > 0, cap + half - thick / 2, cap - half + thick / 2)
        canvas.fill(at + spin * long, ink)
    for x in np.arange(-half + 0.1, half - 0.06, 0.11):
        stitch = np.array([x - 0.06j, x + 0.03 + 0.06j])
        canvas.fill(at + spin * ribbon(stitch, 0.02), inks[1])


def pear(
    canvas: Canvas, at: complex, spin: complex, inks: tuple[str, str, str], *, greens: tuple[str, str]
) -> None:
    """Lay a pear of height about 1 with its leaf: skin, blush on one cheek, and light on the other."""
    stem = spline(np.array([0 - 0.94j, 0.02 - 1.08j, 0.09 - 1.22j]))
    canvas.fill(at + spin * ribbon(stem, np.linspace(0.04, 0.06, len(stem))), "bark")
    leaf_blade(
        canvas, at + spin * (0.03 - 1.1j), spin * np.exp(2.75j) * 0.55, greens, breadth=0.45, bend=0.15
    )
    body = spline(_PEAR, closed=True)
    canvas.fill(at + spin * body, inks[0])
    cheek = spline(_PEAR[[1, 2, 3, 4, 5, 6]])
    canvas.fill(at + spin * np.concatenate([cheek, (cheek * 0.62 - 0.08j + 0.02)[::-1]]), inks[1])
    canvas.fill(at + spin * (-0.25 - 0.16j + 0.34 * np.exp(-1.3j) * petal(0.2, fullness=-0.1)), inks[2])
    for place in (0.08 - 0.2j, 0.16 - 0.08j, -0.02 - 0.05j, 0.12 - 0.36j, 0.02 - 0.4j):
        dot(canvas, at + spin * place, abs(spin) * 0.016, inks[2])
