"""Colours beyond sRGB come inside with their lightness; the other witness is colour-science."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from palettes.difference import ciede2000
from palettes.gamut import bring_into_srgb, outside_srgb
from palettes.lightness import XYZ_OF_RGB
from tests.published.tables import colour_science

Floats = NDArray[np.float64]


def lab_by_science(light_lin: Floats) -> Floats:
    """CIELAB by colour-science, of linear sRGB light by the matrix of the standard, under its own white."""
    colour = colour_science()
    matrix = np.array(XYZ_OF_RGB)
    white = colour.XYZ_to_xy(matrix.sum(axis=1))
    return np.asarray(colour.XYZ_to_Lab(np.asarray(light_lin, dtype=np.float64) @ matrix.T, white))


def surface(space: str) -> NDArray[np.float32]:
    """Linear sRGB light of the most vivid colours of another space: all over the outside of its cube."""
    colour = colour_science()
    steps = np.linspace(0, 1, 17)
    one, two = (part.ravel() for part in np.meshgrid(steps, steps))
    sides = []
    for channel in range(3):
        for level in (0.0, 1.0):
            side = np.full((len(one), 3), level)
            side[:, (channel + 1) % 3], side[:, (channel + 2) % 3] = one, two
            sides.append(side)
    vivid = colour.RGB_COLOURSPACES[space]
    light = colour.RGB_to_RGB(
        np.concatenate(sides), vivid, colour.RGB_COLOURSPACES["sRGB"], "Bradford", apply_cctf_decoding=True
    )
    return np.asarray(light, dtype=np.float32)


def cloth_colours() -> NDArray[np.float32]:
    """Linear sRGB light of the most vivid surface colours there are (Pointer 1980, as colour-science has it)."""
    colour = colour_science()
    xyz = colour.Lab_to_XYZ(
        colour.LCHab_to_Lab(colour.models.DATA_POINTER_GAMUT_VOLUME.reshape(-1, 3)),
        colour.models.CCS_ILLUMINANT_POINTER_GAMUT,
    )
    srgb = colour.RGB_COLOURSPACES["sRGB"]
    light = colour.XYZ_to_RGB(xyz, srgb, colour.models.CCS_ILLUMINANT_POINTER_GAMUT, "Bradford")
    return np.asarray(light, dtype=np.float32)


def hue_shift_deg(first_lab: Floats, second_lab: Floats) -> Floats:
    """Of those colours that have a hue to speak of afterwards."""
    turn = np.angle(
        (second_lab[:, 1] + 1j * second_lab[:, 2]) / (first_lab[:, 1] + 1j * first_lab[:, 2]), deg=True
    )
    return np.abs(turn)[np.hypot(second_lab[:, 1], second_lab[:, 2]) > 5]


@pytest.mark.parametrize("space", ["Display P3", "Adobe RGB (1998)", "ITU-R BT.2020", "ProPhoto RGB"])
def test_nothing_stays_outside_and_lightness_hardly_moves(space: str) -> None:
    light = surface(space)
    held, share = bring_into_srgb(light)
    assert 0.2 < share < 1
    assert held.dtype == np.float32
    assert held.min() >= 0
    assert held.max() <= 1
    # ProPhoto's cube reaches beyond what can be seen at all.
    most = 4.0 if space == "ProPhoto RGB" else 2.5
    wanted = np.clip(lab_by_science(light)[:, 0], 0, 100)
    assert np.abs(lab_by_science(held)[:, 0] - wanted).max() < most
    assert np.abs(lab_by_science(held)[:, 0] - wanted).mean() < most / 4


def test_what_is_inside_stays() -> None:
    light = np.random.default_rng(3).random((2000, 3), dtype=np.float32)
    assert not outside_srgb(light).any()
    held, share = bring_into_srgb(light)
    assert np.array_equal(held, light)
    assert share == 0
    # Beside colours that are outside, and in a picture as well.
    light[::2] += 0.9
    picture = light.reshape(40, 50, 3)
    held, share = bring_into_srgb(picture)
    inside = ~outside_srgb(picture)
    assert np.array_equal(held[inside], np.clip(picture, 0, 1)[inside])
    assert share == pytest.approx(0.5, abs=0.02)


def test_which_are_outside() -> None:
    light = np.float32(
        [[[0, 0, 0], [1, 1, 1], [-0.01, 0.5, 0.5]], [[0.5, 1.01, 0.5], [0.2, 0, 1], [1, 1, 1.00001]]]
    )
    assert outside_srgb(light).tolist() == [[False, False, True], [True, False, False]]


def test_vivid_cloth_keeps_lightness_and_hue_better_than_by_cutting_off() -> None:
    light = cloth_colours()
    light = light[outside_srgb(light)]
    assert len(light) > 250
    first = lab_by_science(light)
    held, cut = lab_by_science(bring_into_srgb(light)[0]), lab_by_science(np.clip(light, 0, 1))
    # What the head of the module states of both ways.
    assert np.abs(cut[:, 0] - first[:, 0]).mean() == pytest.approx(1.5, abs=0.1)
    assert np.abs(cut[:, 0] - first[:, 0]).max() == pytest.approx(4.3, abs=0.1)
    assert np.abs(held[:, 0] - first[:, 0]).mean() == pytest.approx(0.3, abs=0.05)
    assert hue_shift_deg(first, cut).mean() == pytest.approx(5.6, abs=0.2)
    assert hue_shift_deg(first, held).mean() == pytest.approx(1.4, abs=0.2)
    assert ciede2000(first, cut).mean() == pytest.approx(4.6, abs=0.1)
    assert ciede2000(first, held).mean() == pytest.approx(4.1, abs=0.1)


def test_no_vivid_colour_fades_away() -> None:
    # At its own lightness and hue the yellow of Display P3 would keep a sixth of its chroma.
    light = surface("Display P3")
    first, held = lab_by_science(light), lab_by_science(bring_into_srgb(light)[0])
    assert ciede2000(first, held).max() < 7
    yellow = np.argmax(first[:, 2])
    assert np.hypot(*held[yellow, 1:]) > 0.7 * np.hypot(*first[yellow, 1:])


def test_there_are_no_seams() -> None:
    # A walk round the most vivid colours of Display P3, and from there to grey, in small steps.
    colour = colour_science()
    turn = np.linspace(0, 6, 6001)
    hues = np.clip(np.abs((turn[:, None] + np.array([0, 4, 2])) % 6 - 3) - 1, 0, 1)
    for grey in (0.0, 0.2, 0.4, 0.6):
        light = colour.RGB_to_RGB(
            (hues * (1 - grey) + grey * 0.5) ** 2.2,
            colour.RGB_COLOURSPACES["Display P3"],
            colour.RGB_COLOURSPACES["sRGB"],
        ).astype(np.float32)
        before, after = lab_by_science(light), lab_by_science(bring_into_srgb(light)[0])
        steps = np.linalg.norm(np.diff(before, axis=0), axis=1)
        assert np.linalg.norm(np.diff(after, axis=0), axis=1).max() < 3 * steps.max()


def test_brighter_than_white_and_darker_than_black() -> None:
    held, _ = bring_into_srgb(np.float32([[2, 2, 2], [9, 7, 8], [-0.1, -0.1, -0.1]]))
    assert held == pytest.approx(np.float32([[1, 1, 1], [1, 1, 1], [0, 0, 0]]), abs=1e-3)
