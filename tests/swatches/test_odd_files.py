"""Odd, damaged and misleading files, made here: each opens as it was meant, or is refused in two plain lines."""

from __future__ import annotations

import io
import os
import struct
import subprocess
import sys
import threading
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from swatches.decode import PhotoError, read_photo
from tests.swatches.deep_files import chunk
from tests.swatches.pictures import difference, encoded, refusal, saved, smooth, speckled, written

ROOT = Path(__file__).resolve().parents[2]


# several pictures in a file


def test_the_main_picture_of_a_heic_file_is_not_always_the_first(tmp_path: Path) -> None:
    import pillow_heif

    pillow_heif.register_heif_opener()
    path = tmp_path / "two.heic"
    other = Image.fromarray(255 - smooth(64, 96))
    for number in (0, 1):
        other.save(
            path,
            append_images=[Image.fromarray(smooth(64, 96))],
            save_all=True,
            primary_index=number,
            quality=95,
        )
        meant = smooth(64, 96) if number else 255 - smooth(64, 96)
        assert difference(read_photo(path).srgb8, meant).mean() < 2


@pytest.mark.parametrize("turn", range(1, 9))
def test_heic_is_turned_once_though_it_says_so_twice(tmp_path: Path, turn: int) -> None:
    import pillow_heif

    from swatches.orientation import turn_upright

    pillow_heif.register_heif_opener()
    exif = Image.Exif()
    exif[0x0112] = turn
    upright = smooth(64, 96)
    stored = np.ascontiguousarray(turn_upright(upright, {6: 8, 8: 6}.get(turn, turn)))
    image, path = Image.fromarray(stored), tmp_path / "turned.heic"
    image.info["exif"] = exif.tobytes()
    image.save(path, quality=95)
    # Both the container and the camera's tags say it now.
    coded = path.read_bytes()
    assert turn == 1 or b"irot" in coded or b"imir" in coded
    assert struct.pack(">HHIHH", 0x0112, 3, 1, turn, 0) in coded
    assert difference(read_photo(path).srgb8, upright).mean() < 2
    # Source: ISO/IEC 23008-12: what the tags alone say of a HEIC file does not turn it.
    alone = saved(tmp_path / "tags.heic", stored, exif=exif, quality=95)
    assert difference(read_photo(alone).srgb8, stored).mean() < 2


def test_a_second_picture_of_another_camera_lens(tmp_path: Path) -> None:
    path = tmp_path / "both.mpo"
    Image.fromarray(smooth()).save(
        path, "MPO", save_all=True, append_images=[Image.fromarray(255 - smooth())]
    )
    photo = read_photo(path)
    assert difference(photo.srgb8, smooth()).mean() < 3
    assert photo.notes == ()


@pytest.mark.parametrize("ending", ["gif", "webp"])
def test_animations(tmp_path: Path, ending: str) -> None:
    path = tmp_path / f"moving.{ending}"
    frames = [Image.fromarray(np.full((40, 60, 3), level, np.uint8)) for level in (60, 120, 200)]
    frames[0].save(path, save_all=True, append_images=frames[1:], duration=40)
    photo = read_photo(path)
    assert np.abs(photo.srgb8.astype(int) - 60).max() <= 3
    assert photo.notes == ("Only the first of the pictures in the file is used.",)


# PNG


def png_parts(coded: bytes) -> int:
    """Where the body of the first IDAT chunk starts."""
    return coded.index(b"IDAT") + 4


def test_a_png_with_one_wrong_byte(tmp_path: Path) -> None:
    coded = bytearray(encoded(speckled(), "PNG"))
    for place in (png_parts(coded) + 1000, len(coded) // 2, len(coded) - 20):
        broken = bytearray(coded)
        broken[place] ^= 0x55
        assert "cut short" in refusal(written(tmp_path / "broken.png", bytes(broken)))


@pytest.mark.parametrize(("kind", "width"), [(2, 180), (3, 60), (6, 240)])
def test_a_png_whose_pixels_end_early(tmp_path: Path, kind: int, width: int) -> None:
    head = struct.pack(">IIBBBBB", 60, 60, 8, kind, 0, 0, 0)
    lines = zlib.compress(b"".join(b"\0" + bytes([1] * width) for _ in range(59)))
    palette = chunk(b"PLTE", bytes([200, 10, 10, 10, 200, 10])) if kind == 3 else b""
    coded = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + palette + chunk(b"IDAT", lines) + chunk(b"IEND", b"")
    )
    assert "cut short" in refusal(written(tmp_path / "half.png", coded))


@pytest.mark.parametrize("mode", ["RGB", "P", "1", "LA", "RGBA", "L"])
def test_a_png_that_ends_in_one_colour_is_whole(tmp_path: Path, mode: str) -> None:
    cloth = speckled(61, 83)
    cloth[-9:] = 0
    path = saved(tmp_path / "flat.png", Image.fromarray(cloth).convert(mode))
    assert read_photo(path).srgb8.shape == (61, 83, 3)


