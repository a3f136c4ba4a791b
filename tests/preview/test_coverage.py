"""Coverage against slow, obvious sampling, and against areas known by arithmetic."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from preview.coverage import cover_pixels
from tests.preview.scenes import circle_points


def shares(rings, width, height):
    """(owners, height, width) from the runs and parts."""
    found = cover_pixels(rings, width_px=width, height_px=height)
    picture = np.zeros((max(owner for owner, _ in rings) + 1, width * height))
    for owner, start, length in zip(found.run_owner, found.run_start, found.run_length, strict=True):
        picture[owner, start : start + length] += 1
    np.add.at(picture, (found.part_owner, found.part_place), found.part_weight)
    return picture.reshape(-1, height, width)


def inside(ring, x, y):
    """Whether points lie inside, by counting the lines to the left: one point, one line at a time."""
    answer = np.zeros(x.shape, bool)
    for (x0, y0), (x1, y1) in zip(ring, np.roll(ring, -1, axis=0), strict=True):
        crosses = (y0 <= y) != (y1 <= y)
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            at = x0 + (y - y0) * (x1 - x0) / (y1 - y0)
        answer ^= crosses & (at <= x)
    return answer


def sampled(ring, width, height, times=16):
    at = (np.arange(times) + 0.5) / times
    x = np.add.outer(np.arange(width), at).ravel()
    y = np.add.outer(np.arange(height), at).ravel()
    hits = inside(ring, *np.meshgrid(x, y))
    return hits.reshape(height, times, width, times).mean(axis=(1, 3))


def test_a_rectangle_off_the_grid_covers_exact_areas():
    ring = np.array([(1.5, 1.25), (4.5, 1.25), (4.5, 3.0), (1.5, 3.0)])
    expected = np.zeros((4, 6))
    expected[1, 1:5] = np.array([0.5, 1, 1, 0.5]) * 0.75
    expected[2, 1:5] = [0.5, 1, 1, 0.5]
    np.testing.assert_allclose(shares([(0, ring)], 6, 4)[0], expected, atol=1e-12)


def test_a_slanted_side_covers_exact_areas():
    ring = np.array([(0.0, 0.0), (3.0, 0.0), (0.0, 3.0)])
    expected = np.array([[1, 1, 0.5], [1, 0.5, 0], [0.5, 0, 0]])
    np.testing.assert_allclose(shares([(0, ring)], 3, 3)[0], expected, atol=1e-12)


def test_a_hole_takes_away():
    outer = np.array([(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)])
    hole = np.array([(1.0, 1.0), (1.0, 3.0), (2.5, 3.0), (2.5, 1.0)])
    expected = np.ones((4, 4))
    expected[1:3, 1] = 0
    expected[1:3, 2] = 0.5
    np.testing.assert_allclose(shares([(0, outer), (0, hole)], 4, 4)[0], expected, atol=1e-12)


def test_a_circle_has_the_area_of_its_outline():
    ring = np.array(circle_points(20.3, 18.9, 15.7, 360))
    x, y = ring.T
    area = 0.5 * abs(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y))
    found = shares([(0, ring)], 40, 40)[0]
    assert found.sum() == pytest.approx(area, abs=1e-3)
    assert np.abs(found - sampled(ring, 40, 40)).max() < 0.03


def test_what_lies_outside_the_grid_is_cut_off_not_squeezed_in():
    ring = np.array([(-7.3, -4.1), (5.2, 2.3), (14.8, 1.1), (6.4, 12.9), (-3.3, 6.6)])
    whole = shares([(0, ring + 10)], 40, 40)[0]
    np.testing.assert_allclose(shares([(0, ring)], 9, 8)[0], whole[10:18, 10:19], atol=1e-9)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(st.floats(-3, 15), st.floats(-3, 13)), min_size=3, max_size=3),
)
def test_any_triangle_agrees_with_samples(corners):
    ring = np.array(corners)
    x, y = ring.T
    if np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) < 0:
        ring = ring[::-1]
    assert np.abs(shares([(0, ring)], 12, 10)[0] - sampled(ring, 12, 10)).max() < 0.07


@settings(max_examples=40, deadline=None)
@given(st.floats(0.5, 9.5), st.floats(0.5, 8.5), st.floats(0.1, 11.9), st.floats(0.1, 9.9))
def test_triangles_round_a_point_share_every_pixel_without_a_gap(x, y, along, down):
    rim = [(0.0, 0.0), (along, 0.0), (12.0, 0.0), (12.0, down), (12.0, 10.0), (0.0, 10.0)]
    rings = [
        (i, np.array([a, b, (x, y)])) for i, (a, b) in enumerate(zip(rim, rim[1:] + rim[:1], strict=True))
    ]
    np.testing.assert_allclose(shares(rings, 12, 10).sum(axis=0), 1.0, atol=2e-4)


def test_nothing_to_cover_is_nothing_covered():
    found = cover_pixels([], width_px=4, height_px=4)
    assert len(found.run_owner) == 0
    assert len(found.part_owner) == 0
