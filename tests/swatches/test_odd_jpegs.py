"""JPEG files that are odd, damaged or misleading, made here: opened as they were meant, or refused."""

from __future__ import annotations

import os
import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from swatches.decode import read_photo
from swatches.jpeg_marks import read_jpeg_marks
from tests.swatches.pictures import difference, encoded, refusal, saved, smooth, speckled, written

CLOSED = b"\xff\xd9"


def with_rows(coded: bytes, rows: int) -> bytes:
    """The JPEG with another number of rows in its frame header."""
    frame = max(coded.find(b"\xff\xc0"), coded.find(b"\xff\xc2"))
    return coded[: frame + 5] + struct.pack(">H", rows) + coded[frame + 7 :]


KINDS = {"sequential": {}, "progressive": {"progressive": True}, "grey": {}}


def jpeg(kind: str, *, flat: bool = False) -> bytes:
    cloth = smooth(200, 300) if flat else speckled(200, 300)
    return encoded(cloth[..., 0] if kind == "grey" else cloth, "JPEG", quality=90, **KINDS[kind])


@pytest.mark.parametrize("kind", sorted(KINDS))
@pytest.mark.parametrize("flat", [False, True])
@pytest.mark.parametrize("share", [0.3, 0.6, 0.9, 0.99])
def test_a_jpeg_broken_off_and_closed(tmp_path: Path, kind: str, flat: bool, share: float) -> None:
    coded = jpeg(kind, flat=flat)
    cut = coded[: int(len(coded) * share)]
    assert read_photo(written(tmp_path / "whole.jpg", coded)).srgb8.shape == (200, 300, 3)
    for number, end in enumerate((CLOSED, bytes(len(coded) - len(cut)), bytes(40_000))):
        assert "cut short" in refusal(written(tmp_path / f"cut{number}.jpg", cut + end))


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_a_jpeg_that_claims_more_rows(tmp_path: Path, kind: str) -> None:
    for rows in (224, 300, 420):
        assert "cut short" in refusal(written(tmp_path / f"{rows}.jpg", with_rows(jpeg(kind), rows)))


@pytest.mark.parametrize("last", [3, 4, 10])
def test_a_jpeg_without_its_last_bytes(tmp_path: Path, last: int) -> None:
    for kind in KINDS:
        assert "cut short" in refusal(written(tmp_path / "cut.jpg", jpeg(kind)[:-last]))


@pytest.mark.parametrize("colour", [(0, 0, 0), (128, 128, 128), (255, 255, 255), (90, 40, 200)])
@pytest.mark.parametrize("kind", ["sequential", "progressive"])
def test_a_flat_end_alone_is_no_fault(tmp_path: Path, colour: tuple[int, int, int], kind: str) -> None:
    cloth = speckled(200, 300)
    cloth[80:] = colour
    for optimize in (False, True):
        path = saved(tmp_path / "flat.jpg", cloth, quality=85, optimize=optimize, **KINDS[kind])
        assert difference(read_photo(path).srgb8[120:], cloth[120:]).max() < 2


def test_a_progressive_jpeg_of_its_first_scans_alone(tmp_path: Path) -> None:
    coded = jpeg("progressive")
    marks = read_jpeg_marks(coded)
    assert marks is not None
    assert marks.finished
    starts = [place for place in range(len(coded) - 1) if coded[place : place + 2] == b"\xff\xda"]
    assert len(starts) == marks.scans
    for start in starts[1:]:
        assert "cut short" in refusal(written(tmp_path / "few.jpg", coded[:start] + CLOSED))


def test_what_follows_a_jpeg_does_not_matter(tmp_path: Path) -> None:
    coded = jpeg("sequential")
    longer = written(tmp_path / "motion.jpg", coded + b"\0\0\0\x18ftypmp42" + os.urandom(1_000_000))
    assert np.array_equal(read_photo(longer).srgb8, read_photo(written(tmp_path / "a.jpg", coded)).srgb8)


def test_a_jpeg_of_five_thousand_segments(tmp_path: Path) -> None:
    coded = jpeg("sequential")
    notes = b"".join(b"\xff\xfe" + struct.pack(">H", 60) + bytes(58) for _ in range(5000))
    assert read_photo(written(tmp_path / "notes.jpg", coded[:2] + notes + coded[2:])).srgb8.shape == (
        200,
        300,
        3,
    )


def test_a_jpeg_of_twelve_bits(tmp_path: Path) -> None:
    coded = bytearray(jpeg("sequential"))
    coded[coded.index(b"\xff\xc0") + 4] = 12
    refusal(written(tmp_path / "twelve.jpg", bytes(coded)))


def test_inks_without_a_profile(tmp_path: Path) -> None:
    inks = np.zeros((40, 40, 4), np.uint8)
    inks[:20, :, 1:3] = 230
    path = tmp_path / "inks.jpg"
    Image.frombytes("CMYK", (40, 40), inks.tobytes()).save(path, quality=95)
    photo = read_photo(path)
    assert any("approximate" in note for note in photo.notes)
    red, white = photo.srgb8[10, 20].astype(int), photo.srgb8[30, 20].astype(int)
    assert red[0] > 200 > 100 > red[1]
    assert white.min() > 245
