"""Profiles of curves and a matrix mean what the colour engine makes of them, and broken ones mean nothing."""

from __future__ import annotations

import csv
import io
import struct

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageCms

from palettes.encodings import lin_to_srgb8
from palettes.gamut import outside_srgb
from swatches.icc_spaces import space_from_icc
from swatches.spaces import light_by_space
from tests.swatches.deep_files import icc_profile, tagged
from tests.swatches.pictures import SHARED, shared, speckled, srgb_profile


def fixed(*values: float) -> bytes:
    return struct.pack(f">{len(values)}i", *(round(value * 65536) for value in values))


def formula(number: int, *values: float) -> bytes:
    return tagged(b"para", struct.pack(">HH", number, 0) + fixed(*values))


def points(*values: int) -> bytes:
    return tagged(b"curv", struct.pack(f">I{len(values)}H", len(values), *values))


CURVES = {
    "straight": points(), "one gamma": points(563), "points": points(0, 6000, 21000, 41000, 65535),
    "many points": points(*(round(65535 * (step / 1023) ** 2.2) for step in range(1024))),
    "formula 0": formula(0, 1.8), "formula 1": formula(1, 2.2, 1.1, -0.1),
    "formula 2": formula(2, 2.2, 1.05, -0.1, 0.04),
    "formula 3": formula(3, 2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045),
    "formula 4": formula(4, 2.4, 0.94, 0.052, 0.077, 0.04045, 0.01, 0.004),
}  # fmt: skip
# The primaries of Display P3 as seen under D50, rounded: sums to white.
P3 = {
    b"rXYZ": tagged(b"XYZ ", fixed(0.51512, 0.2412, -0.00105)),
    b"gXYZ": tagged(b"XYZ ", fixed(0.29198, 0.69225, 0.04189)),
    b"bXYZ": tagged(b"XYZ ", fixed(0.1571, 0.06657, 0.78407)),
}


def profile(curve: bytes) -> bytes:
    return icc_profile(b"RGB ", {name + b"TRC": curve for name in (b"r", b"g", b"b")} | P3)


def by_engine(codes: np.ndarray, icc: bytes) -> np.ndarray:
    """The second witness: littleCMS, in full and not by its shortcuts for 8 bits."""
    way = ImageCms.buildTransform(
        ImageCms.ImageCmsProfile(io.BytesIO(icc)),
        ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")),
        "RGB",
        "RGB",
        renderingIntent=ImageCms.Intent.RELATIVE_COLORIMETRIC,
        flags=ImageCms.Flags.NOOPTIMIZE,
    )
    return np.asarray(ImageCms.applyTransform(Image.fromarray(codes), way))


def most_apart(icc: bytes) -> int:
    space = space_from_icc(icc)
    assert space is not None
    codes = speckled(300, 300)
    light = light_by_space(space, most_code=255)(codes)
    inside = ~outside_srgb(light)
    assert inside.mean() > 0.2
    apart = lin_to_srgb8(light).astype(int) - by_engine(codes, icc)
    return int(np.abs(apart)[inside].max())


@pytest.mark.parametrize("curve", sorted(CURVES))
def test_every_kind_of_curve_as_the_engine_has_it(curve: str) -> None:
    assert most_apart(profile(CURVES[curve])) <= 1


def with_profiles() -> list[str]:
    manifest = SHARED / "photos" / "MANIFEST.csv"
    if not manifest.exists():
        return []
    rows = csv.DictReader(manifest.read_text("utf-8").splitlines())
    return [
        row["file"] for row in rows if row["file"].startswith(("icc_", "real_openprinting", "real_iphone11"))
    ]


@pytest.mark.parametrize("name", with_profiles() or ["(none on this machine)"])
def test_profiles_of_photographs_as_the_engine_has_them(name: str) -> None:
    path = shared("photos") / name
    if path.suffix == ".jxl":
        pytest.skip("not a kind of picture that is opened")
    with Image.open(path) as image:
        icc = image.info.get("icc_profile")
    if icc is None:
        pytest.skip("carries no profile")
    assert most_apart(icc) <= 1


def test_srgb_is_srgb() -> None:
    space = space_from_icc(srgb_profile())
    assert space is not None
    assert space.to_srgb == pytest.approx(np.eye(3), abs=2e-4)


def test_other_profiles_are_left_to_the_engine() -> None:
    good = {name + b"TRC": points(563) for name in (b"r", b"g", b"b")} | P3
    assert space_from_icc(icc_profile(b"RGB ", good)) is not None
    assert space_from_icc(icc_profile(b"RGB ", good | {b"A2B0": tagged(b"mft2", bytes(40))})) is None
    assert space_from_icc(icc_profile(b"RGB ", good, meeting=b"Lab ")) is None
    assert space_from_icc(icc_profile(b"CMYK", good)) is None
    for name in good:
        assert (
            space_from_icc(icc_profile(b"RGB ", {tag: body for tag, body in good.items() if tag != name}))
            is None
        )
    for broken in (
        formula(9, 1),
        formula(0, -1),
        formula(3, 2.4),
        formula(1, 2.2, 0, 0),
        tagged(b"none", b""),
    ):
        assert space_from_icc(icc_profile(b"RGB ", good | {b"gTRC": broken})) is None


@given(st.binary(max_size=400), st.integers(0, 600))
@settings(max_examples=200, deadline=None)
def test_no_bytes_break_the_reader(noise: bytes, place: int) -> None:
    whole = profile(CURVES["formula 3"])
    for icc in (noise, whole[:place], whole[:place] + noise + whole[place + len(noise) :]):
        space = space_from_icc(icc)
        if space is not None:
            light = light_by_space(space, most_code=255)(speckled(4, 4))
            assert np.isfinite(light).all()
