"""Photographs made here go in and come out right; what cannot be read is refused in one plain line."""

from __future__ import annotations

import os
import struct
import threading
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from swatches.decode import MOST_PIXELS, PhotoError, read_photo
from swatches.jpeg_marks import read_jpeg_marks
from swatches.orientation import turn_upright
from tests.swatches.pictures import (
    difference,
    encoded,
    refusal,
    refused,
    saved,
    smooth,
    speckled,
    srgb_profile,
)


@pytest.mark.parametrize("ending", ["png", "tif", "bmp", "webp"])
def test_formats_without_loss_keep_every_code(tmp_path: Path, ending: str) -> None:
    pixels = speckled()
    path = saved(tmp_path / f"cloth.{ending}", pixels, **({"lossless": True} if ending == "webp" else {}))
    photo = read_photo(path)
    assert np.array_equal(photo.srgb8, pixels)
    assert photo.notes == ()


@pytest.mark.parametrize("ending", ["jpg", "avif", "heic"])
def test_formats_with_loss_keep_the_colours(tmp_path: Path, ending: str) -> None:
    import pillow_heif

    pillow_heif.register_heif_opener()
    photo = read_photo(saved(tmp_path / f"cloth.{ending}", smooth(), quality=95))
    assert photo.srgb8.shape == smooth().shape
    assert difference(photo.srgb8, smooth()).mean() < 1.5


def test_content_counts_and_not_the_name(tmp_path: Path) -> None:
    path = tmp_path / "cloth.jpg"
    path.write_bytes(encoded(speckled(), "PNG"))
    assert np.array_equal(read_photo(path).srgb8, speckled())


@pytest.mark.parametrize("turn", range(1, 9))
@pytest.mark.parametrize("ending", ["jpg", "png", "webp", "tif"])
def test_every_orientation_is_applied_once(tmp_path: Path, turn: int, ending: str) -> None:
    upright = smooth(48, 80)
    # What the sensor saw: the inverse of turning upright (two of the eight are each other's inverse).
    stored = turn_upright(upright, {6: 8, 8: 6}.get(turn, turn))
    exif = Image.Exif()
    exif[0x0112] = turn
    path = saved(tmp_path / f"cloth.{ending}", np.ascontiguousarray(stored), exif=exif, quality=95)
    assert difference(read_photo(path).srgb8, upright).mean() < 2


def test_a_profile_that_is_srgb_changes_nothing(tmp_path: Path) -> None:
    path = saved(tmp_path / "cloth.png", speckled(), icc_profile=srgb_profile())
    assert np.array_equal(read_photo(path).srgb8, speckled())


def test_a_broken_profile_is_noted_and_not_fatal(tmp_path: Path) -> None:
    photo = read_photo(saved(tmp_path / "cloth.png", speckled(), icc_profile=srgb_profile()[:200]))
    assert np.array_equal(photo.srgb8, speckled())
    assert any("ignored" in note for note in photo.notes)


def test_transparency_is_blended_in_light(tmp_path: Path) -> None:
    pixels = np.zeros((16, 16, 4), np.uint8)
    pixels[:8, :, 3] = 128
    pixels[8:, :, 3] = 255
    photo = read_photo(saved(tmp_path / "cloth.png", pixels))
    # 127 of 255 parts of the light of white: code 187, where blending codes would give 127.
    assert photo.srgb8[0, 0].tolist() == [187, 187, 187]
    assert photo.srgb8[15, 0].tolist() == [0, 0, 0]
    assert any("transparent" in note for note in photo.notes)


@pytest.mark.parametrize("alpha", [False, True])
def test_sixteen_bits_are_rounded(tmp_path: Path, alpha: bool) -> None:
    import cv2

    deep = np.zeros((16, 64, 4 if alpha else 3), np.uint16)
    deep[..., :3] = (np.arange(64) * 1000 + 250)[None, :, None]
    deep[..., 3:] = 65535
    path = tmp_path / "scan.png"
    assert cv2.imwrite(str(path), deep)
    photo = read_photo(path)
    wanted = np.round(deep[..., :3] / 257).astype(np.uint8)
    assert np.array_equal(photo.srgb8, wanted)


def test_sixteen_bit_grey_is_not_clipped(tmp_path: Path) -> None:
    deep = np.linspace(0, 65535, 320).reshape(10, 32).round().astype(np.uint16)
    photo = read_photo(saved(tmp_path / "scan.png", Image.fromarray(deep)))
    assert np.array_equal(photo.srgb8[..., 0], np.round(deep / 257).astype(np.uint8))


def test_only_the_first_frame_is_used(tmp_path: Path) -> None:
    first, second = Image.fromarray(speckled(seed=1)), Image.fromarray(speckled(seed=2))
    first.save(tmp_path / "cloth.png", save_all=True, append_images=[second])
    photo = read_photo(tmp_path / "cloth.png")
    assert np.array_equal(photo.srgb8, speckled(seed=1))
    assert photo.notes == ("Only the first of the pictures in the file is used.",)


