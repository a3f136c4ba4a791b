"""The picture against slow references, known measures, and itself in other pieces."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from blocks.motion import shift, turn
from palettes.encodings import decode, encode, luminance, srgb8_to_lin
from palettes.lightness import lightness
from preview.audition import make_audition
from preview.frame import FrameError, prepare_frame
from preview.keeping import PaintCache
from preview.render import paint, paint_lin
from swatches.by_eye import ByEye
from swatches.trust import seen_swatch
from tests.preview.scenes import (
    arc_stem,
    check_cloth,
    circle_points,
    cloth,
    draft,
    garden_block,
    grid_cloth,
    noise_cloth,
    plain,
    rectangle,
    shape,
    spread_places,
    stay_places,
)
from tests.preview.slow_reference import true_light, true_shares


def one_patch(side=4, *, spin=0):
    patch, piece = rectangle(1, "all", 0, 0, side, side, spin=spin)
    return draft([patch], [piece], width=side, height=side)


def roles_of(block):
    return sorted({patch.role for patch in block.patches})


def crossing_block():
    """Seams, a leaf whose edge runs along a seam, a circle over a corner and over the leaf, a stem."""
    pairs = [
        rectangle(1, "a", 0, 0, Fraction(7, 3), Fraction(5, 3)),
        rectangle(2, "b", Fraction(7, 3), 0, Fraction(5, 3), Fraction(5, 3)),
        rectangle(3, "c", 0, Fraction(5, 3), Fraction(7, 3), Fraction(7, 3)),
        rectangle(4, "d", Fraction(7, 3), Fraction(5, 3), Fraction(5, 3), Fraction(7, 3)),
        arc_stem(5, "stem", 3.9, 3.9, 2.6, 0.25, layer=1, count=40),
        shape(6, "leaf", [(0.5, 0.3), (7 / 3, 0.9), (7 / 3, 3.1), (1.2, 2.2)], layer=2, deg=30),
        shape(7, "eye", circle_points(7 / 3, 5 / 3, 0.6, 48), layer=3),
    ]
    return draft([p for p, _ in pairs], [c for _, c in pairs])


FLAT = {
    "a": plain(250, 240, 225),
    "b": plain(30, 40, 90),
    "c": plain(200, 60, 70),
    "d": plain(90, 150, 80),
    "stem": plain(20, 90, 50),
    "leaf": plain(140, 200, 120),
    "eye": plain(240, 200, 40),
}


@pytest.mark.parametrize("ppi", [20.3, 31.0])
def test_edges_of_flat_colours_are_true_to_a_level(ppi):
    block = crossing_block()
    frame = prepare_frame(block, ppi=ppi)
    audition = make_audition(block, roles=FLAT, places=stay_places(block))
    shares = true_shares(block, ppi=ppi, window=(0, 0, frame.width_px, frame.height_px), lines=24)
    shares /= shares.sum(axis=0)
    colours = np.array([FLAT[patch.role].tile_srgb8[0, 0] for patch in block.patches]) / 255
    truth = encode(np.einsum("prc,pk->rck", shares, decode(colours))) * 255
    assert np.abs(paint(frame, audition) - truth).max() < 1.0


@settings(max_examples=12, deadline=None)
@given(st.floats(3.0, 40.0))
def test_no_seam_shows_between_patches_of_one_colour(ppi):
    block = garden_block()
    frame = prepare_frame(block, ppi=ppi)
    roles = {patch.role: plain(93, 121, 47, name=f"{patch.role} cloth") for patch in block.patches}
    picture = paint(frame, make_audition(block, roles=roles, places=spread_places(block)))
    assert (picture == (93, 121, 47)).all()
    assert (frame.labels > 0).all()


@pytest.mark.parametrize("ppi", [80, 83.33, 20.3, 300, 40, 150])
@pytest.mark.parametrize("spin", [0, 1])
def test_the_lines_of_an_inch_grid_stand_on_the_inches(ppi, spin):
    block = one_patch(8, spin=spin)
    cut = block.pieces[0].shape
    # The grid's lines then fall on the whole inches of the block, whichever way the piece is turned.
    place = shift(-cut.width_in / 2, -cut.height_in / 2)
    frame = prepare_frame(block, ppi=ppi, window_px=(0, 0, round(8 * ppi), max(3, round(0.8 * ppi))))
    light = paint_lin(frame, make_audition(block, roles={"all": grid_cloth()}, places={0: place}))
    middle = light[round(0.3 * ppi) : round(0.7 * ppi) + 1].mean(axis=(0, 2))
    dark = middle.max() - middle
    for inch in range(1, 8):
        near = slice(round((inch - 0.4) * ppi), round((inch + 0.4) * ppi))
        at = np.arange(near.start, near.stop) + 0.5
        centre = np.sum(dark[near] * at) / np.sum(dark[near])
        assert centre == pytest.approx(inch * ppi, abs=0.06)


@pytest.mark.parametrize(
    ("first", "second"),
    [((0, 0, 0), (255, 255, 255)), ((20, 30, 80), (250, 245, 225)), ((200, 60, 90), (250, 210, 215))],
    ids=["black and white", "navy and cream", "rose and pink"],
)
@pytest.mark.parametrize("times", [3, 3.7, 5, 8, 15])
def test_a_fine_check_keeps_its_lightness_when_reduced(first, second, times):
    block = one_patch(2)
    checked = check_cloth(first, second, texels=1, ppi=300.0)
    frame = prepare_frame(block, ppi=300 / times)
    picture = paint(frame, make_audition(block, roles={"all": checked}, places={0: shift(0.013, 0.27)}))
    truth = decode(np.array([first, second]) / 255).mean(axis=0)
    found = srgb8_to_lin(picture).reshape(-1, 3).mean(axis=0)
    assert lightness(luminance(found)) == pytest.approx(float(lightness(luminance(truth))), abs=0.3)


@pytest.mark.parametrize("ppi", [60.0, 37.7])
def test_prints_agree_with_the_slow_average(ppi):
    pairs = [
        rectangle(1, "a", 0, 0, 2, 4, spin=1),
        rectangle(2, "b", 2, 0, 2, 4, spin=2),
        shape(3, "leaf", [(0.5, 0.5), (3.5, 1.5), (2.0, 3.5)], layer=1, deg=33),
    ]
    block = draft([p for p, _ in pairs], [c for _, c in pairs])
    roles = {
        "a": noise_cloth(1, ppi=150, fall=2.2),
        "b": check_cloth((20, 30, 80), (250, 245, 225), texels=30, ppi=150.0),
        "leaf": noise_cloth(2, ppi=240, fall=2.2),
    }
    audition = make_audition(block, roles=roles, places=spread_places(block))
    frame = prepare_frame(block, ppi=ppi)
    window = (round(0.4 * ppi), round(0.3 * ppi), round(2.6 * ppi), round(1.2 * ppi))
    truth = true_light(audition, ppi=ppi, window=window, times=12)
    left, top, width, height = window
    found = paint_lin(frame, audition)[top : top + height, left : left + width]
    whole = np.ones(frame.width_px * frame.height_px, bool)
    whole[frame.shared_place] = False
    inside = whole.reshape(frame.height_px, -1)[top : top + height, left : left + width]
    off = (found - truth)[inside]
    assert -10 * np.log10(np.mean(off**2)) >= 39
    gap = lightness(luminance(found[inside].mean(axis=0))) - lightness(luminance(truth[inside].mean(axis=0)))
    assert abs(gap) < 0.2


STRIPE = np.where(
    (np.arange(40) // 20)[None, :, None] * np.ones((40, 1, 1), int) > 0, (20, 20, 20), (240, 240, 240)
)


def test_a_quarter_turned_piece_carries_its_stripe_turned():
    """A flipped corner's print is turned by 90 degrees: face-down and folded over are two mirrors."""
    along = cloth(STRIPE, ppi=80)
    pictures = []
    for spin in (0, 1):
        block = one_patch(2, spin=spin)
        pictures.append(
            paint(
                prepare_frame(block, ppi=40),
                make_audition(block, roles={"all": along}, places=stay_places(block)),
            )
        )
    upright, level = (picture[..., 0].astype(int) for picture in pictures)
    assert np.ptp(upright, axis=0).max() <= 1
    assert np.ptp(upright, axis=1).min() > 150
    assert np.ptp(level, axis=1).max() <= 1
    assert np.ptp(level, axis=0).min() > 150


