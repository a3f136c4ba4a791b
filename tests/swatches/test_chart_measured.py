"""A chart in the photograph from the file to the swatch: beside a sheet, a card, or nothing but a known ppi."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from benchmarks.sim.fabrics import render
from benchmarks.sim.ours import our_sheet
from benchmarks.sim.shot import Shot, simulate
from benchmarks.sim.spectra import LAMPS, read_spectra, stored_of
from palettes.difference import ciede2000
from palettes.encodings import encode, srgb8_to_lin
from palettes.lightness import lab_from_lin
from swatches.chart import fit_chart
from swatches.chart_aside import beside_chart
from swatches.crop import Crop
from swatches.grey_curve import fit_grey_curve, gains_from_grey
from swatches.measure import Measured, measure_photo
from swatches.references import Card, Chart, GreyCard, PhotoSheet, TypedPpi
from swatches.sheet_layout import GREY_STEPS, INK_REFLECTANCE, PAPER_REFLECTANCE
from swatches.swatch import make_swatch
from swatches.trust import colour_words, trust_words
from tests.swatches.charts import with_chart
from tests.swatches.pictures import saved
from tests.swatches.shots import SMALL, STRAIGHT


@cache
def chart_in_sheet() -> tuple[Shot, np.ndarray]:
    """A photograph with the sheet and a chart in its window, warm light, and the cloth's true mean colour."""
    cloth, _ = render("grunge", 7.9, 5.4, 220, 3)
    options = {**SMALL, **STRAIGHT, "cct": 3000.0, "awb": 0.5, "gradient": 0.35, "tone": True}
    laid = with_chart(cloth, ppi=220, at_in=(0.6, 2.6))
    shot = simulate(laid, 220, "sheet", seed=3, layout=our_sheet("A4"), **options)
    return shot, lab_from_lin(srgb8_to_lin(cloth).reshape(-1, 3).mean(axis=0))


def off_from(measured: Measured, wanted_lab: np.ndarray) -> float:
    light = srgb8_to_lin(measured.swatch.tile_srgb8).reshape(-1, 3).mean(axis=0)
    return float(ciede2000(lab_from_lin(light), wanted_lab))


def test_chart_improves_on_the_sheet_in_uneven_warm_light(tmp_path: Path) -> None:
    shot, truth = chart_in_sheet()
    file = tmp_path / "cloth.jpg"
    file.write_bytes(shot.jpeg)
    greys = measure_photo(file, name="g", reference=PhotoSheet(), crop=Crop(4, 0, 6.5, 3.7, "in"))
    both = measure_photo(file, name="c", reference=PhotoSheet(), colour=Chart())
    assert off_from(both, truth) < min(1.5, off_from(greys, truth))
    assert both.swatch.colour_from == "chart"
    assert "found by itself" in both.swatch.colour_note
    assert "beside the chart" in both.swatch.colour_note
    assert both.chart_px is not None
    assert "chart on the cloth" not in [fault.name for fault in both.faults]
    assert "colour: 24-patch chart" in trust_words(both.swatch)
    pointed = measure_photo(file, name="p", reference=PhotoSheet(), colour=GreyCard((50.0, 50.0)))
    assert "not used" in pointed.swatch.colour_note


def test_chart_in_the_crop_is_told(tmp_path: Path) -> None:
    shot, _ = chart_in_sheet()
    file = tmp_path / "cloth.jpg"
    file.write_bytes(shot.jpeg)
    crop = Crop(0, 0, 4, 3.7, "in")
    measured = measure_photo(file, name="c", reference=PhotoSheet(), colour=Chart(), crop=crop)
    assert [fault.mend for fault in measured.faults if fault.name == "chart on the cloth"] == [
        "Crop to cloth alone, or lay the chart further aside."
    ]


