"""How near to the truth colour comes: measured cameras under measured lamps, spectrum by spectrum.

99 reflectances stand for cloths, two cameras with measured sensitivities see them under nine lamps, with
half or all of the cast taken out and a phone's tone curve on. Greys and chart are flat spectra and measured
chart spectra under the same lamp. What comes back goes through the tool's own grey curve and chart.
Source: CIE 224:2017 (reflectances), CIE 15 (lamps), NPL (cameras), all as in colour-science.
"""

from __future__ import annotations

import warnings

import numpy as np

from palettes.difference import ciede2000
from palettes.encodings import decode
from palettes.lightness import lab_from_lin
from swatches.chart import fit_chart
from swatches.grey_curve import fit_grey_curve
from swatches.sheet_layout import GREY_STEPS, INK_REFLECTANCE, PAPER_REFLECTANCE

__all__ = ["colour_scores"]

_LAMPS = ("A", "D50", "D75", "FL2", "FL11", "LED-B1", "LED-B3", "LED-B5", "LED-V1")


def _tone(light):
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)
    return np.clip(coded + 0.045 * np.sin(2 * np.pi * (coded - 0.5)), 0, 1)


def _stored(light):
    """What a program reads from the file: 8 bits, back to linear as if there were no tone curve."""
    return decode(np.round(_tone(np.clip(light, 0, 1)) * 255) / 255)


class _Camera:
    """Reflectances (n, wavelengths) to what is stored, exposed so that a perfect white just fits."""

    def __init__(self, eye, to_srgb, lamp, *, day, balance):
        white, daylight = lamp @ eye, day @ eye
        cast = (white / white[1]) / (daylight / daylight[1])
        gain = 1 / (daylight / daylight[1]) / cast**balance / white[1]
        self.to_linear = (eye * lamp[:, None] * gain) @ to_srgb.T
        self.to_linear *= 0.95 / self.to_linear.sum(axis=0).max()

    def __call__(self, reflectances):
        return _stored(reflectances @ self.to_linear)


def colour_scores(*, seed: int = 0) -> dict[str, float]:
    """Mean CIEDE2000 and median error of the L* difference of pairs, with greys alone and with the chart."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
        from colour.quality.cfi2017 import load_TCS_CIE2017

    shape = colour.SpectralShape(400, 700, 5)
    wave = shape.wavelengths
    cloth = load_TCS_CIE2017(colour.SpectralShape(380, 780, 5))
    cloth = np.stack([np.interp(wave, cloth.wavelengths, column) for column in cloth.values.T])
    chart_sds = colour.SDS_COLOURCHECKERS["BabelColor Average"]
    chart = np.stack([np.interp(wave, sd.wavelengths, sd.values) for sd in chart_sds.values()])
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values
    lamps = {k: colour.SDS_ILLUMINANTS[k].copy().align(shape).values for k in (*_LAMPS, "D65")}
    xyz = (cloth * lamps["D65"]) @ observer / (lamps["D65"] @ observer[:, 1])
    linear = colour.XYZ_to_RGB(xyz, "sRGB")
    white = colour.XYZ_to_RGB((lamps["D65"] @ observer / (lamps["D65"] @ observer[:, 1]))[None], "sRGB")
    truth = lab_from_lin(linear / white)
    greys = np.array([PAPER_REFLECTANCE, *GREY_STEPS, INK_REFLECTANCE])
    rng = np.random.default_rng(seed)
    pairs = rng.integers(0, len(cloth), (400, 2))
    found: dict[str, list[float]] = {"grey": [], "grey_pair": [], "chart": [], "chart_pair": []}
    for camera in colour.MSDS_CAMERA_SENSITIVITIES.values():
        eye = np.stack([np.interp(wave, camera.wavelengths, column) for column in camera.values.T], axis=1)
        to_srgb = _camera_matrix(eye, chart, lamps["D65"], observer)
        for lamp in _LAMPS:
            for balance in (0.5, 1.0):
                see = _Camera(eye, to_srgb, lamps[lamp], day=lamps["D65"], balance=balance)
                seen = see(cloth)
                curve = fit_grey_curve(see(np.ones_like(wave)[None] * greys[:, None]), greys)
                stored16 = np.round(seen * 65535).astype(np.uint16)
                with_chart = fit_chart(see(chart), edition="before 2014").light_of(stored16)
                for name, light in (("grey", curve.light_of(stored16)), ("chart", with_chart)):
                    lab = lab_from_lin(np.clip(light, 0, 1))
                    found[name].append(float(ciede2000(lab, truth).mean()))
                    off = (lab - truth)[:, 0]
                    found[f"{name}_pair"].extend(np.abs(off[pairs[:, 0]] - off[pairs[:, 1]]))
    return {
        "grey_dE_mean": round(float(np.mean(found["grey"])), 2),
        "pair_dL_med": round(float(np.median(found["grey_pair"])), 2),
        "chart_dE_mean": round(float(np.mean(found["chart"])), 2),
    }


def _camera_matrix(eye, chart, lamp, observer):
    """The camera's own matrix from balanced raw to linear sRGB, as its maker would fit it in daylight."""
    import colour

    raw = (chart * lamp) @ eye / (lamp @ eye)
    xyz = (chart * lamp) @ observer / (lamp @ observer[:, 1])
    wanted = colour.XYZ_to_RGB(xyz, "sRGB")
    matrix = np.linalg.lstsq(raw, wanted, rcond=None)[0].T
    return matrix / matrix.sum(axis=1, keepdims=True)
