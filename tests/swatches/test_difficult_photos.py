"""Valid but difficult files: each decodes to what its maker meant, or is refused in plain words."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from palettes.encodings import srgb8_of_lin16
from swatches.decode import Photo, PhotoError, read_photo
from tests.swatches.pictures import SHARED, difference, shared

CHART = "chart_expected.csv"
CMYK_CHART = "cmyk_expected.csv"

EXACT = {"00_chart_reference_srgb.png", "png_named_jpg.jpg", "png_srgb_chunk.png", "plain.bmp", "anim.png"}
"""The chart in 8-bit sRGB without loss."""

# Patches of the chart, within this CIEDE2000: mostly what the file's own list asks for.
CHART_WITHIN = {
    "icc_srgb2.jpg": 2, "icc_srgb4.jpg": 2, "icc_p3.jpg": 2, "icc_p3v2.jpg": 2, "icc_adobe.jpg": 2,
    "icc_prophoto.jpg": 2, "icc_prophoto2.jpg": 2, "icc_rec2020.jpg": 2, "icc_apple.jpg": 2,
    "icc_adobe_exif_r03_only.jpg": 2, "icc_split_2_chunks.jpg": 2, "png_gama_1.0_linear.png": 3,
    "png_gama_0.55_mac.png": 2, "png_gama_chrm_p3_only.png": 2, "png_cicp_p3.png": 2, "p3.webp": 2,
    "p3.avif": 3, "p3.heic": 3, "plain.avif": 3, "plain.heic": 3, "plain.jp2": 2, "progressive.jpg": 2,
    "subsampled_420_q60.jpg": 4, "arithmetic.jpg": 2, "rgb_no_ycc.jpg": 2, "restart_markers.jpg": 2,
    "motion_photo_trailer.jpg": 2, "jpeg_named_png.png": 2, "rgb16.png": 1, "rgb16.tif": 1,
    "rgb16_planar_be.tif": 1, "palette.png": 6, "anim.gif": 6, "anim.webp": 4, "two_pages.tif": 3,
    "lab.tif": 3, "dpi_jfif_300.jpg": 2, "dpi_png_phys_300.png": 1, "dpi_tiff_cm.tif": 1,
    "exif_wrong_thumbnail.jpg": 2,
}  # fmt: skip
CMYK_WITHIN = {"cmyk_adobe_inverted.jpg": 3, "cmyk.tif": 3}
# Without a profile the inks are guessed: only a negative would be further off than this.
NOT_NEGATIVE = {"cmyk_untagged.jpg", "cmyk_adobe_marker_not_inverted.jpg", "cmyk_no_adobe_marker.jpg"}

UPRIGHT = {
    *(f"orient_jpeg_{turn}.jpg" for turn in range(1, 9)), "orient_jpeg_0_invalid.jpg",
    "orient_jpeg_9_invalid.jpg", "orient_jpeg_exif6_xmp1.jpg", "orient_jpeg_xmp_only_6.jpg",
    "orient_webp_6.webp", "orient_png_exif_6.png", "orient_tiff_6.tif", "orient_avif_6.avif",
    "orient_heic_6.heic", "exif_wrong_thumbnail.jpg",
}  # fmt: skip

REFUSED = {"plain.jxl", "real_openprinting_p3.jxl", "scan.pdf", "rgb_float32.tif", "real_hdr_p3.avif"}

HINTS: dict[str, float | None] = {
    "dpi_jfif_300.jpg": 300, "dpi_jfif72_exif600.jpg": 600, "dpi_exif_only_cm.jpg": 299.999,
    "dpi_exif_only_inch.jpg": 240, "dpi_exif_no_unit.jpg": None, "dpi_exif_zero_denominator.jpg": None,
    "dpi_exif_absurd.jpg": None, "dpi_jfif_cm.jpg": 299.72, "dpi_jfif_aspect_2_1.jpg": None,
    "dpi_jfif_300x600.jpg": 300, "dpi_png_phys_300.png": 299.9994, "dpi_png_phys_unknown_unit.png": None,
    "dpi_tiff_cm.tif": 299.999, "dpi_tiff_none_unit.tif": None, "dpi_tiff_absent.tif": None,
    "dpi_tiff_no_tags.tif": None, "rgb16.tif": 600, "onebit_g4.tif": 300, "real_pil_exif-200dpcm.jpg": 508,
    "real_pil_exif-dpi-zerodivision.jpg": None, "real_pil_no-dpi-in-exif.jpg": None,
    "real_autotable_28dpcm.jpg": None,
}  # fmt: skip

SIZES = {
    "real_iphone8_irot_and_exif.heic": (4032, 3024), "real_orientation5.jpg": (403, 302),
    "real_recurser_Landscape_6.jpg": (1200, 1800), "real_recurser_Portrait_8.jpg": (1800, 1200),
    "real_pil_rot1mir1.avif": (427, 640), "real_pil_g4_orientation_5.tif": (88, 590),
    "real_apple_gainmap_new.jpg": (512, 384), "real_apple_gainmap_old.jpg": (512, 384),
    "real_pixel_gainmap.jpg": (300, 400), "real_pil_frozenpond.mpo": (480, 640),
    "real_pil_sugarshack.mpo": (480, 640), "strip_3000x60.jpg": (60, 3000),
    "dpi_jfif_300x600.jpg": (120, 240), "real_colors_animated_alpha.avif": (150, 150),
}  # fmt: skip

NOTED = {
    "anim.gif": "Only the first", "anim.webp": "Only the first", "anim.png": "Only the first",
    "two_pages.tif": "Only the first", "grey.jpg": "grey", "onebit.png": "black and white",
    "onebit_g4.tif": "black and white", "rgba_cutout.png": "transparent", "grey12in16.tif": "12 of 16 bits",
    "cmyk_untagged.jpg": "approximate", "cmyk_adobe_marker_not_inverted.jpg": "negative was undone",
    "dpi_jfif_300x600.jpg": "not square", "icc_p3.jpg": "profile", "real_iphone11_p3_crop.jpg": "profile",
    "real_iphone8_irot_and_exif.heic": "profile",
}  # fmt: skip


DEEP = {
    "rgb16.png", "rgb16.tif", "rgb16_planar_be.tif", "grey16.png", "grey12in16.tif", "real_pil_tiff_16bit_RGB.tiff",
}  # fmt: skip


@cache
def opened(name: str) -> Photo:
    """The photograph, decoded once for all tests that look at it."""
    return read_photo(shared("photos") / name)


def listed() -> list[str]:
    manifest = SHARED / "photos" / "MANIFEST.csv"
    if not manifest.exists():
        return []
    return [row["file"] for row in csv.DictReader(manifest.read_text("utf-8").splitlines())]


def patches(file: Path) -> list[tuple[int, int, np.ndarray]]:
    rows = csv.DictReader(file.read_text("utf-8").splitlines())
    return [
        (int(row["x"]), int(row["y"]), np.uint8([int(row[channel]) for channel in "rgb"])) for row in rows
    ]


def worst_patch(picture: np.ndarray, chart: Path, *, skip: tuple[int, ...] = ()) -> float:
    """The largest difference of a patch's middle from the chart, over the patches the picture shows."""
    seen, wanted = [], []
    for number, (x, y, colour) in enumerate(patches(chart)):
        if number not in skip and y + 5 < len(picture):
            seen.append(picture[y - 5 : y + 5, x - 5 : x + 5].reshape(-1, 3).mean(axis=0).round())
            wanted.append(colour)
    assert len(seen) >= 20
    return float(difference(np.uint8(seen), np.uint8(wanted)).max())