def test_density_of_the_file_is_a_hint_only(tmp_path: Path) -> None:
    photo = read_photo(saved(tmp_path / "scan.png", speckled(), dpi=(300, 300)))
    assert photo.ppi_hint == pytest.approx(300, abs=0.01)
    assert "300" in photo.density_note
    usual = read_photo(saved(tmp_path / "usual.jpg", smooth(), dpi=(72, 72)))
    assert usual.ppi_hint is None
    assert "mean nothing" in usual.density_note
    assert read_photo(saved(tmp_path / "none.png", speckled())).density_note == ""


def test_pixels_that_are_not_square_are_made_so(tmp_path: Path) -> None:
    photo = read_photo(saved(tmp_path / "scan.png", smooth(120, 90), dpi=(300, 600)))
    assert photo.srgb8.shape == (60, 90, 3)
    assert photo.ppi_hint == pytest.approx(300, abs=0.01)


def test_missing_folder_and_empty(tmp_path: Path) -> None:
    assert "does not exist" in refusal(tmp_path / "no such.jpg")
    assert "is a folder" in refusal(tmp_path)
    (tmp_path / "empty.jpg").touch()
    assert "is empty" in refusal(tmp_path / "empty.jpg")


def test_a_name_no_file_can_have() -> None:
    with pytest.raises(PhotoError):
        read_photo("a\0b.jpg")


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.jpg"
    os.mkfifo(pipe)
    assert "not an ordinary file" in refusal(pipe)


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read(tmp_path: Path) -> None:
    path = saved(tmp_path / "cloth.png", speckled())
    path.chmod(0)
    assert "cannot be opened" in refusal(path)


@pytest.mark.parametrize(
    ("start", "said"),
    [
        (b"%PDF-1.7 ...", "PDF"),
        (b"PK\x03\x04......", "archive"),
        (b"<svg xmlns=''/>", "drawing"),
        (b"hello, this is a note", "is not a picture"),
    ],
)
def test_other_files_are_named(tmp_path: Path, start: bytes, said: str) -> None:
    path = tmp_path / "cloth.jpg"
    path.write_bytes(start)
    assert said in refusal(path)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF", "WEBP", "AVIF", "HEIF"])
@pytest.mark.parametrize("share", [0.3, 0.7, 0.98])
def test_no_file_that_was_cut_short_is_accepted(tmp_path: Path, kind: str, share: float) -> None:
    import pillow_heif

    pillow_heif.register_heif_opener()
    coded = encoded(speckled(), kind)
    path = tmp_path / "cloth.any"
    path.write_bytes(coded[: int(len(coded) * share)])
    refusal(path)


def huge_png(width_px: int, height_px: int) -> bytes:
    """A PNG of a few bytes that claims to be large, with every checksum right."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    header = struct.pack(">IIBBBBB", width_px, height_px, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", header)
        + chunk(b"IDAT", zlib.compress(b"0"))
        + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize("side_px", [8945, 9500, 13000, 65535, 2**31 - 1])
def test_too_many_pixels_are_refused_before_decoding(tmp_path: Path, side_px: int) -> None:
    assert side_px**2 > MOST_PIXELS
    path = tmp_path / "cloth.png"
    path.write_bytes(huge_png(side_px, side_px))
    fault = refused(path)
    assert "too many pixels" in str(fault) or side_px > 2**30


def test_a_jpeg_that_claims_more_than_it_holds(tmp_path: Path) -> None:
    coded = bytearray(encoded(speckled(), "JPEG"))
    frame = coded.index(b"\xff\xc0")
    coded[frame + 5 : frame + 9] = struct.pack(">HH", 6000, 6000)
    path = tmp_path / "cloth.jpg"
    path.write_bytes(bytes(coded))
    assert "holds too little" in refusal(path)


def test_too_small_to_be_cloth(tmp_path: Path) -> None:
    assert "only 7 x 40" in refusal(saved(tmp_path / "cloth.png", speckled(40, 7)))
    assert read_photo(saved(tmp_path / "just.png", speckled(8, 8))).srgb8.shape == (8, 8, 3)


def test_marks_of_a_jpeg() -> None:
    coded = encoded(speckled(40, 56), "JPEG", subsampling=2, quality=80)
    marks = read_jpeg_marks(coded)
    assert marks is not None
    assert (marks.width_px, marks.height_px, marks.components, marks.scans) == (56, 40, 3, 1)
    # Luma 7 x 5 blocks of 8 x 8; each of two colour planes 4 x 3; two bits a block.
    assert marks.least_bytes == (35 + 12 + 12) * 2 // 8
    assert marks.least_bytes < marks.coded_bytes < len(coded)
    layered = read_jpeg_marks(encoded(speckled(40, 56), "JPEG", progressive=True))
    assert layered is not None
    assert layered.scans > 5


def test_flattest_jpeg_still_holds_enough(tmp_path: Path) -> None:
    flat = np.full((800, 800, 3), 90, np.uint8)
    for progressive in (False, True):
        path = saved(tmp_path / "flat.jpg", flat, quality=30, progressive=progressive, optimize=True)
        assert read_photo(path).srgb8.shape == (800, 800, 3)


def test_many_at_once_do_not_disturb_each_other(tmp_path: Path) -> None:
    path = saved(tmp_path / "cloth.png", speckled(), dpi=(300, 300))
    right: list[bool] = []
    threads = [
        threading.Thread(target=lambda: right.append(np.array_equal(read_photo(path).srgb8, speckled())))
        for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert right == [True] * 8