def test_a_palette_that_is_too_short(tmp_path: Path) -> None:
    head = struct.pack(">IIBBBBB", 16, 16, 8, 3, 0, 0, 0)
    lines = zlib.compress(b"".join(b"\0" + bytes(range(16)) for _ in range(16)))
    palette = chunk(b"PLTE", bytes([200, 10, 10, 10, 200, 10]))
    coded = (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + palette + chunk(b"IDAT", lines) + chunk(b"IEND", b"")
    )
    photo = read_photo(written(tmp_path / "short.png", coded))
    assert photo.srgb8[0, 0].tolist() == [200, 10, 10]
    assert photo.srgb8[0, 1].tolist() == [10, 200, 10]


def test_grey_with_transparency_and_black_and_white(tmp_path: Path) -> None:
    grey = np.dstack([speckled()[..., 0], np.where(np.arange(90) < 45, 0, 255)[None].repeat(60, 0)]).astype(
        np.uint8
    )
    photo = read_photo(saved(tmp_path / "cut.png", Image.fromarray(grey)))
    assert (photo.srgb8[:, :45] == 255).all()
    assert np.array_equal(photo.srgb8[:, 45:, 1], grey[:, 45:, 0])
    assert any("grey" in note for note in photo.notes)
    bits = read_photo(saved(tmp_path / "bits.png", Image.fromarray(speckled()[..., 0] > 100)))
    assert np.array_equal(bits.srgb8[..., 2] == 255, speckled()[..., 0] > 100)
    assert any("black and white" in note for note in bits.notes)


# TIFF


@pytest.mark.parametrize("compression", ["tiff_lzw", "tiff_adobe_deflate", "packbits", "raw"])
def test_tiff_with_prediction(tmp_path: Path, compression: str) -> None:
    how = {} if compression in ("packbits", "raw") else {"tiffinfo": {317: 2}}
    path = saved(tmp_path / "scan.tif", speckled(), compression=compression, **how)
    assert np.array_equal(read_photo(path).srgb8, speckled())
    for share in (0.5, 0.9):
        coded = path.read_bytes()
        assert "cut short" in refusal(written(tmp_path / "cut.tif", coded[: int(len(coded) * share)]))


@pytest.mark.parametrize("way", ["tiles", "planes", "negative", "big-endian", "large file"])
def test_tiff_of_eight_bits_in_every_way(tmp_path: Path, way: str) -> None:
    import tifffile

    cloth, path = speckled(), tmp_path / "scan.tif"
    if way == "tiles":
        tifffile.imwrite(path, cloth, photometric="rgb", tile=(32, 32), compression="zlib", metadata=None)
    elif way == "planes":
        planes = np.moveaxis(cloth, -1, 0)
        tifffile.imwrite(path, planes, photometric="rgb", planarconfig="separate", metadata=None)
    elif way == "negative":
        cloth = np.repeat(cloth[..., :1], 3, axis=2)
        tifffile.imwrite(path, 255 - cloth[..., 0], photometric="miniswhite", metadata=None)
    else:
        how = {"byteorder": ">"} if way == "big-endian" else {"bigtiff": True}
        tifffile.imwrite(path, cloth, photometric="rgb", metadata=None, **how)
    assert np.array_equal(read_photo(path).srgb8, cloth)


def test_raw_files_of_cameras_are_not_mistaken_for_their_small_copies(tmp_path: Path) -> None:
    import tifffile

    small = speckled(60, 90)
    tifffile.imwrite(tmp_path / "small.tif", small, photometric="rgb", subfiletype=1, metadata=None)
    version = [(50706, 1, 4, b"\1\4\0\0", True)]
    tifffile.imwrite(tmp_path / "phone.dng", small, photometric="rgb", metadata=None, extratags=version)
    for name in ("small.tif", "phone.dng"):
        assert "raw file" in refusal(tmp_path / name)


def test_measured_numbers_are_no_picture(tmp_path: Path) -> None:
    import tifffile

    tifffile.imwrite(
        tmp_path / "heights.tif", np.zeros((40, 40), np.float32), photometric="minisblack", metadata=None
    )
    assert "measured numbers" in refusal(tmp_path / "heights.tif")
    tifffile.imwrite(
        tmp_path / "colours.tif", np.zeros((40, 40, 3), np.float32), photometric="rgb", metadata=None
    )
    refusal(tmp_path / "colours.tif")


# other formats


@pytest.mark.parametrize("kind", ["GIF", "BMP", "JPEG2000", "WEBP"])
@pytest.mark.parametrize("share", [0.3, 0.7, 0.98])
def test_other_kinds_cut_short(tmp_path: Path, kind: str, share: float) -> None:
    coded = encoded(speckled(), kind)
    refusal(written(tmp_path / "cut.any", coded[: int(len(coded) * share)]))


HUGE = {
    "bmp": b"BM" + struct.pack("<IHHIIiiHHIIiiII", 200, 0, 0, 54, 40, 60000, 60000, 1, 24, 0, 0, 0, 0, 0, 0),
    "gif": b"GIF89a" + struct.pack("<HHBBB", 65535, 65535, 0x80, 0, 0) + bytes(6),
    "webp": b"RIFF" + struct.pack("<I", 30) + b"WEBPVP8X" + struct.pack("<I", 10) + bytes(4) + b"\xff\xff\xff" * 2,
    "tif": b"II*\0" + struct.pack("<IH", 8, 3) + b"".join(
        struct.pack("<HHII", tag, 4, 1, size) for tag, size in ((256, 100_000), (257, 100_000), (262, 1))
    ) + bytes(4),
}  # fmt: skip