@pytest.mark.parametrize("name", listed() or ["(none on this machine)"])
def test_opens_or_is_refused_with_a_mend(name: str) -> None:
    path = shared("photos") / name
    if name in REFUSED:
        with pytest.raises(PhotoError) as caught:
            read_photo(path)
        assert name in str(caught.value)
        assert caught.value.mend.endswith(".")
        return
    photo = opened(name)
    assert photo.srgb8.dtype == np.uint8
    assert photo.srgb8.ndim == 3
    assert photo.srgb8.shape[2] == 3
    assert not photo.srgb8.flags.writeable


@pytest.mark.parametrize("name", sorted(EXACT))
def test_plain_files_keep_every_code(name: str) -> None:
    folder = shared("photos")
    assert worst_patch(opened(name).srgb8, folder / CHART) == 0


@pytest.mark.parametrize("name", sorted(CHART_WITHIN))
def test_colours_arrive_as_meant(name: str) -> None:
    folder = shared("photos")
    assert worst_patch(opened(name).srgb8, folder / CHART) <= CHART_WITHIN[name]


@pytest.mark.parametrize("name", sorted(CMYK_WITHIN))
def test_inks_go_through_their_profile(name: str) -> None:
    folder = shared("photos")
    assert worst_patch(opened(name).srgb8, folder / CMYK_CHART) <= CMYK_WITHIN[name]


