"""Greys, charts, corrections by eye."""

from __future__ import annotations

import csv
import subprocess
import sys
import warnings
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.encodings import decode, encode, luminance, srgb8_to_lin
from swatches.by_eye import AS_IT_IS, ByEye, ByEyeError, by_eye_from_text, by_eye_text, corrected
from swatches.chart import ChartError, fit_chart, read_chart
from swatches.chart_colours import chart_light
from swatches.grey_curve import fit_grey_curve, gains_from_grey
from swatches.sheet_layout import GREY_STEPS, PAPER_REFLECTANCE
from tests.swatches.pictures import shared, smooth

ROOT = Path(__file__).resolve().parents[2]
GREYS = np.array([PAPER_REFLECTANCE, *GREY_STEPS, 0.045])


def toned(light: np.ndarray) -> np.ndarray:
    coded = encode(np.clip(light, 0, 1))
    return decode(np.clip(coded + 0.045 * np.sin(2 * np.pi * (coded - 0.5)), 0, 1))


def test_grey_curve_undoes_tone_exposure_and_balance() -> None:
    cast = np.array([0.9, 0.8, 0.6])
    curve = fit_grey_curve(toned(GREYS[:, None] * cast), GREYS)
    wanted = np.linspace(0.03, 0.85, 40)[:, None] * np.ones(3)
    stored16 = np.round(toned(wanted * cast) * 65535).astype(np.uint16)
    assert np.abs(encode(curve.light_of(stored16)) - encode(wanted)).max() < 0.015
    assert (np.diff(curve.table, axis=0) >= 0).all()
    assert not curve.table.flags.writeable


def test_single_grey_is_one_gain_a_channel() -> None:
    curve = gains_from_grey((0.3, 0.2, 0.1), reflectance=0.18)
    seen = curve.light_of(np.round(np.array([[0.3, 0.2, 0.1]]) * 65535).astype(np.uint16))
    assert seen == pytest.approx(np.full((1, 3), 0.18), abs=1e-4)


@pytest.mark.parametrize(("edition", "ending"), [("after 2014", "after"), ("before 2014", "before")])
def test_chart_as_published(edition: str, ending: str) -> None:
    lines = (shared("check-values") / "chart24_lab.csv").read_text("utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    if ending == "after":
        codes = np.array([[float(row[f"{c}8_after"]) for c in "RGB"] for row in rows])
        assert np.abs(np.clip(encode(chart_light(edition)), 0, 1) * 255 - codes).max() <= 0.51
    apart = np.abs(chart_light("after 2014") - chart_light("before 2014")).max(axis=1)
    assert 0 < apart.min() < 0.01
    assert apart.max() < 0.06


def test_chart_brings_a_cast_home() -> None:
    truth = np.clip(chart_light("after 2014"), 0.002, 1)
    mixing = np.array([[0.8, 0.15, 0.05], [0.1, 0.7, 0.1], [0.02, 0.1, 0.6]])
    stored = toned(0.9 * truth @ mixing.T)
    fitted = fit_chart(stored)
    seen = fitted.light_of(np.round(stored * 65535).astype(np.uint16))
    assert np.abs(encode(np.clip(seen, 0, 1)) - encode(truth)).mean() < 0.012


def test_chart_is_read_from_its_corners() -> None:
    codes = np.round(np.clip(encode(chart_light("after 2014")), 0, 1) * 255).astype(np.uint8)
    picture = np.full((460, 660, 3), 20, np.uint8)
    for i, code in enumerate(codes):
        x, y = 30 + (i % 6) * 100, 30 + (i // 6) * 100
        picture[y + 8 : y + 92, x + 8 : x + 92] = code
    corners = ((30, 30), (630, 30), (630, 430), (30, 430))
    assert np.abs(read_chart(picture, corners) - srgb8_to_lin(codes)).max() < 1e-6
    with pytest.raises(ChartError, match="white to black"):
        fit_chart(read_chart(picture, corners[2:] + corners[:2]))
    with pytest.raises(ChartError, match="4 corners"):
        read_chart(picture, corners[:3])


def test_too_bright_a_chart_is_refused() -> None:
    stored = np.clip(chart_light("after 2014") * 1.4, 0, 1)
    with pytest.raises(ChartError, match="white as the camera"):
        fit_chart(stored)


def test_correction_by_eye_leaves_the_tile_alone() -> None:
    tile = smooth()
    before = tile.copy()
    assert corrected(tile, AS_IT_IS) is tile
    warmer = corrected(tile, ByEye(warm=60))
    assert np.array_equal(tile, before)
    assert warmer[..., 0].mean() > tile[..., 0].mean()
    assert warmer[..., 2].mean() < tile[..., 2].mean()
    grey = np.full((4, 4, 3), 128, np.uint8)
    kept = luminance(srgb8_to_lin(corrected(grey, ByEye(warm=80, pink=-50))))
    assert kept == pytest.approx(luminance(srgb8_to_lin(grey)), rel=0.02)
    greyed = corrected(tile, ByEye(strong=-100)).astype(int)
    assert np.ptp(greyed, axis=2).max() <= 1


@given(st.tuples(*[st.floats(-100, 100)] * 4))
def test_correction_survives_text(sliders: tuple[float, ...]) -> None:
    by_eye = ByEye(*sliders)
    assert by_eye_from_text(by_eye_text(by_eye)) == by_eye


@pytest.mark.parametrize("text", ["[]", "{", '{"light": "x"}', '{"dark": 1}', '{"warm": 1e9}'])
def test_damaged_corrections_are_told(text: str) -> None:
    with pytest.raises(ByEyeError) as fault:
        by_eye_from_text(text)
    assert fault.value.mend


@pytest.mark.parametrize(
    ("edition", "name"), [("after 2014", "After November 2014"), ("before 2014", "Before November 2014")]
)
def test_chart_as_in_colour_science(edition: str, name: str) -> None:
    """Another library's table and its own way through xyY, Bradford and IEC 61966-2-1."""
    with warnings.catch_warnings(action="ignore"):
        import colour
    chart = colour.CCS_COLOURCHECKERS[f"ColorChecker24 - {name}"]
    xyz = colour.xyY_to_XYZ(np.array(list(chart.data.values())))
    theirs = colour.XYZ_to_RGB(xyz, "sRGB", chart.illuminant, "Bradford")
    assert np.abs(chart_light(edition) - theirs).max() < 2e-4


def test_a_chart_loads_no_library_of_weight() -> None:
    """colour-science takes a second to load and leaves a stand-in for a drawing library that others trip on."""
    asked = "import sys; from swatches.measure import measure_photo; from swatches.chart_colours import chart_light; "
    asked += "chart_light('after 2014'); print('colour' in sys.modules, 'matplotlib' in sys.modules)"
    told = subprocess.run([sys.executable, "-c", asked], capture_output=True, text=True, check=True, cwd=ROOT)
    assert told.stdout.split() == ["False", "False"]
