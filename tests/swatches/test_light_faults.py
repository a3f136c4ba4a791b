"""Glare and places too bright to store, said of those and of nothing that only looks so."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from benchmarks.sim.fabrics import render
from palettes.encodings import lin16_of_srgb8, srgb8_to_lin
from swatches.clipping import clipped_share
from swatches.decode import read_photo
from swatches.glare import has_glare
from tests.swatches.pictures import shared

PPI = 110


def cloth(name: str, seed: int = 42) -> NDArray[np.float32]:
    return srgb8_to_lin(render(name, 8, 6, PPI, seed)[0])


def spot(shape: tuple[int, ...], *, across: float = 0.5, down: float = 0.5) -> NDArray[np.float64]:
    """A lamp's reflection, soft all round: 1 in its middle, a half 0.8 inches from there."""
    y, x = np.mgrid[: shape[0], : shape[1]] / PPI
    far2 = (x - across * shape[1] / PPI) ** 2 + (y - down * shape[0] / PPI) ** 2
    return 0.5 ** (far2 / 0.8**2)


@pytest.mark.parametrize(
    "name", ["dots", "plaid", "floral_tonal", "toss_norepeat", "ditsy", "batik", "solid"]
)
def test_glare_is_seen_on_prints_pale_and_dark(name: str) -> None:
    even = 0.8 * cloth(name)
    assert not has_glare(even, ppi=PPI)
    for across in (0.3, 0.55):
        light = np.clip(even + 0.4 * spot(even.shape, across=across)[..., None], 0, 1)
        assert has_glare(light.astype(np.float32), ppi=PPI)


def test_a_large_white_motif_is_no_glare() -> None:
    # White dots on dark cloth, and one bloom of plain white with a soft edge.
    even = 0.8 * cloth("toss_norepeat")
    bloom = spot(even.shape)[..., None] ** 2
    assert has_glare(np.clip(even + 0.5 * bloom, 0, 1).astype(np.float32), ppi=PPI)
    assert not has_glare((even * (1 - bloom) + 0.7 * bloom).astype(np.float32), ppi=PPI)


@pytest.mark.parametrize(
    "name", ["print_morris_trent_1888.jpg", "embroidery_morris_acanthus_1890.jpg", "plaid_acg_fabric080.jpg"]
)
def test_pale_parts_of_real_cloth_are_no_glare(name: str) -> None:
    photo = read_photo(shared("cloth") / name)
    assert not has_glare(srgb8_to_lin(photo.srgb8), ppi=PPI)


def test_full_patches_are_counted_and_lone_full_pixels_are_not() -> None:
    stored = np.full((240, 240, 3), 30000, np.uint16)
    stored[:120, :60, 1] = 65535
    assert clipped_share(stored, ppi=48) == pytest.approx(1 / 8)
    stored[:] = 30000
    # Every fourth pixel, as the weave's highlights or noise would be.
    stored[::2, ::2] = 65535
    assert clipped_share(stored, ppi=96) == 0
    # Two threads of three.
    stored[np.arange(240) % 3 != 0] = 65535
    assert clipped_share(stored, ppi=96) > 0.9


def test_a_photograph_taken_too_bright_has_clipped_places() -> None:
    even = cloth("floral_half") / 0.35
    stored = lin16_of_srgb8()[np.round(np.clip(even, 0, 1) ** (1 / 2.2) * 255).astype(np.uint8)]
    truth = float((even.max(axis=2) >= 1).mean())
    assert truth > 0.05
    assert clipped_share(stored, ppi=PPI) == pytest.approx(truth, abs=0.03)


@pytest.mark.parametrize(
    "name",
    [
        "print_morris_cherwell_1887.jpg",
        "print_morris_wild_tulip_yellow_1884.jpg",
        "print_morris_trent_1888.jpg",
    ],
)
def test_real_cloth_with_full_pixels_beside_its_edges_is_not_too_bright(name: str) -> None:
    photo = read_photo(shared("cloth") / name)
    assert (photo.srgb8 == 255).any(axis=2).mean() > 0.01
    assert clipped_share(lin16_of_srgb8()[photo.srgb8], ppi=PPI) < 0.002
