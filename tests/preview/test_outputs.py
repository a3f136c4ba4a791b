"""Files on disk, read back by Pillow and by second readers that share nothing with it."""

from __future__ import annotations

import struct
import tracemalloc
from fractions import Fraction
from io import BytesIO

import cv2
import numpy as np
import pytest
from PIL import Image, ImageCms

from blocks.motion import shift
from palettes.encodings import srgb8_to_lin
from preview.audition import make_audition
from preview.bands import draw_bands, draw_tile, save_in_bands
from preview.files import OutputError, save_picture
from preview.frame import FrameError, prepare_frame, whole_px
from preview.keeping import PaintCache
from preview.progress import Cancelled, Watch
from preview.render import paint
from preview.scene import scene_of
from preview.sheets import contact_sheet, size_strip
from tests.preview.scenes import (
    cloth,
    draft,
    garden_block,
    grid_cloth,
    noise_cloth,
    plain,
    rectangle,
    spread_places,
)

PICTURE = np.clip(np.random.default_rng(1).normal(128, 20, (37, 53, 3)), 0, 255).astype(np.uint8)


def garden(**more):
    block = garden_block()
    roles = {
        role: noise_cloth(n, ppi=40, inches=3, name=role)
        for n, role in enumerate(sorted({patch.role for patch in block.patches}))
    }
    return block, make_audition(block, roles=roles | more, places=spread_places(block))


def tiff_tags(body):
    """The first directory of a little-endian TIFF, tag by tag: another reader."""
    order = {b"II": "<", b"MM": ">"}[body[:2]]
    (at,) = struct.unpack(order + "I", body[4:8])
    (count,) = struct.unpack(order + "H", body[at : at + 2])
    size = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1}
    found = {}
    for n in range(count):
        entry = body[at + 2 + 12 * n : at + 14 + 12 * n]
        tag, kind, many = struct.unpack(order + "HHI", entry[:8])
        length = size[kind] * many
        start = struct.unpack(order + "I", entry[8:])[0]
        raw = entry[8 : 8 + length] if length <= 4 else body[start : start + length]
        if kind in (3, 4):
            found[tag] = struct.unpack(order + f"{many}{'H' if kind == 3 else 'I'}", raw)
        elif kind == 5:
            found[tag] = Fraction(*struct.unpack(order + "II", raw))
        else:
            found[tag] = raw
    return found


def jpeg_segments(body):
    """(marker, content) up to the scan."""
    at = 2
    while body[at + 1] != 0xDA:
        (length,) = struct.unpack(">H", body[at + 2 : at + 4])
        yield body[at + 1], body[at + 4 : at + 2 + length]
        at += 2 + length


def has_srgb_profile(path):
    with Image.open(path) as picture:
        profile = ImageCms.ImageCmsProfile(BytesIO(picture.info["icc_profile"]))
    return "sRGB" in ImageCms.getProfileDescription(profile)


@pytest.mark.parametrize("ppi", [80, 300, 83.33, 20.3])
def test_a_jpeg_tells_its_size_to_two_readers_and_keeps_full_colour(tmp_path, ppi):
    path = save_picture(tmp_path / "a.jpg", PICTURE, ppi=ppi)
    segments = dict(jpeg_segments(path.read_bytes()))
    unit, across, down = struct.unpack(">BHH", segments[0xE0][7:12])
    assert (unit, across, down) == (1, round(ppi), round(ppi))
    exif = tiff_tags(segments[0xE1][6:])
    assert float(exif[282]) == float(exif[283]) == pytest.approx(ppi, abs=1e-4)
    assert exif[296] == (2,)
    # Frame header: three components, each sampled 1 x 1.
    assert [segments[0xC0][6 + 3 * n + 1] for n in range(3)] == [0x11] * 3
    assert has_srgb_profile(path)
    with Image.open(path) as picture:
        assert np.abs(np.asarray(picture).astype(int) - PICTURE).mean() < 7


