"""Views as functions of a picture and its frame: known inputs with known answers."""

from __future__ import annotations

import numpy as np
import pytest

from blocks.edges import find_edges
from palettes.encodings import lin_to_srgb8, luminance, srgb8_to_lin
from palettes.lightness import lightness
from palettes.viewing import ACROSS_ROOM, IN_HAND, Viewing
from palettes.vision import eyes_matrix
from preview.audition import make_audition
from preview.frame import prepare_frame
from preview.pens import Pen, dashes, draw_lines
from preview.readings import read_edges
from preview.render import paint
from preview.views_eyes import aged_view, eyes_view
from preview.views_pressing import PressedSeam, pressing_view
from preview.views_roles import role_looks, roles_key, roles_view
from preview.views_seams import SEAM_LOOKS, lost_view, seams_view
from preview.views_sewn import sewn_view
from preview.views_value import dim_view, far_view, stepped_view
from tests.preview.scenes import draft, garden_block, plain, rectangle, shape, stay_places

CHECK = (np.indices((96, 128)).sum(axis=0)[..., None] % 2 * np.array([250, 240, 230])).astype(np.uint8)


def flat(*colour, shape=(60, 80)):
    return np.full((*shape, 3), colour, np.uint8)


def two_halves(left, right):
    pairs = [rectangle(1, "left", 0, 0, 2, 4), rectangle(2, "right", 2, 0, 2, 4)]
    block = draft([p for p, _ in pairs], [c for _, c in pairs])
    return block, make_audition(block, roles={"left": left, "right": right}, places=stay_places(block))


@pytest.mark.parametrize("steps", [2, 3, 5, 10])
def test_steps_share_lightness_equally(steps):
    ramp = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    seen = stepped_view(ramp, steps=steps)
    before = lightness(luminance(srgb8_to_lin(ramp)))[0]
    after = lightness(luminance(srgb8_to_lin(seen)))[0]
    assert len(np.unique(seen)) == steps
    middles = (np.arange(steps) + 0.5) * 100 / steps
    np.testing.assert_allclose(
        after, middles[np.clip((before * steps / 100).astype(int), 0, steps - 1)], atol=0.3
    )


def test_a_fine_check_steps_by_its_mean_once_averaged():
    seen = stepped_view(CHECK, steps=5, averaged_px=12)
    mean = float(lightness(luminance(srgb8_to_lin(CHECK).mean(axis=(0, 1)))))
    middle = seen[20:-20, 20:-20]
    assert len(np.unique(middle)) == 1
    assert abs(float(lightness(luminance(srgb8_to_lin(middle[0, 0])))) - (int(mean / 20) + 0.5) * 20) < 0.5


@pytest.mark.parametrize("steps", [1, 11])
def test_absurd_steps_are_refused(steps):
    with pytest.raises(ValueError, match="steps"):
        stepped_view(flat(1, 2, 3), steps=steps)


def test_from_afar_a_check_gives_the_mean_of_its_light():
    far = far_view(CHECK, ppi=20, viewing=Viewing("across a hall", 600.0))
    truth = lin_to_srgb8(srgb8_to_lin(CHECK).mean(axis=(0, 1)))
    assert np.abs(far[10:-10, 10:-10].astype(int) - truth).max() <= 1
    assert far.shape == CHECK.shape


@pytest.mark.parametrize("distance_in", [144.0, 600.0, 2400.0])
def test_a_sharp_edge_is_blurred_as_wide_as_the_eye_s_blur(distance_in):
    viewing, ppi = Viewing("there", distance_in), 80.0
    picture = flat(0, 0, 0, shape=(8, 1600))
    picture[:, 800:] = 255
    light = srgb8_to_lin(far_view(picture, ppi=ppi, viewing=viewing))[4, :, 0].astype(float)
    slope = np.diff(light)
    at = np.arange(len(slope)) - 799.0
    spread = np.sqrt(np.sum(slope * at**2) / np.sum(slope))
    # Eight bits hide the tails of the blur, and a step of a pixel has a width of its own.
    assert spread == pytest.approx(np.hypot(viewing.sigma_in * ppi, 0.29), rel=0.04)
    assert abs(np.sum(slope * at) / np.sum(slope)) < 0.05 * spread + 0.05


