"""A swatch is checked when it is made and cannot be changed afterwards."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from fractions import Fraction
from typing import Any

import numpy as np
import pytest

from swatches.swatch import Swatch, SwatchError, make_swatch
from tests.swatches.pictures import speckled


def made(**changed: Any) -> Swatch:
    fields: dict[str, Any] = {
        "tile_srgb8": speckled(50, 100),
        "key": "clover",
        "name": "clover",
        "ppi": 100.0,
        "repeats": True,
        "scale_note": "drawn",
        "colour_note": "drawn",
    }
    fields.update(changed)
    return make_swatch(fields.pop("tile_srgb8"), **fields)


def test_size_in_inches() -> None:
    swatch = made(ppi=25.0)
    assert (swatch.width_in, swatch.height_in) == (4.0, 2.0)
    assert swatch.width_of_fabric_in == 42


def test_nothing_can_change_it() -> None:
    tile = speckled()
    swatch = made(tile_srgb8=tile)
    tile[:] = 0
    assert swatch.tile_srgb8.any()
    with pytest.raises(ValueError, match="read-only"):
        swatch.tile_srgb8[0, 0] = 0
    with pytest.raises(FrozenInstanceError):
        swatch.name = "daisy"  # type: ignore[misc]


def test_a_tile_that_is_locked_already_is_not_copied() -> None:
    tile = speckled()
    tile.flags.writeable = False
    assert made(tile_srgb8=tile).tile_srgb8 is tile


def test_a_locked_view_of_a_tile_that_can_change_is_copied() -> None:
    tile = speckled()
    view = tile[:20]
    view.flags.writeable = False
    swatch = made(tile_srgb8=view)
    tile[:] = 0
    assert swatch.tile_srgb8.any()


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("ppi", 9.9),
        ("ppi", 2401),
        ("ppi", float("nan")),
        ("ppi", float("inf")),
        ("key", " "),
        ("name", ""),
        ("name", "two\nlines"),
        ("name", "x" * 121),
        ("kind", "stripe"),
        ("width_of_fabric_in", Fraction(0)),
        ("width_of_fabric_in", Fraction(201)),
        ("tile_srgb8", np.zeros((0, 5, 3), np.uint8)),
        ("tile_srgb8", np.zeros((5, 5), np.uint8)),
        ("tile_srgb8", np.zeros((5, 5, 4), np.uint8)),
        ("tile_srgb8", np.zeros((5, 5, 3), np.float32)),
    ],
)
def test_a_wrong_field_is_named(field: str, wrong: Any) -> None:
    with pytest.raises(SwatchError) as caught:
        made(**{field: wrong})
    named = {"width_of_fabric_in": "width of fabric", "tile_srgb8": "tile"}.get(field, field)
    assert caught.value.field == named
    assert str(caught.value).startswith(named)
    assert caught.value.mend.endswith(".")