@pytest.mark.parametrize("ending", sorted(HUGE))
def test_huge_claims_in_few_bytes(tmp_path: Path, ending: str) -> None:
    refusal(written(tmp_path / f"huge.{ending}", HUGE[ending] + bytes(64)))


@pytest.mark.parametrize("start", [b"\xff\x0a", b"\0\0\0\x0cJXL \r\n\x87\n"])
def test_a_kind_that_is_not_read_says_what_to_do(tmp_path: Path, start: bytes) -> None:
    path = written(tmp_path / "phone.jxl", start + bytes(500))
    assert "JPEG XL" in refusal(path)


# names and places


@pytest.mark.parametrize(
    "name", ["plátno žluté.png", "布 🌸.png", "-dash and 'quotes'.png", "x" * 240 + ".png"]
)
def test_names_in_any_script(tmp_path: Path, name: str) -> None:
    assert np.array_equal(read_photo(saved(tmp_path / name, speckled())).srgb8, speckled())


def test_names_and_places_that_cannot_be(tmp_path: Path) -> None:
    assert "cannot be opened" in refusal(tmp_path / ("x" * 300))
    (tmp_path / "loop.jpg").symlink_to(tmp_path / "loop.jpg")
    refusal(tmp_path / "loop.jpg")
    (tmp_path / "gone.jpg").symlink_to(tmp_path / "nowhere.jpg")
    assert "does not exist" in refusal(tmp_path / "gone.jpg")
    (tmp_path / "folder.jpg").mkdir()
    assert "is a folder" in refusal(tmp_path / "folder.jpg")
    assert "not an ordinary file" in refusal(Path(os.devnull))


def test_a_link_is_followed(tmp_path: Path) -> None:
    saved(tmp_path / "cloth.png", speckled())
    (tmp_path / "link.jpg").symlink_to("cloth.png")
    assert np.array_equal(read_photo(tmp_path / "link.jpg").srgb8, speckled())


def test_a_file_replaced_while_it_is_read(tmp_path: Path) -> None:
    first, second = speckled(120, 160, seed=1), speckled(120, 160, seed=2)
    path, stop = saved(tmp_path / "cloth.png", first), threading.Event()
    coded = [encoded(first, "PNG"), encoded(second, "PNG")]

    def replace() -> None:
        turn = 0
        while not stop.is_set():
            turn += 1
            written(tmp_path / "new.png", coded[turn % 2]).replace(path)

    other = threading.Thread(target=replace)
    other.start()
    try:
        seen = [read_photo(path).srgb8 for _ in range(40)]
    finally:
        stop.set()
        other.join()
    assert all(np.array_equal(picture, first) or np.array_equal(picture, second) for picture in seen)


def test_a_file_that_shrinks_while_it_is_read(tmp_path: Path) -> None:
    coded, path = encoded(speckled(200, 300), "TIFF"), tmp_path / "cloth.tif"
    path.write_bytes(coded)
    stop = threading.Event()

    def shrink() -> None:
        while not stop.is_set():
            with path.open("r+b") as file:
                file.truncate(len(coded) // 3)
                file.seek(0)
                file.write(coded)

    other = threading.Thread(target=shrink)
    other.start()
    try:
        for _ in range(40):
            try:
                assert np.array_equal(read_photo(path).srgb8, speckled(200, 300))
            except PhotoError:
                continue
    finally:
        stop.set()
        other.join()


def test_nothing_is_said_on_the_console(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    packed = io.BytesIO()
    Image.fromarray(speckled()).save(packed, "TIFF", compression="jpeg")
    for name, coded in {
        "cut.tif": packed.getvalue()[:-3000] + bytes(8),
        "half.tif": packed.getvalue()[: len(packed.getvalue()) // 2],
        "cut.jpg": encoded(speckled(200, 300), "JPEG", quality=90)[:-4000],
        "cut.png": encoded(speckled(), "PNG")[:-400],
        "many.tif": HUGE["tif"] + bytes(64),
    }.items():
        refusal(written(tmp_path / name, coded))
    assert capfd.readouterr() == ("", "")


def test_a_heic_file_where_its_reader_is_not_installed(tmp_path: Path) -> None:
    import pillow_heif

    pillow_heif.register_heif_opener()
    path = saved(tmp_path / "phone.heic", smooth(64, 96))
    code = (
        "import sys; sys.modules['pillow_heif'] = None\n"
        "from swatches.decode import PhotoError, read_photo\n"
        "try: read_photo(sys.argv[1])\n"
        "except PhotoError as fault: print(fault, fault.mend)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)], cwd=ROOT, capture_output=True, text=True, timeout=60
    )
    assert done.stderr == ""
    assert "phone.heic: is not a picture that can be read here." in done.stdout
    assert "save it again as JPEG" in done.stdout
