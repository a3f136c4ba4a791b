"""A 24-patch chart found without a click: every way round, shaded, on prints; nothing else taken for it."""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageCms

from benchmarks.sim.chart_shot import ChartShot, chart_shot
from benchmarks.sim.fabrics import render
from benchmarks.sim.spectra import Spectra, read_spectra, stored_of
from palettes.difference import ciede2000
from palettes.encodings import encode
from palettes.lightness import lab_from_lin
from swatches.chart import ChartError, fit_chart, read_chart
from swatches.chart_colours import chart_light
from swatches.chart_find import find_chart, from_dark_skin
from swatches.clicks import PointError
from swatches.decode import read_photo
from tests.swatches.pictures import shared


@cache
def spectra() -> Spectra:
    return read_spectra()


@cache
def shot(seed: int, lamp: str, more: tuple = ()) -> ChartShot:
    """A photograph by a measured camera under a measured lamp, as in the benchmark."""
    options = dict(more)
    see = spectra().camera(seed % 2, lamp, balance=0.75)
    patches = np.clip(see(spectra().chart), 0, None)
    if options.get("kind") == "other":
        chosen = np.random.default_rng(seed).permutation(99)[:24]
        patches = np.clip(see(spectra().cloth[chosen]), 0, None)
    white = see(np.ones_like(spectra().wave)[None])[0]
    return chart_shot(seed, patches_lin=patches, cast=white, size=(1600, 1200), **options)


def patches_off(photo: ChartShot, corners: object) -> float:
    """How far the worst corner lies from the truth, in patches."""
    side = np.hypot(*(photo.corners_px[1] - photo.corners_px[0])) / 6
    return float(np.hypot(*(np.array(corners) - photo.corners_px).T).max() / side)


@pytest.mark.parametrize(
    ("seed", "lamp", "more"),
    [
        (1, "D50", {"turn_deg": 0.0, "share": 0.3}),
        (2, "A", {"turn_deg": 91.0, "share": 0.2, "tilt_deg": 25.0}),
        (3, "FL11", {"turn_deg": 183.0, "share": 0.12, "gap": 0.0}),
        (4, "LED-B1", {"turn_deg": 268.0, "share": 0.4, "frame": 0.8}),
        (5, "FL2", {"turn_deg": 45.0, "share": 0.065, "cloth": "gingham", "gap": 0.12}),
        (6, "D75", {"turn_deg": 320.0, "share": 0.15, "shade": "edge", "depth": 0.5, "cloth": "plaid"}),
        (7, "LED-V1", {"turn_deg": 135.0, "share": 0.25, "shade": "slope", "depth": 0.5, "gap": 0.0}),
    ],
)
def test_chart_is_found(seed: int, lamp: str, more: dict) -> None:
    photo = shot(seed, lamp, tuple(more.items()))
    found = find_chart(photo.rgb)
    assert patches_off(photo, found.corners_px) < 0.15
    assert found.likeness > 0.8


@pytest.mark.parametrize("kind", ["none", "mirrored", "other"])
@pytest.mark.parametrize("cloth", ["gingham", "ditsy"])
def test_nothing_else_is_taken_for_a_chart(kind: str, cloth: str) -> None:
    photo = shot(11, "D50", (("kind", kind), ("cloth", cloth), ("share", 0.2)))
    with pytest.raises(ChartError, match="No 24-patch chart") as fault:
        find_chart(photo.rgb)
    assert "four corners" in fault.value.mend


def test_real_cloth_and_other_colour_fields_are_no_chart() -> None:
    files = [*sorted(shared("cloth").glob("*.jpg"))[::3], shared("photos") / "00_chart_reference_srgb.png"]
    assert len(files) > 5
    for file in files:
        with pytest.raises(ChartError):
            find_chart(read_photo(file).srgb8)


def test_a_colour_is_brought_home_by_the_found_chart() -> None:
    """99 reflectances of CIE 224 as a camera measured by NPL sees them, against their CIELAB under D65."""
    photo = shot(1, "D50", (("turn_deg", 20.0), ("share", 0.3), ("shade", "")))
    fitted = fit_chart(read_chart(photo.rgb, find_chart(photo.rgb).corners_px), edition="before 2014")
    assert fitted.misfit < 2
    see = spectra().camera(1, "D50", balance=0.75)
    stored = stored_of(see(spectra().cloth) * photo.light)
    light = fitted.light_of(np.round(stored * 65535).astype(np.uint16))
    assert ciede2000(lab_from_lin(np.clip(light, 0, 1)), spectra().cloth_lab).mean() < 2.6