@pytest.mark.parametrize("name", sorted(NOT_NEGATIVE))
def test_inks_never_come_out_as_a_negative(name: str) -> None:
    folder = shared("photos")
    assert worst_patch(opened(name).srgb8, folder / CMYK_CHART) < 20


@pytest.mark.parametrize("name", sorted(UPRIGHT))
def test_turned_exactly_once(name: str) -> None:
    folder = shared("photos")
    picture = opened(name).srgb8
    assert picture.shape == (200, 240, 3)
    assert worst_patch(picture, folder / CHART) < 4


@pytest.mark.parametrize("name", sorted(HINTS))
def test_density_is_read_from_the_tags_alone(name: str) -> None:
    photo = opened(name)
    assert photo.ppi_hint == pytest.approx(HINTS[name], abs=0.01) if HINTS[name] else photo.ppi_hint is None


@pytest.mark.parametrize("name", sorted(SIZES))
def test_main_picture_the_right_way_up(name: str) -> None:
    assert opened(name).srgb8.shape[:2] == SIZES[name]


@pytest.mark.parametrize("name", sorted(DEEP))
def test_all_bits_are_kept(name: str) -> None:
    photo = opened(name)
    assert photo.light16 is not None
    assert not photo.light16.flags.writeable
    assert np.abs(np.take(srgb8_of_lin16(), photo.light16).astype(int) - photo.srgb8).max() <= 1
    assert not any("upper 8" in note for note in photo.notes)


@pytest.mark.parametrize("name", sorted(NOTED))
def test_what_was_done_is_said(name: str) -> None:
    assert NOTED[name] in " ".join(opened(name).notes)


def test_hidden_pixels_never_show() -> None:
    # The cut-out hides magenta under full transparency; the loss-free WebP hides green.
    for name in ("rgba_cutout.png", "lossless_alpha.webp", "grey_alpha.png", "palette_trns.png"):
        picture = opened(name).srgb8
        red, green, blue = (picture[..., i].astype(int) for i in range(3))
        assert not ((red > 240) & (green < 15) & (blue > 240)).any(), name
        assert (picture == 255).all(axis=-1).mean() > 0.1, name


def test_colour_key_becomes_white() -> None:
    picture = opened("rgb_trns_key.png").srgb8
    assert picture[20, 60].tolist() == [255, 255, 255]


def test_sixteen_bit_grey_keeps_its_middle() -> None:
    deep, plain = opened("grey16.png").srgb8, opened("grey.jpg").srgb8
    assert np.abs(deep.astype(int) - plain.astype(int)).mean() < 2


def test_first_eye_of_a_stereo_file() -> None:
    whole = opened("real_pil_sugarshack.mpo").srgb8
    broken = opened("real_pil_sugarshack_bad_mpo_header.jpg").srgb8
    assert np.array_equal(whole, broken)
