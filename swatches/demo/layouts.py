"""Where motifs stand in one repeat: on lattices, or tossed so that none touches another."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from swatches.demo.outlines import Outline

__all__ = ["brick", "grid", "half_drop", "spins", "toss"]


def grid(size_in: tuple[float, float], *, across: int, down: int) -> Outline:
    """Places on a square lattice, each in the middle of its cell; row by row."""
    return _cells(size_in, across, down).ravel()


def half_drop(size_in: tuple[float, float], *, across: int, down: int) -> Outline:
    """Places in columns, every second column dropped by half a cell; `across` must be even."""
    places = _cells(size_in, across, down)
    places[:, 1::2] += 0.5j * size_in[1] / down
    return places.ravel()


def brick(size_in: tuple[float, float], *, across: int, down: int) -> Outline:
    """Places in rows, every second row moved along by half a cell; `down` must be even."""
    places = _cells(size_in, across, down)
    places[1::2] += 0.5 * size_in[0] / across
    return places.ravel()


def toss(
    size_in: tuple[float, float],
    radii_in: Sequence[float],
    *,
    seed: int,
    standing: Sequence[tuple[complex, float]] = (),
    tries: int = 60,
) -> Outline:
    """A place for a disc of every radius, in the order given, each as clear of the others as it can be.

    `standing` are places and radii that are taken already. Of `tries` places the one with most room is
    kept, so the cloth fills evenly; across the edges of the tile too. Large radii should come first.
    """
    rng = np.random.default_rng(seed)
    width, height = size_in
    taken = [place for place, _ in standing]
    room = [radius for _, radius in standing]
    for radius in radii_in:
        trial = rng.uniform(0, width, tries) + 1j * rng.uniform(0, height, tries)
        if taken:
            apart = trial[:, None] - np.array(taken)
            dx = (apart.real + width / 2) % width - width / 2
            dy = (apart.imag + height / 2) % height - height / 2
            clear = np.hypot(dx, dy) - np.array(room) - radius
            trial = trial[[int(clear.min(axis=1).argmax())]]
        taken.append(complex(trial[0]))
        room.append(radius)
    return np.array(taken[len(standing) :])


def spins(count: int, *, seed: int, size_in: float, vary: float = 0.15) -> Outline:
    """Turns all round, even but shuffled, with sizes that differ a little: tossed motifs have no top."""
    rng = np.random.default_rng(seed)
    angle = rng.permutation(count) * 2 * np.pi / count + rng.uniform(-0.3, 0.3, count)
    size = size_in * rng.uniform(1 - vary, 1 + vary, count)
    return size * np.cos(angle) + 1j * size * np.sin(angle)


def _cells(size_in: tuple[float, float], across: int, down: int) -> Outline:
    x = (np.arange(across) + 0.5) * size_in[0] / across
    y = (np.arange(down) + 0.5) * size_in[1] / down
    return x[None, :] + 1j * y[:, None]