@pytest.mark.parametrize("ppi", [80, 300, 83.33])
def test_a_tiff_tells_its_size_exactly_to_two_readers(tmp_path, ppi):
    path = save_picture(tmp_path / "a.tif", PICTURE, ppi=ppi)
    tags = tiff_tags(path.read_bytes())
    assert float(tags[282]) == float(tags[283]) == pytest.approx(ppi, rel=1e-7)
    assert tags[296] == (2,)
    with Image.open(path) as picture:
        assert picture.info["dpi"] == pytest.approx((ppi, ppi), abs=1e-4)
        np.testing.assert_array_equal(np.asarray(picture), PICTURE)
    np.testing.assert_array_equal(cv2.imread(str(path))[..., ::-1], PICTURE)
    assert has_srgb_profile(path)


def test_webp_with_and_without_loss(tmp_path):
    exact = save_picture(tmp_path / "a.webp", PICTURE, ppi=83.33, lossless=True)
    close = save_picture(tmp_path / "b.webp", PICTURE, ppi=83.33)
    with Image.open(exact) as picture:
        np.testing.assert_array_equal(np.asarray(picture.convert("RGB")), PICTURE)
        assert float(picture.getexif()[282]) == pytest.approx(83.33)
    np.testing.assert_array_equal(cv2.imread(str(exact))[..., ::-1], PICTURE)
    with Image.open(close) as picture:
        assert 0 < np.abs(np.asarray(picture.convert("RGB")).astype(int) - PICTURE).mean() < 16
    assert has_srgb_profile(exact)


@pytest.mark.parametrize("name", ["a.gif", "a", "a.bmp"])
def test_other_names_are_refused(tmp_path, name):
    with pytest.raises(OutputError, match="not named as a picture") as caught:
        save_picture(tmp_path / name, PICTURE, ppi=80)
    assert ".webp" in caught.value.mend


def test_poor_quality_and_what_a_format_cannot_hold_are_refused(tmp_path):
    with pytest.raises(OutputError, match="quality 50"):
        save_picture(tmp_path / "a.jpg", PICTURE, ppi=80, quality=50)
    wide = np.zeros((1, 20_000, 3), np.uint8)
    with pytest.raises(OutputError, match="more than this format holds"):
        save_picture(tmp_path / "a.webp", wide, ppi=80)
    assert list(tmp_path.iterdir()) == []
    one = save_picture(tmp_path / "one.png", PICTURE[:1, :1], ppi=0.1)
    with Image.open(one) as picture:
        assert picture.size == (1, 1)


@pytest.mark.parametrize("name", ["a.png", "a.tif"])
def test_bands_make_the_picture_that_is_drawn_at_once(tmp_path, monkeypatch, name):
    monkeypatch.setattr("preview.bands._BAND_PX", 5_000)
    block, audition = garden()
    shares = []
    path = save_in_bands(
        tmp_path / name, block, audition, ppi=20.3, watch=Watch(tell=shares.append, stop=lambda: False)
    )
    whole = paint(prepare_frame(block, ppi=20.3), audition).astype(int)
    with Image.open(path) as picture:
        assert np.abs(np.asarray(picture) - whole).max() <= 1
        assert picture.info["dpi"] == pytest.approx((20.3, 20.3), abs=0.013)
    assert np.abs(cv2.imread(str(path))[..., ::-1] - whole).max() <= 1
    assert has_srgb_profile(path)
    assert shares[0] == 0
    assert shares[-1] == 1
    assert sorted(shares) == shares
    assert len(shares) > 5


def test_stopping_leaves_nothing_and_keeps_what_was_there(tmp_path, monkeypatch):
    monkeypatch.setattr("preview.bands._BAND_PX", 5_000)
    block, audition = garden()
    path = tmp_path / "a.png"
    path.write_bytes(b"before")
    told = []
    with pytest.raises(Cancelled):
        save_in_bands(
            path, block, audition, ppi=20, watch=Watch(tell=told.append, stop=lambda: len(told) > 2)
        )
    assert path.read_bytes() == b"before"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.png"]
    with pytest.raises(OutputError, match="neither"):
        save_in_bands(tmp_path / "a.jpg", block, audition, ppi=20)
    wide, piece = rectangle(1, "all", 0, 0, 100, 1)
    strip = draft([wide], [piece], width=100, height=1)
    plainly = make_audition(strip, roles={"all": plain(1, 2, 3)}, places={0: shift(0, 0)})
    with pytest.raises(OutputError, match="absurd"):
        save_in_bands(path, strip, plainly, ppi=5_000)


