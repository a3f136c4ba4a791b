"""Blur and a tilted camera, told from a card, a ruler or the cloth alone; truth from the simulator."""

from __future__ import annotations

from math import hypot, pi, sqrt
from pathlib import Path

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from benchmarks.sim.fabrics import lin_to_srgb8, render, weave_factor
from palettes.encodings import srgb8_to_lin
from swatches.blur import OutlineBlur, read_cloth_blur, read_outline_blur
from swatches.card_plane import CardPlane, find_card_plane
from swatches.faults import blur_faults, tilt_faults
from swatches.measure import measure_photo
from swatches.references import Card
from swatches.ruler_scale import RulerTicks, scale_from_ticks
from swatches.scale import TypedPpi
from tests.swatches.shots import other_shot

PPI = 265


def card_shot(**more: float):
    shot, _ = other_shot("card", "dots", 5, tuple(more.items()))
    corners = shot.to_photo(shot.ref["card"]) + 0.5
    return shot, [tuple(corner) for corner in corners]


def plane_of(corners: list[tuple[float, float]]) -> CardPlane:
    return find_card_plane(corners, width_px=1600, height_px=1200)


@pytest.mark.parametrize("tilt_deg", [2.0, 15.0, 33.0])
def test_tilt_from_a_card(tilt_deg: float) -> None:
    _, corners = card_shot(tilt_deg=tilt_deg)
    found = plane_of(corners).tilt_deg
    assert found == pytest.approx(tilt_deg, abs=3)
    assert bool(tilt_faults(found)) is (tilt_deg > 25)


@pytest.mark.parametrize(("tilt_deg", "towards_deg", "along"), [(0, 90, 0), (12, 90, 12), (12, 0, 0)])
def test_tilt_along_a_ruler_and_not_across_it(tilt_deg: float, towards_deg: float, along: float) -> None:
    more = (("tilt_deg", tilt_deg), ("tilt_dir_deg", towards_deg), ("roll_deg", 0.0))
    shot, _ = other_shot("ruler", "plaid", 4, more)
    ruler = shot.ref["ruler"]
    ends = shot.to_photo([(ruler["p0"][0], ruler["y"]), (ruler["p1"][0], ruler["y"])]) + 0.5
    found = scale_from_ticks(shot.rgb, RulerTicks(tuple(ends[0]), tuple(ends[1]))).tilt_deg
    assert found == pytest.approx(along, abs=1.5)
    faults = tilt_faults(ruler_deg=found)
    assert [fault.name for fault in faults] == (["tilted"] if along else [])


@pytest.mark.parametrize("blur_px", [0.8, 4.0])
def test_blur_from_the_outline_of_a_card(blur_px: float) -> None:
    shot, corners = card_shot(blur_px=blur_px)
    found = read_outline_blur(shot.rgb, plane_of(corners))
    assert found is not None
    # JPEG keeps colour at half the pixels, which adds a pixel or so to a sharp edge between two colours.
    assert found.level_px == pytest.approx(hypot(blur_px, 1.0), abs=0.5)
    assert found.upright_px == pytest.approx(found.level_px, abs=0.4)
    assert [fault.name for fault in blur_faults(found, None)] == (["blurred"] if blur_px > 3 else [])


def test_a_camera_that_moved_is_told_from_one_out_of_focus() -> None:
    shot, corners = card_shot(roll_deg=0.0, card_ang=0.0, tilt_deg=1.0)
    moved = cv2.blur(srgb8_to_lin(shot.rgb), (15, 1))
    found = read_outline_blur(lin_to_srgb8(moved), plane_of(corners))
    assert found is not None
    # An edge smeared over 15 pixels is as steep as a Gaussian one of 15 / sqrt(2 pi); along it, it stays sharp.
    assert found.upright_px == pytest.approx(15 / sqrt(2 * pi), abs=0.6)
    assert found.level_px < 2
    (fault,) = blur_faults(found, None)
    assert "sideways: the camera moved" in fault.words
    turned = OutlineBlur(found.upright_in, found.level_in, found.upright_px, found.level_px)
    assert "up and down: the camera moved" in blur_faults(turned, None)[0].words


def as_photographed(cloth: NDArray[np.float32], blur_px: float) -> NDArray[np.float32]:
    """Blurred, with the noise and the JPEG of a phone."""
    seen = cv2.GaussianBlur(cloth, (0, 0), blur_px)
    seen = seen + np.random.default_rng(0).normal(0, 0.003, seen.shape).astype(np.float32)
    codes = lin_to_srgb8(np.clip(seen, 0, 1).astype(np.float32))
    packed = cv2.imencode(".jpg", np.ascontiguousarray(codes), [cv2.IMWRITE_JPEG_QUALITY, 88])[1]
    return srgb8_to_lin(np.ascontiguousarray(cv2.imdecode(packed, cv2.IMREAD_COLOR)))


@pytest.mark.parametrize("name", ["floral_half", "ditsy", "gingham", "stripe", "large_floral"])
def test_blur_from_the_cloth_alone(name: str) -> None:
    cloth = srgb8_to_lin(render(name, 4, 3, PPI, 3)[0])
    assert read_cloth_blur(as_photographed(cloth, 0.9), ppi=PPI) is None
    found = read_cloth_blur(as_photographed(cloth, 4.0), ppi=PPI)
    assert found is not None
    assert not found.moved
    # Told from the sharpest of many edges, so rather too little than too much.
    assert 0.5 * 4 / PPI < found.spread_in < 1.2 * 4 / PPI
    (fault,) = blur_faults(None, found)
    assert fault.words.startswith("It may be blurred")


