"""Solids: exactly the colour, everywhere."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from palettes.colours import ColourError
from swatches.solids import solid_swatch
from swatches.swatch import SwatchError


def test_every_pixel_is_the_colour() -> None:
    solid = solid_swatch("#aabbcc")
    assert np.array_equal(np.unique(solid.tile_srgb8.reshape(-1, 3), axis=0), [[0xAA, 0xBB, 0xCC]])
    assert solid.repeats
    assert solid.kind == "solid"
    assert solid.name == "#aabbcc"
    assert "#aabbcc" in solid.colour_note


def test_names_of_colours_and_of_cloth() -> None:
    teal = solid_swatch(" teal ", name="pond", width_of_fabric_in=Fraction(43, 1))
    assert teal.tile_srgb8[0, 0].tolist() == [0, 128, 128]
    assert (teal.name, teal.width_of_fabric_in) == ("pond", 43)


def test_the_key_follows_colour_and_name() -> None:
    assert solid_swatch("teal").key == solid_swatch("teal").key
    assert solid_swatch("teal").key != solid_swatch("navy").key
    assert solid_swatch("teal").key != solid_swatch("teal", name="pond").key


def test_what_is_no_colour() -> None:
    with pytest.raises(ColourError):
        solid_swatch("no such colour")
    with pytest.raises(SwatchError):
        solid_swatch("teal", name="")