def test_a_tiff_that_would_outgrow_its_kind_is_refused_and_removed(tmp_path, monkeypatch):
    monkeypatch.setattr("preview.band_tiff._MOST_BYTES", 4_000)
    block, audition = garden()
    with pytest.raises(OutputError, match="outgrew") as caught:
        save_in_bands(tmp_path / "a.tif", block, audition, ppi=20)
    assert "PNG" in caught.value.mend
    assert list(tmp_path.iterdir()) == []


def test_a_picture_of_30_000_pixels_keeps_to_bounded_memory():
    patch, piece = rectangle(1, "all", 0, 0, 10, 10)
    block = draft([patch], [piece], width=10, height=10)
    audition = make_audition(block, roles={"all": grid_cloth(ppi=100, line_px=4)}, places={0: shift(0, 0)})
    assert whole_px(block, ppi=3000) == (30_000, 30_000)
    bands = draw_bands(block, audition, ppi=3000)
    tracemalloc.start()
    for _ in range(2):
        band = next(bands)
        assert band.shape[1] == 30_000
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 200e6


def test_tiles_on_demand_join_and_are_kept_within_a_limit():
    block, audition = garden()
    scene, cache = scene_of(block), PaintCache(limit_bytes=2_000_000)
    whole = paint(prepare_frame(block, ppi=25), audition).astype(int)
    for row in range(3):
        for column in range(3):
            for _ in range(2):
                tile = draw_tile(
                    scene, audition, ppi=25, column=column, row=row, side_px=128, cache=cache
                ).astype(int)
            part = whole[row * 128 : (row + 1) * 128, column * 128 : (column + 1) * 128]
            assert tile.shape == part.shape
            assert np.abs(tile - part).max() <= 1
            assert cache.kept_bytes <= 2_000_000
    with pytest.raises(FrameError):
        draw_tile(scene, audition, ppi=25, column=3, row=0, side_px=128)


def test_a_contact_sheet_holds_every_audition_as_it_is_painted():
    block, first = garden()
    _, second = garden(petal=plain(250, 10, 10))
    scene = scene_of(block)
    sheet = contact_sheet(scene, [first, second], captions=["one", "two " * 60], each_px=120, gap_px=10)
    frame = prepare_frame(scene, ppi=10)
    for number, audition in enumerate((first, second)):
        left = 10 + number * 130
        np.testing.assert_array_equal(sheet[10:130, left : left + 120], paint(frame, audition))
        assert (sheet[134:190, left : left + 120] < 128).any()
    assert (sheet[:10] == 255).all()
    with pytest.raises(ValueError, match="captions"):
        contact_sheet(scene, [first], captions=[])
    with pytest.raises(FrameError):
        contact_sheet(scene, [first], captions=["a"], each_px=40_000)


def test_a_strip_shows_the_same_corner_of_the_print_at_every_size():
    print_ = noise_cloth(4, ppi=60, inches=4)
    strip = size_strip(print_, [Fraction(1), Fraction(2), Fraction(4)], ppi=60, gap_px=10)
    height = strip.shape[0]
    bottom = 10 + 240
    small = strip[bottom - 60 : bottom, 10:70]
    large = strip[bottom - 240 : bottom, -250:-10]
    np.testing.assert_array_equal(small, large[:60, :60])
    light = srgb8_to_lin(large).mean(axis=(0, 1))
    np.testing.assert_allclose(light, srgb8_to_lin(print_.tile_srgb8).mean(axis=(0, 1)), atol=0.002)
    assert (strip[: height - 280, :200] == 255).all()
    scrap = cloth(np.full((30, 30, 3), (200, 0, 0)), ppi=30, repeats=False)
    hatched = size_strip(scrap, [Fraction(2)], ppi=30, gap_px=10)[10:70, 10:70]
    assert 0.2 < (hatched == (200, 0, 0)).all(axis=2).mean() < 0.3
    with pytest.raises(ValueError, match="sizes"):
        size_strip(print_, [])
