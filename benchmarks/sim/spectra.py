"""Measured cloths, chart, lamps and cameras, wavelength by wavelength, and what a phone makes of them.

Source: CIE 224:2017 (99 reflectances, which stand for cloths), CIE 15 (lamps), NPL (two cameras), Pascale
2012 (the average of 30 charts of the edition before 2014), all as in colour-science.
"""

from __future__ import annotations

import warnings
from dataclasses import dataclass

import numpy as np

from palettes.encodings import decode
from palettes.lightness import lab_from_lin

__all__ = ["LAMPS", "Spectra", "SpectralCamera", "read_spectra", "stored_of"]

LAMPS = ("A", "D50", "D75", "FL2", "FL11", "LED-B1", "LED-B3", "LED-B5", "LED-V1")


@dataclass(frozen=True, slots=True, eq=False)
class Spectra:
    """Everything at the same wavelengths, 400 to 700 nm."""

    wave: np.ndarray
    cloth: np.ndarray
    """(99, wavelengths)"""
    cloth_lab: np.ndarray
    """The true colours of those cloths under D65."""
    chart: np.ndarray
    """(24, wavelengths)"""
    lamps: dict[str, np.ndarray]
    eyes: tuple[np.ndarray, ...]
    """Sensitivities (wavelengths, 3) of the cameras."""
    to_srgb: tuple[np.ndarray, ...]
    """Each camera's own matrix from balanced raw to linear sRGB, as its maker would fit it in daylight."""

    def camera(self, number: int, lamp: str, *, balance: float) -> SpectralCamera:
        """A camera under a lamp, with so much of the cast taken out."""
        return SpectralCamera(
            self.eyes[number],
            self.to_srgb[number],
            self.lamps[lamp],
            day=self.lamps["D65"],
            balance=balance,
        )


class SpectralCamera:
    """Reflectances (n, wavelengths) to linear values, exposed so that a perfect white just fits."""

    def __init__(self, eye, to_srgb, lamp, *, day, balance):
        white, daylight = lamp @ eye, day @ eye
        cast = (white / white[1]) / (daylight / daylight[1])
        gain = 1 / (daylight / daylight[1]) / cast**balance / white[1]
        self.to_linear = (eye * lamp[:, None] * gain) @ to_srgb.T
        self.to_linear *= 0.95 / self.to_linear.sum(axis=0).max()

    def __call__(self, reflectances):
        """What the camera makes of reflectances (n, wavelengths): linear (n, 3)."""
        return reflectances @ self.to_linear


def stored_of(light):
    """What a program reads from the file: tone curve, 8 bits, back to linear as if there were no curve."""
    light = np.clip(light, 0, 1)
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)
    toned = np.clip(coded + 0.045 * np.sin(2 * np.pi * (coded - 0.5)), 0, 1)
    return decode(np.round(toned * 255) / 255)


def read_spectra() -> Spectra:
    """The measured data."""
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
    lamps = {k: colour.SDS_ILLUMINANTS[k].copy().align(shape).values for k in (*LAMPS, "D65")}
    day = lamps["D65"]
    xyz = (cloth * day) @ observer / (day @ observer[:, 1])
    linear = colour.XYZ_to_RGB(xyz, "sRGB")
    white = colour.XYZ_to_RGB((day @ observer / (day @ observer[:, 1]))[None], "sRGB")
    eyes = tuple(
        np.stack([np.interp(wave, camera.wavelengths, column) for column in camera.values.T], axis=1)
        for camera in colour.MSDS_CAMERA_SENSITIVITIES.values()
    )
    to_srgb = tuple(_camera_matrix(eye, chart, day, observer) for eye in eyes)
    return Spectra(wave, cloth, lab_from_lin(linear / white), chart, lamps, eyes, to_srgb)


def _camera_matrix(eye, chart, lamp, observer):
    import colour

    raw = (chart * lamp) @ eye / (lamp @ eye)
    xyz = (chart * lamp) @ observer / (lamp @ observer[:, 1])
    wanted = colour.XYZ_to_RGB(xyz, "sRGB")
    matrix = np.linalg.lstsq(raw, wanted, rcond=None)[0].T
    return matrix / matrix.sum(axis=1, keepdims=True)
