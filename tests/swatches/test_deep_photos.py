"""All bits of deep pictures arrive as light: against colour-science, and by every way that files keep them."""

from __future__ import annotations

import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from palettes.gamut import outside_srgb
from palettes.lightness import XYZ_OF_RGB, lightness
from swatches.decode import PhotoError, read_photo
from tests.published.tables import colour_science
from tests.swatches.deep_files import chunk, cover, icc_profile, png16, slopes, tagged

Floats = NDArray[np.float64]
_PROFILE = b"wide\0\0"


def srgb_light(codes: NDArray[np.generic]) -> Floats:
    """Linear light of sRGB codes, 0 to 1, by colour-science."""
    return np.asarray(colour_science().models.eotf_sRGB(np.asarray(codes, dtype=np.float64)))


def kept_light(path: Path) -> Floats:
    photo = read_photo(path)
    assert photo.light16 is not None
    return photo.light16.astype(np.float64)


def numbers(*values: float) -> bytes:
    return struct.pack(f">{len(values)}i", *(round(value * 65536) for value in values))


def exact_space(name: str) -> Any:
    """A space of colour-science with the matrix that its primaries give, where standards print four decimals."""
    space = colour_science().RGB_COLOURSPACES[name].copy()
    space.use_derived_transformation_matrices(True)
    return space


def colorants(space: str) -> dict[bytes, bytes]:
    """The primaries of a space as a profile states them, by colour-science: as seen under D50."""
    colour = colour_science()
    wide = exact_space(space)
    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        colour.xy_to_XYZ(wide.whitepoint), np.array([0.9642, 1, 0.8249]), transform="Bradford"
    )
    columns = (adapt @ wide.matrix_RGB_to_XYZ).T
    return {
        name + b"XYZ": tagged(b"XYZ ", numbers(*xyz))
        for name, xyz in zip((b"r", b"g", b"b"), columns, strict=True)
    }


def curves(body: bytes) -> dict[bytes, bytes]:
    return {name + b"TRC": body for name in (b"r", b"g", b"b")}