def test_the_print_of_a_stem_runs_along_its_curve():
    """Bands across the strip become spokes of the arc, evenly spaced along its centre line."""
    radius, ppi = 3.0, 100
    ground = rectangle(1, "ground", 0, 0, 4, 4)
    stem = arc_stem(2, "stem", 4, 4, radius, 0.5, layer=1)
    block = draft([ground[0], stem[0]], [ground[1], stem[1]])
    banded = cloth(STRIPE, ppi=80)
    frame = prepare_frame(block, ppi=ppi)
    light = paint_lin(
        frame,
        make_audition(block, roles={"ground": plain(9, 9, 9), "stem": banded}, places=stay_places(block)),
    )[..., 0]
    angle = np.radians(180) + np.linspace(0.05, np.radians(90) - 0.05, 3000)
    for r in (radius - 0.2, radius, radius + 0.2):
        column = np.floor((4 + r * np.cos(angle)) * ppi).astype(int)
        row = np.floor((4 + r * np.sin(angle)) * ppi).astype(int)
        dark = light[row, column] < 0.3
        edges = angle[1:][dark[1:] != dark[:-1]] - np.radians(180)
        bands = edges * radius / 0.25
        assert len(edges) >= 16
        # A pixel of slack, seen from the centre, in bands of a quarter inch.
        assert np.abs(bands - np.round(bands)).max() < 1.5 / ppi / r * radius / 0.25


