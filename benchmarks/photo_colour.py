"""How near to the truth colour comes: measured cameras under measured lamps, spectrum by spectrum.

99 reflectances stand for cloths, two cameras with measured sensitivities see them under nine lamps, with
half or all of the cast taken out and a phone's tone curve on. Greys and chart are flat spectra and measured
chart spectra under the same lamp. What comes back goes through the tool's own grey curve and chart.
"""

from __future__ import annotations

import numpy as np

from benchmarks.sim.spectra import LAMPS, read_spectra, stored_of
from palettes.difference import ciede2000
from palettes.lightness import lab_from_lin
from swatches.chart import fit_chart
from swatches.grey_curve import fit_grey_curve
from swatches.sheet_layout import GREY_STEPS, INK_REFLECTANCE, PAPER_REFLECTANCE

__all__ = ["colour_scores", "errors_L", "pair_errors_L"]


def colour_scores(*, seed: int = 0) -> dict[str, float]:
    """Mean CIEDE2000 and median error of the L* difference of pairs, with greys alone and with the chart."""
    spectra = read_spectra()
    truth = spectra.cloth_lab
    greys = np.array([PAPER_REFLECTANCE, *GREY_STEPS, INK_REFLECTANCE])
    flat = np.ones_like(spectra.wave)[None] * greys[:, None]
    rng = np.random.default_rng(seed)
    pairs = rng.integers(0, len(truth), (400, 2))
    found: dict[str, list[float]] = {"grey": [], "grey_pair": [], "chart": [], "chart_pair": []}
    for number in range(len(spectra.eyes)):
        for lamp in LAMPS:
            for balance in (0.5, 1.0):
                see = spectra.camera(number, lamp, balance=balance)
                curve = fit_grey_curve(stored_of(see(flat)), greys)
                stored16 = np.round(stored_of(see(spectra.cloth)) * 65535).astype(np.uint16)
                fitted = fit_chart(stored_of(see(spectra.chart)), edition="before 2014")
                for name, light in (
                    ("grey", curve.light_of(stored16)),
                    ("chart", fitted.light_of(stored16)),
                ):
                    lab = lab_from_lin(np.clip(light, 0, 1))
                    found[name].append(float(ciede2000(lab, truth).mean()))
                    off = (lab - truth)[:, 0]
                    found[f"{name}_pair"].extend(np.abs(off[pairs[:, 0]] - off[pairs[:, 1]]))
    return {
        "grey_dE_mean": round(float(np.mean(found["grey"])), 2),
        "pair_dL_med": round(float(np.median(found["grey_pair"])), 2),
        "chart_dE_mean": round(float(np.mean(found["chart"])), 2),
    }


def pair_errors_L(*, seed: int = 0) -> dict[str, np.ndarray]:  # noqa: N802 - as in CIE L*
    """How far off the L* difference of two cloths of one photograph is, by what its colours rest on.

    For every camera, lamp and balance the same 400 pairs; sizes of the errors, all in one array.
    """
    found = errors_L()
    count = found["grey card"].shape[1]
    pairs = np.random.default_rng(seed).integers(0, count, (400, 2))
    return {
        name: np.abs(off[:, pairs[:, 0]] - off[:, pairs[:, 1]]).ravel()
        for name, off in found.items()
        if name != "not measured, over or under"
    }


def errors_L() -> dict[str, np.ndarray]:  # noqa: N802 - as in CIE L*
    """How far too light each cloth comes out (photographs, cloths), by what its colours rest on.

    One photograph for every camera, lamp and balance; one of each without a reference, and "over or under"
    by a third of a stop, or by none.
    """
    spectra = read_spectra()
    greys = np.array([PAPER_REFLECTANCE, *GREY_STEPS, INK_REFLECTANCE])
    flat = np.ones_like(spectra.wave)[None] * np.array([*greys, 0.18])[:, None]
    found: dict[str, list[np.ndarray]] = {}
    for number in range(len(spectra.eyes)):
        for lamp in LAMPS:
            for balance in (0.5, 1.0):
                see = spectra.camera(number, lamp, balance=balance)
                cloth, known = stored_of(see(spectra.cloth)), stored_of(see(flat))
                curve = fit_grey_curve(known[:-1], greys)
                stored16 = np.round(cloth * 65535).astype(np.uint16)
                for name, light in (
                    ("not measured", cloth),
                    *(
                        ("not measured, over or under", stored_of(see(spectra.cloth) * 2 ** (stops / 3)))
                        for stops in (-1, 0, 1)
                    ),
                    ("white paper", cloth * PAPER_REFLECTANCE / known[0]),
                    ("grey card", cloth * 0.18 / known[-1]),
                    ("grey steps", curve.light_of(stored16)),
                    (
                        "chart",
                        fit_chart(stored_of(see(spectra.chart)), edition="before 2014").light_of(stored16),
                    ),
                ):
                    off = (lab_from_lin(np.clip(light, 0, 1)) - spectra.cloth_lab)[:, 0]
                    found.setdefault(name, []).append(off)
    return {name: np.stack(rows) for name, rows in found.items()}