SRGB_FORMULA = tagged(
    b"para", struct.pack(">HH", 3, 0) + numbers(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
)
# Source of the toe: ISO 22028-2 (ROMM RGB), 1/16 of the code below 1/32.
ROMM_FORMULA = tagged(b"para", struct.pack(">HH", 3, 0) + numbers(1.8, 1, 0, 1 / 16, 1 / 32))
WIDE: dict[str, tuple[str, bytes, Any]] = {
    "Display P3": ("Display P3", SRGB_FORMULA, srgb_light),
    "Adobe RGB": (
        "Adobe RGB (1998)",
        tagged(b"curv", struct.pack(">IH", 1, 563)),
        lambda code: code ** (563 / 256),
    ),
    "ProPhoto": ("ProPhoto RGB", ROMM_FORMULA, lambda code: np.where(code < 1 / 32, code / 16, code**1.8)),
    "Rec. 2020": (
        "ITU-R BT.2020",
        tagged(b"para", struct.pack(">HH", 0, 0) + numbers(2.4)),
        lambda code: code**2.4,
    ),
    "linear P3": ("Display P3", tagged(b"curv", struct.pack(">I", 0)), lambda code: code),
}


def meant_light(codes: NDArray[np.uint16], space: str, tones: Any) -> Floats:
    """Linear sRGB light of the codes of a space by colour-science, outside 0 to 1 where sRGB ends."""
    light = colour_science().RGB_to_RGB(
        tones(codes / 65535), exact_space(space), exact_space("sRGB"), "Bradford"
    )
    return np.asarray(light)


@pytest.mark.parametrize("ending", ["png", "tif"])
@pytest.mark.parametrize("name", sorted(WIDE))
def test_wide_profiles_keep_all_bits(tmp_path: Path, name: str, ending: str) -> None:
    space, curve, tones = WIDE[name]
    icc = icc_profile(b"RGB ", curves(curve) | colorants(space))
    codes, path = slopes(), tmp_path / f"scan.{ending}"
    if ending == "png":
        import zlib

        png16(path, codes, chunks=chunk(b"iCCP", _PROFILE + zlib.compress(icc)))
    else:
        import tifffile

        tifffile.imwrite(path, codes, photometric="rgb", metadata=None, iccprofile=icc)
    meant, light = meant_light(codes, space, tones), kept_light(path)
    inside = ~outside_srgb(meant.astype(np.float32))
    assert inside.mean() > 0.2
    # Profiles state their numbers in 65536ths, so the last step or two of light is theirs.
    assert np.abs(light - np.clip(meant, 0, 1) * 65535)[inside].max() < 4
    # What sRGB cannot hold all but keeps its lightness.
    wanted = np.clip(lightness(meant @ np.array(XYZ_OF_RGB)[1]), 0, 100)
    assert np.abs(lightness(light / 65535 @ np.array(XYZ_OF_RGB)[1]) - wanted).mean() < 0.6
    assert any("profile" in note for note in read_photo(path).notes)


def test_what_a_png_names_without_a_profile(tmp_path: Path) -> None:
    codes = slopes()
    gamma = png16(tmp_path / "gamma.png", codes, chunks=chunk(b"gAMA", struct.pack(">I", 100000)))
    assert np.abs(kept_light(gamma) - codes).max() <= 1
    p3 = meant_light(codes, "Display P3", srgb_light)
    inside = ~outside_srgb(p3.astype(np.float32))
    points = png16(tmp_path / "points.png", codes, chunks=chunk(b"cICP", bytes([12, 13, 0, 1])))
    # Source: SMPTE EG 432-1, in the order and the hundred thousandths of the chunk.
    primaries = struct.pack(">8I", 31270, 32900, 68000, 32000, 26500, 69000, 15000, 6000)
    stated = chunk(b"gAMA", struct.pack(">I", 45455)) + chunk(b"cHRM", primaries)
    for path in (points, png16(tmp_path / "primaries.png", codes, chunks=stated)):
        assert np.abs(kept_light(path) - np.clip(p3, 0, 1) * 65535)[inside].max() < 2


def test_grey_with_its_own_curve(tmp_path: Path) -> None:
    import zlib

    icc = icc_profile(b"GRAY", {b"kTRC": tagged(b"curv", struct.pack(">IH", 1, round(1.8 * 256)))})
    grey = slopes()[..., :1]
    path = png16(tmp_path / "grey.png", grey, chunks=chunk(b"iCCP", _PROFILE + zlib.compress(icc)))
    light = kept_light(path)
    assert np.array_equal(light[..., 0], light[..., 2])
    assert np.abs(light[..., :1] - (grey / 65535) ** (round(1.8 * 256) / 256) * 65535).max() < 1


def test_a_profile_of_tables_is_followed_in_eight_bits(tmp_path: Path) -> None:
    import zlib

    # A table of 2 points a channel that leaves lightness alone. Source: ICC.1:2010, 10.9 (lut8Type).
    corners = [(b, g, r) for r in (0, 255) for g in (0, 255) for b in (0, 255)]
    identity = bytes(range(256)) * 3
    table = bytes([3, 3, 2, 0]) + numbers(1, 0, 0, 0, 1, 0, 0, 0, 1) + identity
    table += bytes(part for r, g, b in corners for part in ((2 * r + g) // 3, 128, 128)) + identity
    icc = icc_profile(b"RGB ", {b"A2B0": tagged(b"mft1", table)}, meeting=b"Lab ")
    path = png16(tmp_path / "table.png", slopes(), chunks=chunk(b"iCCP", _PROFILE + zlib.compress(icc)))
    photo = read_photo(path)
    assert photo.light16 is None
    assert any("8 bits alone" in note for note in photo.notes)
    assert np.ptp(photo.srgb8, axis=2).max() <= 3
    assert photo.srgb8.std() > 20


TIFF_WAYS: dict[str, dict[str, Any]] = {
    "plain": {}, "big-endian": {"byteorder": ">"}, "packed": {"compression": "zlib", "predictor": True},
    "big-endian packed": {"byteorder": ">", "compression": "zlib", "predictor": True},
    "tiles": {"tile": (32, 32)}, "packed tiles": {"tile": (32, 32), "compression": "zlib", "predictor": True},
    "large file": {"bigtiff": True}, "strips": {"rowsperstrip": 16}, "planes": {"planarconfig": "separate"},
    "planes of strips": {"planarconfig": "separate", "rowsperstrip": 16},
    "planes of tiles": {"planarconfig": "separate", "tile": (32, 32)},
    "planes, big-endian, packed": {
        "planarconfig": "separate", "byteorder": ">", "compression": "zlib", "predictor": True,
    },
}  # fmt: skip


@pytest.mark.parametrize("way", sorted(TIFF_WAYS))
@pytest.mark.parametrize("turn", [1, 3, 6])
def test_every_way_of_a_tiff(tmp_path: Path, way: str, turn: int) -> None:
    import tifffile

    codes, how = slopes(), TIFF_WAYS[way]
    stored = np.moveaxis(codes, -1, 0) if "planarconfig" in how else codes
    path, orientation = tmp_path / "scan.tif", [(274, 3, 1, turn, True)]
    tifffile.imwrite(path, stored, photometric="rgb", metadata=None, extratags=orientation, **how)
    upright = {1: codes, 3: codes[::-1, ::-1], 6: np.rot90(codes, -1)}[turn]
    assert np.abs(kept_light(path) - srgb_light(upright / 65535) * 65535).max() < 0.51


def test_planes_of_inks_are_refused(tmp_path: Path) -> None:
    import tifffile

    inks = np.concatenate([np.moveaxis(slopes(), -1, 0)] * 2)[:4]
    tifffile.imwrite(
        tmp_path / "inks.tif", inks, photometric="separated", planarconfig="separate", metadata=None
    )
    with pytest.raises(PhotoError, match="planes of a kind") as caught:
        read_photo(tmp_path / "inks.tif")
    assert "save it again" in caught.value.mend


def test_grey_that_is_stored_as_a_negative(tmp_path: Path) -> None:
    import tifffile

    grey = slopes()[..., 1]
    tifffile.imwrite(tmp_path / "negative.tif", 65535 - grey, photometric="miniswhite", metadata=None)
    light = kept_light(tmp_path / "negative.tif")
    assert np.abs(light[..., 0] - srgb_light(grey / 65535) * 65535).max() < 0.51


@pytest.mark.parametrize("channels", [1, 3])
def test_twelve_bits_in_sixteen(tmp_path: Path, channels: int) -> None:
    codes = slopes()[..., :channels] >> 4
    path = png16(tmp_path / "scan.png", codes)
    assert np.abs(kept_light(path) - srgb_light(codes / 4095) * 65535).max() < 1.7
    assert any("12 of 16 bits" in note for note in read_photo(path).notes)


@pytest.mark.parametrize("kind", ["colours", "grey"])
def test_deep_transparency_is_laid_on_white(tmp_path: Path, kind: str) -> None:
    codes = slopes() if kind == "colours" else slopes()[..., :1]
    path = png16(tmp_path / "cut.png", np.concatenate([codes, cover()], axis=2))
    share = cover() / 65535
    meant = srgb_light(codes / 65535) * share + 1 - share
    assert np.abs(kept_light(path) - meant * 65535).max() < 0.51


def test_a_deep_colour_that_stands_for_nothing(tmp_path: Path) -> None:
    codes = slopes()
    codes[10:20, 10:20] = (1000, 2000, 3000)
    path = png16(tmp_path / "key.png", codes, chunks=chunk(b"tRNS", struct.pack(">3H", 1000, 2000, 3000)))
    light = kept_light(path)
    assert (light[10:20, 10:20] == 65535).all()
    assert (light == 65535).all(axis=2).sum() == 100


def test_interlaced(tmp_path: Path) -> None:
    for rows, columns in ((70, 90), (67, 91), (9, 8)):
        codes = slopes(rows, columns)
        # The last line of one colour, so that it is looked whether all pixels are there.
        codes[-1] = 40000
        path = png16(tmp_path / "scan.png", codes, interlaced=True)
        assert np.abs(kept_light(path) - srgb_light(codes / 65535) * 65535).max() < 0.51


def test_uneven_pixels_are_squared_in_light(tmp_path: Path) -> None:
    codes = np.repeat(slopes(40, 60), 2, axis=0)
    path = png16(tmp_path / "scan.png", codes, chunks=chunk(b"pHYs", struct.pack(">IIB", 11811, 23622, 1)))
    light = kept_light(path)
    assert light.shape == (40, 60, 3)
    inner = np.s_[2:-2, 2:-2]
    assert np.abs(light[inner] - srgb_light(slopes(40, 60) / 65535)[inner] * 65535).max() < 8


@pytest.mark.parametrize("bits", [10, 12])
@pytest.mark.parametrize("turn", [1, 6])
def test_heic_of_more_than_eight_bits(tmp_path: Path, bits: int, turn: int) -> None:
    import pillow_heif

    codes = slopes(128, 192)
    stored = np.ascontiguousarray(np.rot90(codes, 1 if turn == 6 else 0))
    exif = Image.Exif()
    exif[0x0112] = turn
    pillow_heif.options.SAVE_HDR_TO_12_BIT = bits == 12
    try:
        made = pillow_heif.from_bytes(mode="RGB;16", size=stored.shape[1::-1], data=stored.tobytes())
        made[0].info["exif"] = exif.tobytes()
        made.save(tmp_path / "deep.heic", quality=-1, chroma=444)
    finally:
        pillow_heif.options.SAVE_HDR_TO_12_BIT = False
    light = kept_light(tmp_path / "deep.heic")
    # Without loss but for the matrix of luma and chroma: two steps of its own bits.
    step = 65535 / (2**bits - 1)
    assert np.abs(light - srgb_light(codes / 65535) * 65535).max() < 2 * 2.3 * step
    assert len(np.unique(light)) > 600


def test_avif_of_ten_bits(tmp_path: Path) -> None:
    import cv2

    codes = slopes(128, 192)
    how = [cv2.IMWRITE_AVIF_DEPTH, 10, cv2.IMWRITE_AVIF_QUALITY, 100]
    if not cv2.imwrite(str(tmp_path / "deep.avif"), codes[..., ::-1] >> 6, how):
        pytest.skip("no writer of AVIF in this OpenCV")
    light = kept_light(tmp_path / "deep.avif")
    assert np.abs(light - srgb_light(codes / 65535) * 65535).max() < 2 * 2.3 * 64
    assert len(np.unique(light)) > 600


def test_bits_that_stay_hidden_are_told(tmp_path: Path) -> None:
    import tifffile

    codes = np.concatenate([slopes(), np.full((70, 90, 1), 65535, np.uint16)], axis=2)
    codes[:, :45, 3] = 40000
    codes[..., :3] = codes[..., :3] * (codes[..., 3:] / 65535)
    tifffile.imwrite(
        tmp_path / "cut.tif", codes, photometric="rgb", metadata=None, extrasamples=["assocalpha"]
    )
    photo = read_photo(tmp_path / "cut.tif")
    assert photo.light16 is None
    assert any("Only the upper 8 of its 16 bits" in note for note in photo.notes)
    meant = np.rint(slopes()[:, 45:] / 257)
    assert np.abs(photo.srgb8[:, 45:] - meant).max() <= 1
