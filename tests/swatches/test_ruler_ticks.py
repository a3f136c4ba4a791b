"""Rulers drawn here, seen through a tilted camera: their scale is known from how they were drawn."""

from __future__ import annotations

from fractions import Fraction

import cv2
import numpy as np
import pytest

from swatches.measured_scale import ScaleError
from swatches.ruler_scale import RulerTicks, scale_from_ticks
from swatches.ruler_ticks import follow_ticks
from swatches.tick_classes import doubt_fineness
from swatches.tick_lengths import doubt_tick, long_ticks_every

PX_PER_MM = 12
MM, SIXTEENTH, EIGHTH = Fraction(10, 254), Fraction(1, 16), Fraction(1, 8)
LONG_MM = {
    MM: {1: 4.5, 5: 7, 10: 10},
    SIXTEENTH: {1: 3.5, 2: 5, 4: 7, 8: 9, 16: 12},
    EIGHTH: {1: 4.5, 2: 6.5, 4: 9, 8: 12},
}


def print_cloth(rng: np.random.Generator, height: int, width: int) -> np.ndarray:
    """Leaves of all sizes and colours, in light 0 to 1."""
    cloth = np.full((height, width, 3), (0.5, 0.42, 0.3), np.float32)
    for _ in range(1500):
        at = (int(rng.integers(width)), int(rng.integers(height)))
        axes = (int(rng.integers(8, 60)), int(rng.integers(4, 25)))
        colour = tuple(float(each) for each in rng.uniform(0.05, 0.7, 3))
        cv2.ellipse(cloth, at, axes, float(rng.uniform(0, 180)), 0, 360, colour, -1)
    return cloth


def photo_of_ruler(tick_in: Fraction | None, style: str, seed: int, tilt_deg: float = 8.0):
    """A photograph, two places on the ruler's short ticks, and the pixels per inch between them."""
    rng = np.random.default_rng(seed)
    width_mm, height_mm, left, top, length = 190, 80, 20, 30, 150
    flat = print_cloth(rng, height_mm * PX_PER_MM, width_mm * PX_PER_MM)
    body, solid, ink = {
        "white": (0.85, 1.0, 0.03),
        "clear": (0.9, 0.12, 0.02),
        "black": (0.03, 1.0, 0.8),
    }[style]
    if tick_in is not None:
        under = flat[
            top * PX_PER_MM : (top + 26) * PX_PER_MM, (left - 4) * PX_PER_MM : (left + length + 4) * PX_PER_MM
        ]
        under[:] = under * (1 - solid) + body * solid
        apart = float(tick_in) * 25.4
        for i in range(int(length / apart) + 1):
            long = max((each, mm) for each, mm in LONG_MM[tick_in].items() if i % each == 0)[1]
            x = (left + i * apart) * PX_PER_MM
            flat[top * PX_PER_MM : int((top + long) * PX_PER_MM), round(x - 1.5) : round(x + 1.5)] = ink
    size, tilt, turn = (1500, 900), np.deg2rad(tilt_deg), rng.uniform(-0.3, 0.3)
    axis = rng.uniform(0, 2 * np.pi)
    turned = (
        cv2.Rodrigues(np.array([0, 0, turn]))[0]
        @ cv2.Rodrigues(tilt * np.array([np.cos(axis), np.sin(axis), 0.0]))[0]
    )
    lens = np.array([[1100, 0, size[0] / 2], [0, 1100, size[1] / 2], [0, 0, 1.0]])
    far = 1100 * flat.shape[1] / size[0] * 1.12
    centre = np.array([[1, 0, -flat.shape[1] / 2], [0, 1, -flat.shape[0] / 2], [0, 0, 1.0]])
    to_photo = lens @ np.column_stack([turned[:, 0], turned[:, 1], [0, 0, far]]) @ centre
    soft = cv2.GaussianBlur(flat, (0, 0), 0.45 * flat.shape[1] / size[0])
    half = np.array([[1, 0, -0.5], [0, 1, -0.5], [0, 0, 1.0]])
    seen = cv2.warpPerspective(
        soft, half @ to_photo @ np.linalg.inv(half), size, borderMode=cv2.BORDER_REFLECT
    )
    seen = cv2.GaussianBlur(seen, (0, 0), 0.7) * (1 + 0.2 * np.linspace(-0.5, 0.5, size[0]))[None, :, None]
    seen = seen.clip(0, 1) + rng.normal(0, 0.004, seen.shape)
    photo = (255 * seen.clip(0, 1) ** (1 / 2.2)).astype(np.uint8)

    def at(x_mm: float) -> np.ndarray:
        q = to_photo @ np.array([x_mm * PX_PER_MM, (top + 1.8) * PX_PER_MM, 1])
        return q[:2] / q[2]

    start, end = left + 8.0, left + length - 12.0
    inch = at((start + end) / 2 + 12.7) - at((start + end) / 2 - 12.7)
    return photo, tuple(at(start)), tuple(at(end)), float(np.hypot(*inch))