def test_reduced_from_afar_keeps_the_light():
    far = far_view(CHECK, ppi=80, viewing=ACROSS_ROOM, smaller=True)
    assert far.shape[0] < CHECK.shape[0]
    gap = lightness(luminance(srgb8_to_lin(far).mean(axis=(0, 1)))) - lightness(
        luminance(srgb8_to_lin(CHECK).mean(axis=(0, 1)))
    )
    assert abs(float(gap)) < 0.3
    np.testing.assert_array_equal(far_view(CHECK, ppi=1e-3, viewing=IN_HAND), CHECK)


def test_in_a_dim_room_all_is_darker_and_order_of_greys_is_kept():
    greys = np.repeat(np.arange(0, 256, 15, dtype=np.uint8)[None, :, None], 3, axis=2)
    seen = dim_view(greys).astype(int)
    assert (np.diff(seen[0, :, 0]) > 0).all()
    assert (seen[0, 1:] < greys[0, 1:]).all()
    assert np.ptp(seen, axis=2).max() <= 1
    # Red, as light as blue by day, falls behind it.
    red, blue = dim_view(flat(160, 0, 0))[0, 0], dim_view(flat(0, 0, 255))[0, 0]
    assert luminance(srgb8_to_lin(blue)) > luminance(srgb8_to_lin(red))


@pytest.mark.parametrize("eyes", ["protan", "deutan", "tritan"])
def test_eyes_see_by_the_published_matrix(eyes):
    colour = np.array([[[150, 120, 90]]], np.uint8)
    light = srgb8_to_lin(colour)[0, 0].astype(float)
    wanted = lin_to_srgb8((eyes_matrix(eyes, severity=0.65) @ light).astype(np.float32))
    np.testing.assert_array_equal(eyes_view(colour, eyes=eyes, severity=0.65)[0, 0], wanted)
    np.testing.assert_array_equal(eyes_view(colour, eyes=eyes, severity=0), colour)


def test_an_old_lens_takes_blue_and_keeps_red():
    seen = aged_view(flat(200, 200, 200), years=80)[0, 0].astype(int)
    assert seen[0] == 200
    assert seen[0] > seen[1] > seen[2]


def test_roles_differ_by_pattern_alone():
    frame = prepare_frame(garden_block(), ppi=40)
    view = roles_view(frame)
    looks = role_looks(frame.scene.roles)
    assert len({look.pattern for look in looks}) == len(looks)
    patterns = {(look.tile_srgb8 == look.tile_srgb8[0, 0]).all(axis=2).tobytes() for look in looks}
    assert len(patterns) == len(looks)
    for owner, role in enumerate(frame.scene.roles):
        if owner in set(frame.scene.bent_owners().tolist()):
            continue
        rows, columns = np.nonzero(frame.labels == frame.scene.numbers[owner])
        look = next(look for look in looks if look.role == role)
        whole = np.setdiff1d(rows * frame.width_px + columns, frame.shared_place)
        row, column = np.divmod(whole, frame.width_px)
        # Straight in the picture, whichever way the piece is turned.
        off = np.abs(view[row, column].astype(int) - look.tile_srgb8[row % 16, column % 16])
        quarter = frame.scene.to_piece[owner]
        if abs(quarter[0]) in (0, 1):
            assert np.median(off) <= 2
    assert roles_key(frame).shape[0] > 32 * len(looks)


def test_many_roles_still_have_looks_of_their_own():
    looks = role_looks([f"role {n}" for n in range(88)])
    assert len({look.tile_srgb8.tobytes() for look in looks}) == 88


def test_a_lost_seam_is_marked_in_another_colour_and_shape_than_a_clear_one():
    marked = {}
    for name, right in (("clear", plain(20, 20, 40)), ("lost", plain(226, 221, 211))):
        block, audition = two_halves(plain(228, 222, 210), right)
        readings = read_edges(audition, find_edges(block))
        assert [reading.word for reading in readings] == [name]
        frame = prepare_frame(block, ppi=60)
        sheet = seams_view(frame, readings)
        ink = (sheet == SEAM_LOOKS[name][0]).all(axis=2)
        assert ink[:, 110:130].any()
        assert not ink[:, :90].any()
        marked[name] = ink[:, 110:130].any(axis=1).mean()
        picture = paint(frame, audition)
        lost = lost_view(frame, readings, over_srgb8=picture)
        assert (lost != picture).any() == (name == "lost")
    # Unbroken against dotted.
    assert marked["clear"] == 1
    assert 0.2 < marked["lost"] < 0.95


