"""Pictures on disk, read back by Pillow and by reading the chunks of the PNG one after the other."""

from __future__ import annotations

import os
import struct
import zlib
from io import BytesIO

import cv2
import numpy as np
import pytest
from PIL import Image, ImageCms

from preview.files import OutputError, save_png

PICTURE = np.random.default_rng(1).integers(0, 256, (37, 53, 3), dtype=np.uint8)


def chunks(body):
    assert body[:8] == b"\x89PNG\r\n\x1a\n"
    at = 8
    while at < len(body):
        (length,) = struct.unpack(">I", body[at : at + 4])
        kind, content = body[at + 4 : at + 8], body[at + 8 : at + 8 + length]
        (check,) = struct.unpack(">I", body[at + 8 + length : at + 12 + length])
        assert check == zlib.crc32(kind + content)
        yield kind, content
        at += 12 + length


@pytest.mark.parametrize(
    ("ppi", "per_metre"), [(80, 3150), (300, 11811), (96, 3780), (20.3, 799), (72, 2835)]
)
def test_the_resolution_is_the_nearest_that_png_can_say(tmp_path, ppi, per_metre):
    path = save_png(tmp_path / "a.png", PICTURE, ppi=ppi)
    found = dict(chunks(path.read_bytes()))
    assert struct.unpack(">IIB", found[b"pHYs"]) == (per_metre, per_metre, 1)
    with Image.open(path) as picture:
        assert picture.info["dpi"] == pytest.approx((ppi, ppi), abs=0.0128)


def test_pixels_come_back_by_two_readers_and_the_profile_is_srgb(tmp_path):
    path = save_png(tmp_path / "a.png", PICTURE, ppi=80)
    with Image.open(path) as picture:
        assert picture.mode == "RGB"
        np.testing.assert_array_equal(np.asarray(picture), PICTURE)
        profile = ImageCms.ImageCmsProfile(BytesIO(picture.info["icc_profile"]))
        assert "sRGB" in ImageCms.getProfileDescription(profile)
        to_srgb = ImageCms.buildTransform(profile, ImageCms.createProfile("sRGB"), "RGB", "RGB")
        moved = np.asarray(ImageCms.applyTransform(picture, to_srgb)).astype(int)
        assert np.abs(moved - PICTURE).max() <= 1
    np.testing.assert_array_equal(cv2.imread(str(path), cv2.IMREAD_COLOR)[..., ::-1], PICTURE)


def test_the_same_picture_is_the_same_file(tmp_path):
    first = save_png(tmp_path / "a.png", PICTURE, ppi=80).read_bytes()
    assert save_png(tmp_path / "b.png", PICTURE, ppi=80).read_bytes() == first


def test_a_missing_folder_is_named_with_a_mend_and_nothing_is_left(tmp_path):
    with pytest.raises(OutputError, match="folder does not exist") as caught:
        save_png(tmp_path / "nowhere" / "a.png", PICTURE, ppi=80)
    assert caught.value.mend
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_the_way_and_a_wrong_name_are_refused(tmp_path):
    (tmp_path / "a.png").mkdir()
    with pytest.raises(OutputError):
        save_png(tmp_path / "a.png", PICTURE, ppi=80)
    with pytest.raises(OutputError, match="not named"):
        save_png(tmp_path / "a.jpg", PICTURE, ppi=80)
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.png"]


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="the superuser may write anywhere")
def test_a_closed_folder_is_refused(tmp_path):
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o500)
    with pytest.raises(OutputError, match="may not be written"):
        save_png(closed / "a.png", PICTURE, ppi=80)


def test_an_older_picture_is_replaced_only_by_a_whole_one(tmp_path, monkeypatch):
    path = save_png(tmp_path / "a.png", PICTURE, ppi=80)
    before = path.read_bytes()

    def full_disk(_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(OutputError, match="No space left"):
        save_png(path, PICTURE[::-1].copy(), ppi=80)
    assert path.read_bytes() == before
    assert [entry.name for entry in tmp_path.iterdir()] == ["a.png"]


@pytest.mark.parametrize("ppi", [0, -3, float("nan"), float("inf"), 1e9])
def test_absurd_resolutions_are_refused(tmp_path, ppi):
    with pytest.raises(OutputError, match="no resolution"):
        save_png(tmp_path / "a.png", PICTURE, ppi=ppi)


def test_absurd_sizes_are_refused_before_anything_is_made(tmp_path):
    huge = np.broadcast_to(np.zeros(3, np.uint8), (40_000, 40_000, 3))
    with pytest.raises(OutputError, match="absurd"):
        save_png(tmp_path / "a.png", huge, ppi=300)
    with pytest.raises(OutputError, match="no pixels"):
        save_png(tmp_path / "a.png", np.zeros((0, 5, 3), np.uint8), ppi=300)