@pytest.mark.parametrize(
    ("tick_in", "style", "seed"),
    [
        (MM, "white", 1),
        (EIGHTH, "white", 2),
        (SIXTEENTH, "white", 3),
        (SIXTEENTH, "clear", 4),
        (EIGHTH, "clear", 5),
        (MM, "black", 6),
    ],
)
def test_scale_of_many_rulers(tick_in: Fraction, style: str, seed: int) -> None:
    photo, start, end, ppi = photo_of_ruler(tick_in, style, seed)
    found = scale_from_ticks(photo, RulerTicks(start, end, tick_in))
    assert found.ppi == pytest.approx(ppi, rel=0.005)
    assert "look whether" not in found.note
    assert found.off is not None
    assert found.off < 0.2


@pytest.mark.parametrize("seed", [11, 12, 13])
def test_cloth_without_a_ruler_is_refused(seed: int) -> None:
    photo, start, end, _ = photo_of_ruler(None, "white", seed)
    assert follow_ticks(photo, start, end) is None
    with pytest.raises(ScaleError, match="No even row"):
        scale_from_ticks(photo, RulerTicks(start, end))


def test_long_ticks_that_contradict_the_length_are_said() -> None:
    photo, start, end, _ = photo_of_ruler(MM, "white", 1)
    said = scale_from_ticks(photo, RulerTicks(start, end, SIXTEENTH))
    assert "tick is long, as where ticks are millimetres: look whether 1/16 in is right." in said.note
    assert said.off is not None
    assert said.off > 0.3
    photo, start, end, _ = photo_of_ruler(SIXTEENTH, "white", 3)
    said = scale_from_ticks(photo, RulerTicks(start, end, MM))
    assert "as on a ruler of inches: look whether 1 mm is right." in said.note


@pytest.mark.parametrize(
    ("style", "seed", "tick_in", "given", "said"),
    [
        ("white", 31, EIGHTH, SIXTEENTH, "as long, as where ticks are 1/8 in: look whether 1/16 in is right"),
        ("black", 21, EIGHTH, SIXTEENTH, "as long, as where ticks are 1/8 in: look whether 1/16 in is right"),
        ("white", 3, SIXTEENTH, EIGHTH, "16th tick is long"),
        ("white", 22, SIXTEENTH, EIGHTH, "16th tick is long"),
    ],
)
def test_ticks_twice_as_fine_or_coarse_as_was_said_are_told(
    style: str, seed: int, tick_in: Fraction, given: Fraction, said: str
) -> None:
    photo, start, end, ppi = photo_of_ruler(tick_in, style, seed)
    found = scale_from_ticks(photo, RulerTicks(start, end, given))
    assert found.ppi == pytest.approx(ppi * float(tick_in / given), rel=0.01)
    assert said in found.note
    assert found.off is not None
    assert found.off > 0.5
    assert "look whether" not in scale_from_ticks(photo, RulerTicks(start, end, tick_in)).note


def test_lengths_of_ticks_that_say_too_little_raise_no_doubt() -> None:
    sixteenths = [20 if i % 16 == 0 else 15 if i % 8 == 0 else 12 if i % 4 == 0 else 8 for i in range(80)]
    eighths = [20 if i % 8 == 0 else 15 if i % 4 == 0 else 12 if i % 2 == 0 else 8 for i in range(80)]
    assert doubt_fineness(sixteenths, SIXTEENTH) == ""
    assert doubt_fineness(eighths, EIGHTH) == ""
    assert "1/8 in: look whether 1/16 in" in doubt_fineness(eighths, SIXTEENTH)
    assert "1/16 in: look whether 1/8 in" in doubt_fineness(sixteenths, EIGHTH)
    assert "1/8 in: look whether 1/4 in" in doubt_fineness(eighths, Fraction(1, 4))
    # Too few inches, ticks that run out of the strip, ticks all as long, and millimetres.
    assert doubt_fineness(eighths[:30], SIXTEENTH) == ""
    assert doubt_fineness([float("nan") if i % 8 == 0 else 12.0 for i in range(80)], SIXTEENTH) == ""
    assert doubt_fineness([12.0] * 80, SIXTEENTH) == ""
    assert doubt_fineness(eighths, MM) == ""


@pytest.mark.parametrize(
    ("every", "tick_in", "doubted"),
    [
        (None, SIXTEENTH, False),
        (10, MM, False),
        (5, Fraction(5, 254), False),
        (10, Fraction(1, 10), False),
        (10, SIXTEENTH, True),
        (5, EIGHTH, True),
        (8, SIXTEENTH, False),
        (16, SIXTEENTH, False),
        (32, SIXTEENTH, True),
        (16, EIGHTH, True),
        (4, MM, True),
    ],
)
def test_which_patterns_speak_against_a_length(every: int | None, tick_in: Fraction, doubted: bool) -> None:
    assert bool(doubt_tick(every, tick_in)) is doubted


def test_ticks_all_as_long_say_nothing() -> None:
    bands = np.random.default_rng(1).normal(0, 0.1, (20, 2000)).astype(np.float32)
    places = np.arange(10.0, 1990.0, 20.0)
    bands[:10, places.astype(int)] += 5
    assert long_ticks_every(bands, places, 20.0, sign=1, strong=5) is None
    bands[10:16, places[3::10].astype(int)] += 5
    assert long_ticks_every(bands, places, 20.0, sign=1, strong=5) == 10
