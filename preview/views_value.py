"""The picture in greys: values alone, values in a few steps, in a dim room, and from a few steps away."""

from __future__ import annotations

from math import ceil, log2

import cv2
import numpy as np
from numpy.typing import NDArray

from palettes.encodings import lin16_of_srgb8, lin_to_srgb8, luminance, srgb8_of_lin16, srgb8_to_lin
from palettes.lightness import lightness
from palettes.viewing import Viewing

__all__ = ["dim_view", "far_view", "stepped_view", "value_view"]

_Picture = NDArray[np.uint8]

_FEWEST_STEPS, _MOST_STEPS = 2, 10

_DIM_LIGHT = 0.04
"""A room with one lamp (20 lux) against a lit work table (500 lux), as interiors are usually given."""
_ADAPTED = 0.5
"""Half of the loss, in steps of the logarithm, is made up by the eye; ours, since papers give a range."""

_WIDEST_PX = 2.5
"""A blur wider than this is made on a picture of half the size: the same light, less work."""


def value_view(picture_srgb8: _Picture) -> _Picture:
    """The picture as greys of the same lightness L*: what is left when colour is taken away.

    Equal L* is equal luminance, so each grey gives as much light as the colour it stands for.
    """
    return _as_grey(luminance(srgb8_to_lin(picture_srgb8)))


def stepped_view(picture_srgb8: _Picture, *, steps: int, averaged_px: float = 0.0) -> _Picture:
    """The picture in so many greys, evenly spaced in L*: lights, mediums and darks for 3.

    Each pixel takes the step its own L* falls in; the steps share L* 0 to 100 equally and are shown at their
    middles. With `averaged_px`, light is averaged over about that many pixels first, so that a print falls
    into the step of its mean and not into specks of several.
    Raises: ValueError for fewer than 2 or more than 10 steps.
    """
    if not _FEWEST_STEPS <= steps <= _MOST_STEPS:
        raise ValueError(f"steps must be from {_FEWEST_STEPS} to {_MOST_STEPS}, got {steps}")
    light = luminance(srgb8_to_lin(picture_srgb8))
    if averaged_px > 0:
        light = _blurred(light, sigma_px=averaged_px / 2)
    step = np.clip(np.floor(lightness(light) * steps / 100), 0, steps - 1)
    # The grey of an L*: Source: CIE 15:2004, the inverse of L* on its cube-root part and its straight one.
    middle = (np.arange(steps) + 0.5) * 100 / steps
    shown = np.where(middle > 8, ((middle + 16) / 116) ** 3, middle * 27 / 24389)
    return _as_grey(shown.astype(np.float32)[step.astype(np.int64)])


def far_view(picture_srgb8: _Picture, *, ppi: float, viewing: Viewing, smaller: bool = False) -> _Picture:
    """The picture as the eye gets it from a distance: blurred in linear light, at the same size.

    `ppi` is the picture's pixels per inch of cloth; `viewing` gives the eye's blur on the cloth. With
    `smaller` it is also reduced as far as the distance allows without losing anything.
    """
    sigma_px = viewing.sigma_in * ppi
    light = np.asarray(cv2.LUT(picture_srgb8, lin16_of_srgb8()[None]), np.uint16).astype(np.float32)
    light = _blurred(light, sigma_px=sigma_px)
    if smaller and sigma_px > 1:
        height, width = light.shape[:2]
        size = max(1, round(width / sigma_px)), max(1, round(height / sigma_px))
        light = np.asarray(cv2.resize(light, size, interpolation=cv2.INTER_AREA), np.float32)
    return _coded(light)


def dim_view(picture_srgb8: _Picture) -> _Picture:
    """The picture as in a room with one lamp: darker, and colours fainter the darker they are.

    Light is that of a dim room, half made up by the eye; where little is left, colour gives way to grey and
    blues hold out longest. An impression to compare cloths by, not a prediction.
    Source: for colour giving way to grey in dim light, Wyszecki and Stiles, Color Science (1982), 5.7.
    """
    light = srgb8_to_lin(picture_srgb8) * np.float32(_DIM_LIGHT**_ADAPTED)
    day = luminance(light)[..., None]
    # What rods see: short and middle wavelengths. Weights of the primaries fitted by ours to V'(lambda).
    night = (light @ np.array([0.06, 0.64, 0.30], np.float32))[..., None]
    colour = day / (day + np.float32(0.02))
    return lin_to_srgb8(light * colour + night * (1 - colour))


def _as_grey(light: NDArray[np.floating]) -> _Picture:
    return np.repeat(lin_to_srgb8(light)[..., None], 3, axis=2)


def _coded(light_16: NDArray[np.float32]) -> _Picture:
    whole = np.clip(np.rint(light_16), 0, 65535).astype(np.uint16)
    return np.asarray(cv2.LUT(whole, srgb8_of_lin16()[None]), np.uint8)


def _blurred(light: NDArray[np.floating], *, sigma_px: float) -> NDArray[np.float32]:
    """A Gaussian blur; wide ones on a picture halved by area, and enlarged again."""
    picture = np.asarray(light, np.float32)
    if sigma_px <= 0:
        return picture
    halvings = max(0, ceil(log2(sigma_px / _WIDEST_PX))) if sigma_px > _WIDEST_PX else 0
    height, width = picture.shape[:2]
    times = 2 ** min(halvings, int(log2(max(1, min(height, width)))))
    small = picture
    if times > 1:
        size = max(1, round(width / times)), max(1, round(height / times))
        small = np.asarray(cv2.resize(picture, size, interpolation=cv2.INTER_AREA), np.float32)
        # Averaging over `times` pixels and enlarging again blur a little by themselves: a box of variance
        # (times^2 - 1) / 12 and a triangle of times^2 / 6.
        own = (times**2 - 1) / 12 + times**2 / 6
        sigma_px = float(np.sqrt(max(sigma_px**2 - own, 0.25))) / times
    blurred = cv2.GaussianBlur(small, (0, 0), sigma_px, borderType=cv2.BORDER_REPLICATE)
    if times > 1:
        blurred = cv2.resize(blurred, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.asarray(blurred, np.float32)