def test_flat_scan_and_card_with_a_chart(tmp_path: Path) -> None:
    cloth, _ = render("gingham", 6.0, 4.5, 150, 2)
    truth = lab_from_lin(srgb8_to_lin(cloth).reshape(-1, 3).mean(axis=0))
    laid = with_chart(cloth, ppi=150, at_in=(0.5, 0.5), step_in=0.3)
    tinted = encode(np.clip(srgb8_to_lin(laid) * (0.9, 0.75, 0.5), 0, 1))
    scan = saved(tmp_path / "scan.png", np.round(tinted * 255).astype(np.uint8))
    plain = measure_photo(scan, name="p", reference=TypedPpi(150))
    measured = measure_photo(scan, name="c", reference=TypedPpi(150), colour=Chart())
    assert off_from(plain, truth) > 10
    assert off_from(measured, truth) < 1
    # Beside the chart the print is seen to repeat; where it still lies on the cloth, its repeats outvote it.
    assert measured.swatch.repeats
    assert plain.swatch.repeats
    as_seen = (srgb8_to_lin(cloth) * (0.9, 0.75, 0.5)).reshape(-1, 3).mean(axis=0)
    assert off_from(plain, lab_from_lin(as_seen)) < 1
    cloth, _ = render("plaid", 9.5, 7.2, 200, 5)
    shot = simulate(
        with_chart(cloth, ppi=200, at_in=(0.8, 4.6)), 200, "card", seed=5, **{**SMALL, **STRAIGHT}
    )
    (tmp_path / "card.jpg").write_bytes(shot.jpeg)
    beside = measure_photo(tmp_path / "card.jpg", name="b", reference=Card(), colour=Chart())
    assert beside.chart_px is not None
    assert len(beside.marks_px) == 1


@pytest.mark.parametrize(
    ("corners", "wanted"),
    [
        ([(600, 10), (900, 10), (900, 210), (600, 210)], (0, 255, 1000, 800)),
        ([(1100, 0), (1400, 0), (1400, 200), (1100, 200)], None),
        ([(100, 500), (400, 500), (400, 700), (100, 700)], (0, 0, 1000, 455)),
        ([(400, 700), (100, 700), (100, 500), (400, 500)], (0, 0, 1000, 455)),
    ],
)
def test_largest_piece_beside_the_chart(corners: list, wanted: tuple | None) -> None:
    """By hand: patches of 50 pixels, so the frame may reach 45 further."""
    found = beside_chart(corners, width_px=1000, height_px=800)
    assert (found is None) == (wanted is None)
    if wanted is not None:
        assert found == pytest.approx(wanted, abs=1)


def test_the_words_of_trust_hold_in_simulation() -> None:
    """What `colour_words` promises, against 99 reflectances of CIE 224 in two cameras and nine lamps."""
    spectra = read_spectra()
    flat = np.ones_like(spectra.wave)[None]
    greys = np.array([PAPER_REFLECTANCE, *GREY_STEPS, INK_REFLECTANCE])
    found: dict[str, list[tuple[float, float]]] = {}
    for lamp in LAMPS:
        for number, balance in ((0, 0.5), (0, 1.0), (1, 0.5), (1, 1.0)):
            see = spectra.camera(number, lamp, balance=balance)
            stored16 = np.round(stored_of(see(spectra.cloth)) * 65535).astype(np.uint16)
            ways = {
                "chart": fit_chart(stored_of(see(spectra.chart)), edition="before 2014"),
                "grey steps": fit_grey_curve(stored_of(see(flat * greys[:, None])), greys),
                "grey card": gains_from_grey(stored_of(see(flat * 0.18)), reflectance=0.18),
                "white paper": gains_from_grey(
                    stored_of(see(flat * PAPER_REFLECTANCE)), reflectance=PAPER_REFLECTANCE
                ),
            }
            for way, fitted in ways.items():
                lab = lab_from_lin(np.clip(fitted.light_of(stored16), 0, 1))
                off = ciede2000(lab, spectra.cloth_lab).mean()
                found.setdefault(way, []).append((off, np.abs(lab - spectra.cloth_lab)[:, 0].mean()))
    means = {way: np.mean(rows, axis=0) for way, rows in found.items()}
    promised = {  # steps of colour difference, L*
        "chart": ((2, 3), 2, "2 to 3 steps of colour difference; value within 1 or 2 L*"),
        "grey steps": ((4.5, 5.5), 3, "about 5 steps of colour difference, 3 by daylight; value within 2 or 3 L*"),
        "white paper": ((5.5, 6.5), 4, "about 6 steps of colour difference; value within 4 L*"),
        "grey card": ((6.5, 7.5), 5.5, "about 7 steps of colour difference; value within 5 L*"),
    }  # fmt: skip
    tile = np.full((8, 8, 3), 128, np.uint8)
    for way, ((least, most), most_L, words) in promised.items():
        assert least <= means[way][0] <= most
        assert means[way][1] <= most_L
        swatch = make_swatch(
            tile,
            key="0" * 16,
            name="x",
            ppi=72,
            repeats=False,
            scale_note="",
            colour_note="",
            colour_from=way,
        )
        assert words in colour_words(swatch)
    by_day = np.mean([row[0] for row, lamp in zip(found["grey steps"], np.repeat(LAMPS, 4), strict=True) if lamp in ("D50", "D75")])  # fmt: skip
    assert by_day < 3
