from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from palettes.encodings import (
    LUMINANCE_OF_RGB,
    decode,
    encode,
    lin16_of_srgb8,
    lin_to_srgb8,
    luminance,
    srgb8_of_lin16,
    srgb8_to_lin,
)

CODES = np.arange(256, dtype=np.uint8)


def test_every_code_survives_the_way_to_light_and_back() -> None:
    np.testing.assert_array_equal(lin_to_srgb8(srgb8_to_lin(CODES)), CODES)


def test_every_code_survives_the_16_bit_tables() -> None:
    np.testing.assert_array_equal(srgb8_of_lin16()[lin16_of_srgb8()], CODES)


def test_the_tables_cannot_be_changed() -> None:
    for table in (lin16_of_srgb8(), srgb8_of_lin16()):
        with pytest.raises(ValueError, match="read-only"):
            table[0] = 1


def test_a_result_can_be_changed_without_harm_to_the_table() -> None:
    light = srgb8_to_lin(CODES)
    light[:] = 0
    assert srgb8_to_lin(CODES)[255] == 1


def test_the_ends() -> None:
    np.testing.assert_array_equal(srgb8_to_lin(np.uint8([0, 255])), [0, 1])
    np.testing.assert_array_equal(lin_to_srgb8([-0.5, 0.0, 1.0, 1.5]), [0, 0, 255, 255])


def test_the_nearest_code_is_found_exactly() -> None:
    """Against the formula, for random light and for the borders between two codes and their neighbours."""
    light = np.random.default_rng(8).random(200_000).astype(np.float32)
    light[:50_000] **= 6
    borders = decode((np.arange(255) + 0.5) / 255).astype(np.float32)
    beside = [np.nextafter(borders, np.float32(end)) for end in (0, 2)]
    light = np.concatenate([light, borders, *beside])
    np.testing.assert_array_equal(lin_to_srgb8(light), np.rint(encode(light) * 255))


def test_shapes_and_types_stay() -> None:
    picture = np.zeros((4, 5, 3), dtype=np.uint8)
    light = srgb8_to_lin(picture)
    assert (light.shape, light.dtype) == ((4, 5, 3), np.float32)
    assert (lin_to_srgb8(light).shape, lin_to_srgb8(light).dtype) == ((4, 5, 3), np.uint8)
    assert (luminance(light).shape, luminance(light).dtype) == ((4, 5), np.float32)
    assert luminance(light.astype(np.float64)).dtype == np.float64


def test_what_is_not_codes_or_not_light_is_refused() -> None:
    with pytest.raises(TypeError, match="float32"):
        srgb8_to_lin(np.zeros(3, dtype=np.float32))
    with pytest.raises(TypeError, match="uint8"):
        luminance(CODES[:3])


def test_luminance_of_white_is_one_and_of_the_primaries_their_share() -> None:
    assert luminance(np.ones(3)) == pytest.approx(1, abs=1e-15)
    np.testing.assert_array_equal(luminance(np.eye(3)), LUMINANCE_OF_RGB)


def test_mixing_in_light_is_lighter_than_mixing_codes() -> None:
    """Black and white threads in equal parts look like code 188, not 128."""
    assert lin_to_srgb8(srgb8_to_lin(np.uint8([0, 255])).mean()) == 188


@given(st.floats(-1, 2))
def test_encode_undoes_decode(value: float) -> None:
    assert encode(decode(value)) == pytest.approx(value, abs=1e-12)


@given(st.floats(0, 1), st.floats(0, 1))
def test_more_light_never_gives_a_lower_code(first: float, second: float) -> None:
    low, high = sorted((first, second))
    assert lin_to_srgb8(low) <= lin_to_srgb8(high)