def test_a_bias_strip_s_grain_runs_at_45_degrees_to_the_stem():
    """A stripe along the bolt crosses a straight stem at 45 degrees."""
    ground = rectangle(1, "ground", 0, 0, 4, 4)
    stem = arc_stem(2, "stem", 2, 1000, 998, 0.5, layer=1, first_deg=269.91, last_deg=270.09)
    block = draft([ground[0], stem[0]], [ground[1], stem[1]])
    places = {0: shift(0, 0), 1: turn(45)}
    frame = prepare_frame(block, ppi=100)
    audition = make_audition(
        block, roles={"ground": plain(128, 128, 128), "stem": cloth(STRIPE, ppi=80)}, places=places
    )
    band = paint_lin(frame, audition)[182:218, 100:300, 0]
    moved = [
        np.abs(band[8:-8, 20:-20] - np.roll(band, (4, step), (0, 1))[8:-8, 20:-20]).mean() for step in (4, -4)
    ]
    assert min(moved) < 0.02
    assert max(moved) > 0.05


def test_repainting_with_a_cache_is_the_same_to_the_bit():
    block = garden_block()
    frame, cache, places = prepare_frame(block, ppi=30), PaintCache(), spread_places(block)
    first = {role: noise_cloth(i, ppi=60, name=role) for i, role in enumerate(("leaf", "petal", "ground"))}
    first |= {"sky": plain(120, 170, 220), "stem": grid_cloth(ppi=60, line_px=4), "eye": plain(240, 210, 60)}
    second = first | {"petal": check_cloth((9, 9, 9), (250, 250, 250), texels=7, ppi=100.0)}
    moved = places | {4: shift(Fraction(1, 3), 2)}
    for roles, laid in ((first, places), (second, places), (second, moved), (first, places)):
        audition = make_audition(block, roles=roles, places=laid, overrides={5: first["eye"]})
        again = paint(frame, audition, cache=cache)
        np.testing.assert_array_equal(again, paint(frame, audition))


def test_a_cloth_corrected_by_eye_is_painted_anew_though_its_key_is_the_same():
    block = one_patch()
    frame, cache, places = prepare_frame(block, ppi=30), PaintCache(), spread_places(block)
    before = noise_cloth(3, ppi=60)
    after = seen_swatch(replace(before, by_eye=ByEye(light=20)))
    assert after.key == before.key
    for swatch in (before, after, before):
        audition = make_audition(block, roles={"all": swatch}, places=places)
        np.testing.assert_array_equal(paint(frame, audition, cache=cache), paint(frame, audition))


