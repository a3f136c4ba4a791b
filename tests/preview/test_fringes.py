"""What seldom happens and must not go wrong: tiny prints, bad shapes, real cloth, golden pictures."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from blocks.motion import shift, turn
from palettes.encodings import decode, luminance, srgb8_to_lin
from palettes.lightness import lightness
from preview.audition import make_audition
from preview.frame import prepare_frame
from preview.render import paint, paint_lin
from tests.preview.scenes import check_cloth, cloth, draft, plain, rectangle, shape, stay_places

CLOTH = Path(__file__).resolve().parents[2] / ".." / "shared" / "cloth"


def with_shapes(*outlines):
    """A ground with appliqué of these outlines on it."""
    pairs = [rectangle(1, "ground", 0, 0, 4, 4)]
    for number, points in enumerate(outlines, start=2):
        try:
            pairs.append(shape(number, "leaf", points, layer=number - 1))
        except ZeroDivisionError:
            pytest.fail("the scene could not be made")
    return draft([p for p, _ in pairs], [c for _, c in pairs])


def painted(block, ppi=23.7):
    roles = {"ground": plain(220, 210, 190), "leaf": plain(40, 90, 60)}
    used = {patch.role for patch in block.patches}
    audition = make_audition(block, roles={role: roles[role] for role in used}, places=stay_places(block))
    return paint_lin(prepare_frame(block, ppi=ppi), audition)


@pytest.mark.parametrize(
    "points",
    [
        [(1, 1), (3, 3), (1, 1)],
        [(1, 1), (3, 1), (2, 1)],
        [(2, 2), (2, 2), (2, 2)],
    ],
    ids=["there and back", "level", "a point"],
)
def test_appliqué_of_no_area_shows_nothing(points):
    bare, found = painted(with_shapes()), painted(with_shapes(points))
    np.testing.assert_allclose(found, bare, atol=1e-4)


@pytest.mark.parametrize(
    ("points", "area"),
    [
        ([(1, 1), (2, 2), (3, 1), (3, 3), (2, 2), (1, 3)], 2.0),
        ([(1, 1), (3, 1), (3, 3), (2, 1), (1, 3)], 2.0),
        (
            [
                (1, 1),
                (3, 1),
                (3, 3),
                (1, 3),
                (1, 1),
                (1.5, 1.5),
                (1.5, 2.5),
                (2.5, 2.5),
                (2.5, 1.5),
                (1.5, 1.5),
            ],
            3.0,
        ),
    ],
    ids=["two tips that meet", "a tip on an edge", "a hole reached by a slit"],
)
def test_appliqué_that_touches_itself_covers_its_true_area(points, area):
    light = painted(with_shapes(points), ppi=40)[..., 0]
    dark, pale = decode(40 / 255), decode(220 / 255)
    share = (pale - light) / (pale - dark)
    assert share.min() > -1e-3
    assert share.max() < 1 + 1e-3
    assert share.sum() / 40**2 == pytest.approx(area, abs=0.01)


def test_a_print_smaller_than_a_pixel_is_its_mean():
    tiny = check_cloth((0, 0, 0), (255, 255, 255), texels=1, ppi=600.0, squares=2)
    patch, piece = rectangle(1, "all", 0, 0, 3, 3, spin=1)
    block = draft([patch], [piece], width=3, height=3)
    audition = make_audition(block, roles={"all": tiny}, places={0: turn(37)})
    light = paint_lin(prepare_frame(block, ppi=11), audition)
    np.testing.assert_allclose(light, 0.5, atol=0.004)


@pytest.mark.parametrize("name", ["gingham_acg_fabric055_red", "plaid_acg_fabric080"])
def test_real_checks_keep_their_light_and_their_squares_when_reduced(name):
    path = CLOTH / f"{name}.jpg"
    if not path.exists():
        pytest.skip("the photographs of cloth are not here")
    with Image.open(path) as photo:
        tile = np.asarray(photo.convert("RGB"))
    side = min(1024, *tile.shape[:2]) // 16 * 16
    tile = tile[:side, :side]
    swatch = cloth(tile, ppi=side / 4, name=name)
    patch, piece = rectangle(1, "all", 0, 0, 4, 4)
    block = draft([patch], [piece], width=4, height=4)
    for ppi in (side / 16, side / 32, 16):
        audition = make_audition(block, roles={"all": swatch}, places={0: shift(-0.25, -0.25)})
        found = paint_lin(prepare_frame(block, ppi=ppi), audition)
        light = srgb8_to_lin(tile)
        gap = lightness(luminance(found.mean(axis=(0, 1)))) - lightness(luminance(light.mean(axis=(0, 1))))
        assert abs(float(gap)) < 0.15
        if ppi == side / 16:
            truth = light.reshape(side // 4, 4, side // 4, 4, 3).mean(axis=(1, 3))
            inner = np.s_[4:-4, 4:-4]
            error = np.mean((found[inner] - truth[inner]) ** 2)
            assert -10 * np.log10(error) > 36


def test_a_one_pixel_picture_is_the_mean_of_the_block():
    pairs = [rectangle(1, "a", 0, 0, 1, 4), rectangle(2, "b", 1, 0, 3, 4)]
    block = draft([p for p, _ in pairs], [c for _, c in pairs])
    roles = {"a": plain(0, 0, 0), "b": plain(255, 255, 255)}
    frame = prepare_frame(block, ppi=0.25)
    audition = make_audition(block, roles=roles, places=stay_places(block))
    assert paint_lin(frame, audition)[0, 0, 0] == pytest.approx(0.75, abs=1e-3)
    assert paint(frame, audition).shape == (1, 1, 3)


@pytest.mark.parametrize("blue", [0xEF, 0xF0, 0xF3, 0xF7, 0xF8, 0xFF])
def test_every_white_survives_being_moved_four_pixels_at_a_time(blue):
    """Four packed pixels, read as numbers, are no numbers at all for these colours."""
    patch, piece = rectangle(1, "all", 0, 0, 4, 4)
    block = draft([patch], [piece])
    audition = make_audition(block, roles={"all": plain(255, 253, blue)}, places=stay_places(block))
    assert (paint(prepare_frame(block, ppi=9.3), audition) == (255, 253, blue)).all()
