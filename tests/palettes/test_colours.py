from __future__ import annotations

import re
from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageColor

from palettes.colours import ColourError, colour_name, parse_colour
from palettes.css_names import HEX_OF_NAME


def test_every_name_has_the_colour_that_a_second_table_gives_it() -> None:
    theirs = {name: ImageColor.getrgb(name) for name in ImageColor.colormap}
    ours = {name.replace(" ", ""): tuple(parse_colour(name).tolist()) for name in HEX_OF_NAME}
    assert ours == theirs
    assert len(ours) == 148


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_six_digits_and_back(codes: tuple[int, int, int]) -> None:
    text = "#{:02x}{:02X}{:02x}".format(*codes)
    assert tuple(parse_colour(text).tolist()) == codes


@pytest.mark.parametrize(
    ("text", "codes"),
    [
        ("#abc", (0xAA, 0xBB, 0xCC)),
        ("  #1F4e79 ", (0x1F, 0x4E, 0x79)),
        ("navy", (0, 0, 128)),
        ("Light sea green", (32, 178, 170)),
        ("light-sea_green", (32, 178, 170)),
        ("LIGHTSEAGREEN", (32, 178, 170)),
        ("grey", (128, 128, 128)),
        ("gray", (128, 128, 128)),
    ],
)
def test_what_can_be_typed(text: str, codes: tuple[int, int, int]) -> None:
    colour = parse_colour(text)
    assert tuple(colour.tolist()) == codes
    assert (colour.shape, colour.dtype) == ((3,), np.uint8)


def test_the_caller_owns_the_answer() -> None:
    parse_colour("navy")[:] = 0
    assert parse_colour("navy")[2] == 128


@pytest.mark.parametrize(
    "text", ["", "#", "#12", "#1234", "#12345g", "#1234567", "nvay", "rgb(1,2,3)", "\n", "٣"]
)
def test_what_is_no_colour_is_refused_with_a_mend(text: str) -> None:
    with pytest.raises(ColourError, match=r"^background: ") as caught:
        parse_colour(text, field="background")
    assert repr(text) in str(caught.value)
    assert caught.value.field == "background"
    assert re.fullmatch(r"[A-Z].*[.]", caught.value.mend)
    assert "\n" not in str(caught.value)


def test_near_names_are_offered() -> None:
    with pytest.raises(ColourError) as caught:
        parse_colour("nvay")
    assert "navy" in caught.value.mend


def test_a_long_text_is_cut_in_the_message() -> None:
    with pytest.raises(ColourError) as caught:
        parse_colour("x" * 5000)
    assert len(str(caught.value)) < 100


@given(st.text())
def test_any_text_is_a_colour_or_a_colour_error(text: str) -> None:
    with suppress(ColourError):
        assert parse_colour(text).shape == (3,)


@given(st.tuples(*[st.integers(0, 255)] * 3))
def test_a_name_that_is_given_is_a_name_that_is_read(codes: tuple[int, int, int]) -> None:
    assert parse_colour(colour_name(codes)).shape == (3,)


@pytest.mark.parametrize(
    "name", ["navy", "wheat", "tomato", "white", "black", "grey", "dark olive green", "cyan"]
)
def test_a_named_colour_gets_its_own_name(name: str) -> None:
    assert colour_name(parse_colour(name)) == name


def test_a_near_colour_gets_the_nearest_name() -> None:
    assert colour_name((2, 2, 122)) == "navy"
    assert colour_name((250, 250, 246)) in {"white smoke", "floral white", "ivory", "snow", "white"}


def test_grey_names_follow_value() -> None:
    """The web's "dark grey" is lighter than its "grey"; it is never given."""
    names = [colour_name((code,) * 3) for code in range(256)]
    assert not {"dark grey", "dark gray"} & set(names)
    assert names.index("black") < names.index("dim grey") < names.index("grey") < names.index("white")


@pytest.mark.parametrize("twin", ["aqua", "fuchsia", "gray"])
def test_of_two_names_for_one_colour_the_commoner_is_given(twin: str) -> None:
    assert colour_name(parse_colour(twin)) in {"cyan", "magenta", "grey"}
