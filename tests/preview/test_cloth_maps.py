"""Where block points lie on the cloth, above all under a bent stem."""

from __future__ import annotations

from math import cos, pi, radians, sin

import numpy as np
import pytest

from blocks.motion import shift, turn
from blocks.values import Bend
from preview.cloth_maps import along_bend, cloth_points
from tests.preview.scenes import rectangle


def arc(radius, *, first_deg=180, last_deg=300, count=150, start_in=0.5):
    angles = [radians(first_deg + (last_deg - first_deg) * i / count) for i in range(count + 1)]
    return Bend(tuple((radius * cos(a), radius * sin(a)) for a in angles), start_in, 0.375)


def test_a_straight_patch_is_carried_by_both_motions():
    patch, _ = rectangle(1, "a", 2, 3, 4, 2, spin=1)
    points = np.array([(2.0, 3.0), (6.0, 3.0), (6.0, 5.0), (2.5, 4.25)])
    place = shift(10, 20).after(turn(45))
    found = cloth_points(patch, place, points)
    for point, cloth in zip(points, found, strict=True):
        expected = place(patch.to_piece(tuple(point)))
        assert cloth == pytest.approx([float(v) for v in expected], abs=1e-12)


@pytest.mark.parametrize("radius", [1.0, 3.0, 40.0])
def test_on_an_arc_a_point_is_found_by_its_angle_and_its_distance(radius):
    bend = arc(radius)
    rng = np.random.default_rng(0)
    angle = np.radians(rng.uniform(181, 299, 500))
    off = rng.uniform(-0.2, 0.2, 500)
    # Walking clockwise as seen, the right hand is towards the centre.
    points = np.column_stack([(radius - off) * np.cos(angle), (radius - off) * np.sin(angle)])
    found = along_bend(bend, points)
    np.testing.assert_allclose(found[:, 0], 0.5 + (angle - pi) * radius, atol=2e-3)
    np.testing.assert_allclose(found[:, 1], 0.375 + off, atol=1e-3)


def test_along_an_arc_the_map_is_smooth_inside_and_outside():
    bend = arc(1.2, count=40)
    angle = np.linspace(np.radians(185), np.radians(295), 4000)
    for off in (-0.24, 0.0, 0.24):
        points = np.column_stack([(1.2 - off) * np.cos(angle), (1.2 - off) * np.sin(angle)])
        along, across = along_bend(bend, points).T
        steps = np.diff(along)
        # No pixel of print is shown twice or left out where the flattened curve has its corners.
        assert steps.min() > 0.8 * steps.mean()
        assert steps.max() < 1.2 * steps.mean()
        assert np.ptp(across) < 2e-3


def test_beyond_its_ends_a_strip_runs_straight_on():
    bend = Bend(((0.0, 0.0), (1.0, 0.0), (2.0, 0.0)), 0.25, 0.375)
    found = along_bend(bend, np.array([(-0.5, 0.1), (2.75, -0.1), (1.0, 0.0)]))
    np.testing.assert_allclose(found, [(-0.25, 0.475), (3.0, 0.275), (1.25, 0.375)], atol=1e-9)


def test_an_s_curve_finds_the_nearer_limb():
    t = np.linspace(0, 1, 300)
    bend = Bend(tuple(zip((np.sin(2 * pi * t) * 1.0).tolist(), (4 * t).tolist(), strict=True)), 0.0, 0.25)
    centre = np.array(bend.centre)[20:-20]
    step = np.gradient(centre, axis=0)
    heading = step / np.hypot(*step.T)[:, None]
    right = np.column_stack([-heading[:, 1], heading[:, 0]])
    lengths = np.append(0, np.cumsum(np.hypot(*np.diff(np.array(bend.centre), axis=0).T)))[20:-20]
    for off in (-0.12, 0.12):
        found = along_bend(bend, centre + off * right)
        np.testing.assert_allclose(found[:, 0], lengths, atol=4e-3)
        np.testing.assert_allclose(found[:, 1], 0.25 + off, atol=2e-3)


def test_a_centre_line_with_a_point_given_twice_is_no_trouble():
    bend = Bend(((0.0, 0.0), (1.0, 0.0), (1.0, 0.0), (3.0, 0.0)), 0.0, 0.25)
    found = along_bend(bend, np.array([(2.0, 0.125)]))
    np.testing.assert_allclose(found, [(2.0, 0.375)], atol=1e-9)