@pytest.mark.parametrize(
    ("name", "way"),
    [
        ("floral_half", 0),
        ("floral_half", 35),
        ("ditsy", 90),
        ("dots", 20),
        ("gingham", 0),
        ("large_floral", 90),
    ],
)
def test_a_camera_that_moved_is_told_from_the_cloth_alone(name: str, way: float) -> None:
    cloth = srgb8_to_lin(render(name, 4, 3, PPI, 3)[0])
    found = read_cloth_blur(as_photographed(moved(cloth, 14, way), 0.9), ppi=PPI)
    assert found is not None
    assert found.moved
    # Over 14 pixels evenly is as steep as a Gaussian one of 14 / sqrt(2 pi); told from the sharpest corners.
    assert 0.3 * 14 / sqrt(2 * pi) / PPI < found.spread_in < 1.2 * 14 / sqrt(2 * pi) / PPI
    (fault,) = blur_faults(None, found)
    assert "the camera moved" in fault.words


def moved(cloth: NDArray[np.float32], length_px: int, way_deg: float) -> NDArray[np.float32]:
    """As by a camera that moved evenly while the shutter was open: the mean of many shifts."""
    way = np.radians(way_deg)
    total = np.zeros_like(cloth)
    for along in np.linspace(-length_px / 2, length_px / 2, 4 * length_px + 1):
        shift = np.array([[1, 0, along * np.cos(way)], [0, 1, along * np.sin(way)]])
        total += cv2.warpAffine(cloth, shift, cloth.shape[1::-1], borderMode=cv2.BORDER_REFLECT)
    return total / (4 * length_px + 1)


@pytest.mark.parametrize(
    ("name", "seed"),
    [("batik", 3), ("grunge", 3), ("floral_tonal", 3), ("stripe", 12), ("gingham", 11), ("gingham", 13)],
)
def test_a_print_that_is_soft_every_way_is_no_camera_that_moved(name: str, seed: int) -> None:
    cloth = srgb8_to_lin(render(name, 4, 3, PPI, seed)[0])
    assert read_cloth_blur(as_photographed(cloth, 0.9), ppi=PPI) is None


def test_stripes_and_bands_of_shaded_colour_are_no_camera_that_moved() -> None:
    # Soft bands across and sharp stripes along would be one; bands of less contrast than the stripes are not.
    x, y = np.meshgrid(np.arange(1000) / PPI, np.arange(800) / PPI)
    stripes = 0.15 + 0.6 * (np.sin(2 * np.pi * x / 0.4) > 0)
    cloth = (stripes * (1 + 0.1 * np.sin(2 * np.pi * y / 0.8)))[..., None] * np.ones(3)
    assert read_cloth_blur(as_photographed(cloth.astype(np.float32), 0.9), ppi=PPI) is None


def test_a_soft_print_is_not_called_blurred_while_threads_are_seen() -> None:
    rng = np.random.default_rng(1)
    wash = sum(
        cv2.GaussianBlur(rng.standard_normal((800, 1060)).astype(np.float32), (0, 0), s) * s for s in (13, 40)
    )
    wash = (wash - wash.min()) / np.ptp(wash)
    cloth = (0.03 + 0.6 * wash) * weave_factor(800, 1060, PPI, amp=0.05, rng=rng)
    print_lin = np.repeat(cloth[..., None], 3, axis=2).astype(np.float32)
    assert read_cloth_blur(as_photographed(print_lin, 0.9), ppi=PPI) is None
    assert read_cloth_blur(as_photographed(print_lin, 4.0), ppi=PPI) is not None


def test_what_cannot_be_told_is_not_said() -> None:
    plain = np.full((600, 800, 3), 0.4, np.float32)
    assert read_cloth_blur(as_photographed(plain, 4.0), ppi=PPI) is None
    dots = srgb8_to_lin(render("dots", 4, 3, 120, 3)[0])
    assert read_cloth_blur(as_photographed(dots, 4.0), ppi=120) is None
    assert blur_faults(None, None) == ()


def test_measuring_names_blur_and_tilt_without_the_sheet(tmp_path: Path) -> None:
    shot, corners = card_shot(tilt_deg=30.0, blur_px=4.0, vignette=0.1, gradient=0.1)
    path = tmp_path / "a.jpg"
    path.write_bytes(shot.jpeg)
    card = Card((corners[0], corners[1], corners[2], corners[3]), exact=True)
    beside = measure_photo(path, name="dots", reference=card)
    assert {"blurred", "tilted"} <= {fault.name for fault in beside.faults}
    sharp, _ = other_shot("none", "dots", 5, (("fill", 1.25), ("vignette", 0.1), ("gradient", 0.1)))
    path.write_bytes(sharp.jpeg)
    alone = measure_photo(path, name="dots", reference=TypedPpi(210))
    assert not {"blurred", "tilted"} & {fault.name for fault in alone.faults}