def test_a_small_cache_keeps_within_its_limit_and_paints_the_same():
    block = garden_block()
    frame, cache = prepare_frame(block, ppi=30), PaintCache(limit_bytes=3_000_000)
    roles = {role: noise_cloth(len(role), ppi=60, name=role) for role in roles_of(block)}
    audition = make_audition(block, roles=roles, places=spread_places(block))
    for _ in range(2):
        np.testing.assert_array_equal(paint(frame, audition, cache=cache), paint(frame, audition))
        assert cache.kept_bytes <= 3_000_000


def test_windows_join_into_the_whole_picture():
    block = garden_block()
    roles = {role: noise_cloth(len(role), ppi=60, name=role) for role in roles_of(block)}
    audition = make_audition(block, roles=roles, places=spread_places(block))
    whole = paint(prepare_frame(block, ppi=20.3), audition).astype(int)
    assert whole.shape == (244, 244, 3)
    for window in ((0, 0, 100, 90), (100, 0, 144, 90), (37, 90, 207, 154), (243, 243, 1, 1)):
        left, top, width, height = window
        part = paint(prepare_frame(block, ppi=20.3, window_px=window), audition)
        assert np.abs(part - whole[top : top + height, left : left + width]).max() <= 1


def test_cloth_beyond_the_photograph_is_hatched_grey_and_never_mirrored():
    photo = np.zeros((30, 30, 3), np.uint8)
    photo[..., 0] = 200
    scrap = cloth(photo, ppi=30, name="scrap", repeats=False)
    block = one_patch(3)
    frame = prepare_frame(block, ppi=60)
    audition = make_audition(block, roles={"all": scrap}, places=stay_places(block))
    picture = paint(frame, audition)
    red = (picture == (200, 0, 0)).all(axis=2)
    assert red[60:120, 60:120].all()
    assert red.sum() == 60 * 60
    hatch = picture[~red]
    assert (hatch == hatch[:, :1]).all()
    assert len(np.unique(hatch)) == 2


def test_enlarged_cloth_is_smooth():
    dot = np.full((20, 20, 3), 240, np.uint8)
    dot[8:12, 8:12] = 20
    block = one_patch(1)
    light = paint_lin(
        prepare_frame(block, ppi=400),
        make_audition(block, roles={"all": cloth(dot, ppi=20)}, places={0: shift(0, 0)}),
    )
    steps = np.abs(np.diff(light[..., 0], axis=1))
    # Twenty output pixels to one of the photograph: a step that blocks would make all at once.
    assert steps.max() < (light.max() - light.min()) / 15


@pytest.mark.parametrize("ppi", [0.05, 0.1, 0.3, 1, 1.7])
def test_pictures_of_a_few_pixels_are_still_drawn(ppi):
    block = garden_block()
    frame = prepare_frame(block, ppi=ppi)
    assert frame.width_px == max(1, int(12 * ppi + 0.5))
    roles = {role: noise_cloth(len(role), ppi=60, name=role) for role in roles_of(block)}
    audition = make_audition(block, roles=roles, places=spread_places(block))
    light = paint_lin(frame, audition)
    assert np.isfinite(light).all()
    assert light.min() > 0.01
    assert paint(frame, audition).shape == (frame.height_px, frame.width_px, 3)


@pytest.mark.parametrize("ppi", [0, -5, float("nan"), float("inf"), 5000])
def test_absurd_resolutions_are_refused_with_a_mend(ppi):
    with pytest.raises(FrameError) as caught:
        prepare_frame(one_patch(), ppi=ppi)
    assert caught.value.mend


@pytest.mark.parametrize("window", [(0, 0, 0, 5), (-1, 0, 5, 5), (35, 0, 10, 5), (0, 39, 5, 2)])
def test_windows_that_leave_the_picture_are_refused(window):
    with pytest.raises(FrameError, match="window"):
        prepare_frame(one_patch(), ppi=10, window_px=window)
