"""Settings: bounds hold, and what is out of them is refused, never moved."""

from __future__ import annotations

from fractions import Fraction

import pytest

from swatches.swatch import LEAST_PPI, MOST_PPI, WIDTH_OF_FABRIC_IN
from ui import settings
from ui.mistakes import tell
from ui.settings import CLOTH_WIDTH, PHOTO_PPI, PICTURE_PPI, PORT, SEAM, Setting

ALL = [value for value in vars(settings).values() if isinstance(value, Setting)]


@pytest.mark.parametrize("setting", ALL, ids=lambda setting: setting.name)
def test_bounds_hold(setting: Setting) -> None:
    assert setting.read(str(setting.lowest)) == setting.lowest
    assert setting.read(str(setting.highest)) == setting.highest
    for wrong in (setting.highest + 1, setting.lowest - 1):
        with pytest.raises(ValueError, match=r".") as caught:
            setting.read(str(wrong))
        told = tell(caught.value)
        assert told is not None
        assert told.mend.endswith(".")
    assert setting.text(setting.lowest) in setting.help_line()


def test_nothing_typed_is_the_default() -> None:
    assert SEAM.read(None) == SEAM.read("  ") == Fraction(1, 4)


@pytest.mark.parametrize(
    ("typed", "read_in"),
    [("7.5 mm", Fraction(75, 254)), ("3/8", Fraction(3, 8)), (1, Fraction(1)), (0.25, Fraction(1, 4))],
)
def test_lengths_in_the_makers_own_units(typed: str | float, read_in: Fraction) -> None:
    assert SEAM.read(typed) == read_in


@pytest.mark.parametrize("typed", ["many", "1e999999999", "1/0", "nan", "inf", "-4", "9" * 50])
def test_numbers_that_are_none(typed: str) -> None:
    with pytest.raises(ValueError, match=r"Pixels per inch .* is (not a number|out of bounds)\."):
        PICTURE_PPI.read(typed)


def test_a_port_is_whole() -> None:
    with pytest.raises(ValueError, match="not a whole number"):
        PORT.read("8717.5")


def test_bounds_agree_with_what_a_swatch_takes() -> None:
    assert (PHOTO_PPI.lowest, PHOTO_PPI.highest) == (LEAST_PPI, MOST_PPI)
    assert CLOTH_WIDTH.default == WIDTH_OF_FABRIC_IN
