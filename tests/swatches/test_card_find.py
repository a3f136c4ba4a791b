"""Cards found by themselves: truth is where the card was drawn, and where none was drawn."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from swatches.card_find import find_card
from swatches.card_plane import CardError
from swatches.line_snap import snap_corners

_CARD = (200.0, 150.0, 543.0, 366.0)
"""85.60 by 53.98 mm at 4 pixels per millimetre. Source: ISO/IEC 7810, ID-1."""


def _on(cloth, colour):
    left, top, right, bottom = (round(side) for side in _CARD)
    photo = cv2.GaussianBlur(cloth.astype(np.float32), (0, 0), 0.8)
    photo[top:bottom, left:right] = colour
    noise = np.random.default_rng(3).normal(0, 1.5, photo.shape)
    return np.clip(cv2.GaussianBlur(photo, (0, 0), 0.8) + noise, 0, 255).astype(np.uint8)


def _bars(ground, bar, *, wide, gap):
    """Upright bars on both sides of the card, so near that with them it would still be card-shaped."""
    left, _, right, _ = _CARD
    x = np.arange(800)
    bars = ((x >= right + gap) & (x < right + gap + wide)) | ((x < left - gap) & (x >= left - gap - wide))
    return np.repeat(np.where(bars[:, None], bar, ground)[None], 560, axis=0)


def _dots(ground, dot):
    y, x = np.mgrid[0:560, 0:800]
    inside = (x % 34 - 17) ** 2 + (y % 34 - 17) ** 2 < 49
    return np.where(inside[..., None], dot, ground)


def _worst_px(corners):
    left, top, right, bottom = _CARD
    truth = np.array([(left, top), (right, top), (right, bottom), (left, bottom)])
    apart = np.hypot(*(np.array(corners)[:, None] - truth[None]).transpose(2, 0, 1))
    return float(apart.min(axis=1).max())


def _right_or_refused(photo):
    try:
        found = find_card(photo)
    except CardError:
        return
    assert _worst_px(found.corners_px) < 4


def test_a_dark_card_on_blue_dots_is_found():
    photo = _on(_dots((52, 86, 138), (235, 232, 220)), (28, 30, 34))
    assert _worst_px(find_card(photo).corners_px) < 1


@pytest.mark.parametrize("card", [(38, 68, 118), (44, 77, 128), (60, 95, 150)])
def test_a_card_of_nearly_the_ground_s_colour_never_takes_in_ground_up_to_the_dots(card):
    _right_or_refused(_on(_dots((52, 86, 138), (235, 232, 220)), card))


@pytest.mark.parametrize("wide", [15, 30, 50])
@pytest.mark.parametrize("gap", [8, 14])
def test_bars_of_the_card_s_own_colour_beside_it_are_never_taken_in(wide, gap):
    _right_or_refused(_on(_bars((225, 215, 190), (36, 50, 88), wide=wide, gap=gap), (36, 50, 88)))


def test_a_picture_too_small_for_edges_is_refused_and_not_divided_by():
    rng = np.random.default_rng(5)
    small = rng.integers(0, 255, (40, 60, 3)).astype(np.uint8)
    with pytest.raises(CardError, match="No card"):
        find_card(small)
    assert not snap_corners(small, [(10.0, 10.0)] * 4).plain