def test_edges_that_need_not_read_are_only_grey():
    pairs = [rectangle(1, "same", 0, 0, 2, 4), rectangle(2, "same", 2, 0, 2, 4)]
    block = draft([p for p, _ in pairs], [c for _, c in pairs])
    audition = make_audition(block, roles={"same": plain(90, 90, 90)}, places=stay_places(block))
    sheet = seams_view(prepare_frame(block, ppi=40), read_edges(audition, find_edges(block)))
    assert np.ptp(sheet.astype(int), axis=2).max() <= 5
    assert (sheet < 200).any()


def test_arrows_point_where_the_allowance_goes():
    block, _ = two_halves(plain(1, 1, 1), plain(2, 2, 2))
    frame = prepare_frame(block, ppi=60)
    for toward, heavier in (((1.0, 0.0), "right"), ((-1.0, 0.3), "left"), ((0.0, 0.0), "both")):
        sheet = pressing_view(frame, [PressedSeam((2.0, 0.0), (2.0, 4.0), toward)])
        dark = (sheet.max(axis=2) < 80)[110:131]
        left, right = dark[:, :119].sum(), dark[:, 121:].sum()
        found = "both" if abs(left - right) < 0.1 * (left + right) else "left" if left > right else "right"
        assert found == heavier
    nothing = pressing_view(frame, [PressedSeam((2.0, 1.0), (2.0, 1.0), (1.0, 0.0))])
    assert (nothing[:, :100] == 255).all()


def test_the_sewn_look_is_nothing_at_strength_0_and_only_light_otherwise():
    pairs = [rectangle(1, "left", 0, 0, 2, 4), rectangle(2, "right", 2, 0, 2, 4)]
    pairs.append(shape(3, "leaf", [(0.5, 1), (3, 1), (3, 3), (0.5, 3)], layer=1))
    block = draft([p for p, _ in pairs], [c for _, c in pairs])
    roles = {"left": plain(120, 80, 60), "right": plain(120, 80, 60), "leaf": plain(120, 80, 60)}
    frame = prepare_frame(block, ppi=60)
    picture = paint(frame, make_audition(block, roles=roles, places=stay_places(block)))
    np.testing.assert_array_equal(sewn_view(frame, picture, strength=0), picture)
    sewn = sewn_view(frame, picture)
    ratio = srgb8_to_lin(sewn) / srgb8_to_lin(picture)
    assert np.ptp(ratio, axis=2).max() < 0.05
    assert abs(float(ratio.mean()) - 1) < 0.03
    # The light comes from the top left: the turned edge shines there and is dark at the other end.
    assert sewn[120, 30:36].max() > 122 > 118 > sewn[120, 174:186].min()
    with pytest.raises(ValueError, match="strength"):
        sewn_view(frame, picture, strength=9)
    with pytest.raises(ValueError, match="size"):
        sewn_view(frame, picture[1:])


@pytest.mark.parametrize("ppi", [0.1, 0.5])
def test_views_of_a_pixel_are_still_views(ppi):
    block = garden_block()
    frame = prepare_frame(block, ppi=ppi)
    picture = np.full((frame.height_px, frame.width_px, 3), 90, np.uint8)
    for view in (
        sewn_view(frame, picture),
        roles_view(frame),
        far_view(picture, ppi=ppi, viewing=ACROSS_ROOM),
        stepped_view(picture, steps=3, averaged_px=4),
        pressing_view(frame, []),
        seams_view(frame, []),
    ):
        assert view.shape == picture.shape
        assert view.dtype == np.uint8


def test_dashes_begin_and_end_the_line_and_cover_their_share():
    line = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 40.0)])
    parts = dashes(line, (6.0, 4.0))
    np.testing.assert_allclose(parts[0][0], line[0])
    np.testing.assert_allclose(parts[-1][-1], line[-1], atol=1e-9)
    drawn = sum(np.hypot(*np.diff(part, axis=0).T).sum() for part in parts)
    assert drawn / 70 == pytest.approx(0.63, abs=0.04)
    assert dashes(line, ()) == [line]
    frame = prepare_frame(garden_block(), ppi=10)
    sheet = np.full((120, 120, 3), 255, np.uint8)
    draw_lines(sheet, frame, [[(1, 6), (11, 6)]], Pen((0, 0, 0), 2))
    assert (sheet[59:61, 20:100] == 0).any(axis=0).all()