def test_half_a_chart_in_shadow_is_not_believed() -> None:
    see = spectra().camera(0, "D50", balance=1.0)
    light = np.clip(see(spectra().chart), 0, None)
    share = np.where(np.arange(24) % 6 < 3, 0.9, 0.9 * 0.55)[:, None]
    assert fit_chart(stored_of(light * 0.9), edition="before 2014").misfit < 1.5
    with pytest.raises(ChartError, match="in shadow") as fault:
        fit_chart(stored_of(light * share), edition="before 2014")
    assert "even light" in fault.value.mend


def flat_chart(side: int = 40, gap: int = 4) -> tuple[np.ndarray, np.ndarray]:
    """A chart square on between prints, in sRGB, and its corners round from dark skin."""
    cloth, _ = render("floral_grid", 6.0, 4.0, 100, 3)
    codes = np.round(np.clip(encode(chart_light("after 2014")), 0, 1) * 255).astype(np.uint8)
    picture, left, top = cloth.copy(), 160, 90
    picture[top - 12 : top + 4 * side + 12, left - 12 : left + 6 * side + 12] = 40
    for i, code in enumerate(codes):
        x, y = left + (i % 6) * side, top + (i // 6) * side
        picture[y + gap // 2 : y + side - gap // 2, x + gap // 2 : x + side - gap // 2] = code
    half = gap / 2
    right, low = left + 6 * side - half, top + 4 * side - half
    return picture, np.array(
        [[left + half, top + half], [right, top + half], [right, low], [left + half, low]]
    )


@pytest.mark.parametrize(
    "file", ["icc_srgb2.jpg", "icc_p3.jpg", "icc_adobe.jpg", "icc_prophoto.jpg", "icc_rec2020.jpg"]
)
def test_chart_is_found_in_wide_spaces(tmp_path: Path, file: str) -> None:
    """The chart encoded by LittleCMS with the profiles of outside pictures; colours are read as published."""
    with Image.open(shared("photos") / file) as outside:
        profile = outside.info["icc_profile"]
    picture, corners = flat_chart()
    turned = ImageCms.profileToProfile(
        Image.fromarray(picture),
        ImageCms.createProfile("sRGB"),
        ImageCms.ImageCmsProfile(io.BytesIO(profile)),
    )
    assert isinstance(turned, Image.Image)
    turned.save(tmp_path / "chart.png", icc_profile=profile)
    photo = read_photo(tmp_path / "chart.png").srgb8
    found = find_chart(photo)
    assert np.abs(np.array(found.corners_px) - corners).max() < 4
    lab = lab_from_lin(np.clip(read_chart(photo, found.corners_px), 0, 1))
    assert np.median(ciede2000(lab, lab_from_lin(np.clip(chart_light("after 2014"), 0, 1)))) < 1


def test_marking_may_begin_at_any_corner() -> None:
    picture, corners = flat_chart()
    wanted = [tuple(corner) for corner in corners]
    for turn in range(4):
        order = wanted[turn:] + wanted[:turn]
        assert list(from_dark_skin(picture, order)) == wanted
        assert list(from_dark_skin(picture, order[::-1])) == wanted
    away = [(x - 150, y) for x, y in wanted]
    with pytest.raises(ChartError, match="do not lie as"):
        from_dark_skin(picture, away)
    with pytest.raises(ChartError, match="4 corners"):
        from_dark_skin(picture, wanted[:3])
    with pytest.raises(PointError):
        from_dark_skin(picture, [(-5.0, 0.0), *wanted[1:]])


def test_part_of_a_chart_is_refused() -> None:
    picture, _ = flat_chart()
    with pytest.raises(ChartError, match="No 24-patch chart"):
        find_chart(np.ascontiguousarray(picture[:, 250:]))
    with pytest.raises(ChartError, match="No 24-patch chart"):
        find_chart(np.full((40, 60, 3), 128, np.uint8))
