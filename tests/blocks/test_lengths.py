"""Lengths: what makers type, exactly, and errors that name what was typed."""

from __future__ import annotations

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.lengths import (
    MM_PER_IN,
    LengthError,
    inches_text,
    metric_text,
    parse_inches,
    parse_size,
    round_up,
    to_mm,
)


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("3 3/8", F(27, 8)),
        ("3.375", F(27, 8)),
        ('3-3/8"', F(27, 8)),
        ("3⅜", F(27, 8)),
        ("3 3⁄8 in", F(27, 8)),
        ("27/8", F(27, 8)),
        ("3,375", F(27, 8)),
        (".5", F(1, 2)),
        ("0", F(0)),
        (12, F(12)),
        ("86 mm", F(860, 254)),
        ("8.6 cm", F(860, 254)),
        ("1 yd", F(36)),
        ("0.25 m", F(25000, 2540)),
        ("½", F(1, 2)),
        (" 2 1/2 inches ", F(5, 2)),
    ],
)
def test_lengths_are_read_exactly(typed, inches):
    assert parse_inches(typed) == inches


@pytest.mark.parametrize(
    "typed", ["", "three", "3 3/0", "3/", "-2", "3 furlongs", "1e5", "nan", "inf", "3 3 3/8", "9" * 80, 0.1, True, None]
)  # fmt: skip
def test_what_is_no_length_is_named(typed):
    with pytest.raises(LengthError) as caught:
        parse_inches(typed)
    assert repr(typed) in str(caught.value)
    assert caught.value.mend


def test_an_absurd_length_is_refused():
    with pytest.raises(LengthError, match="bolt"):
        parse_inches("99999999 in")


def test_an_inch_is_25_4_mm():
    """Source: international yard and pound agreement of 1959 (1 in = 25.4 mm exactly)."""
    assert F(254, 10) == MM_PER_IN
    assert to_mm(parse_inches("1")) == F(254, 10)


@given(st.integers(0, 5000), st.sampled_from([1, 2, 4, 8, 16, 32, 64]))
def test_what_is_printed_reads_back(top, bottom):
    length = F(top, bottom)
    assert parse_inches(inches_text(length)) == length


@given(st.fractions(0, 500), st.sampled_from([F(1, 8), F(1, 16), 1 / MM_PER_IN, 5 / MM_PER_IN]))
def test_rounding_goes_up_by_less_than_a_step(length, step):
    up = round_up(length, step_in=step)
    assert 0 <= up - length < step
    assert (up / step).denominator == 1


def test_a_float_a_hair_over_a_step_is_that_step():
    assert round_up(0.1 + 0.2, step_in=F(1, 10)) == F(3, 10)


@pytest.mark.parametrize(
    ("typed", "size"), [("4 x 2", (F(4), F(2))), ("12", (F(12), F(12))), ("1 1/2×3", (F(3, 2), F(3))), (3, (F(3), F(3)))]
)  # fmt: skip
def test_sizes(typed, size):
    assert parse_size(typed) == size


@pytest.mark.parametrize("typed", ["4 x 2 x 1", "0", "4 x 0", "x", "4 x"])
def test_sizes_that_will_not_do(typed):
    with pytest.raises(LengthError):
        parse_size(typed)


def test_metric_text():
    assert metric_text(parse_inches("86 mm")) == "86 mm"
    assert metric_text(parse_inches("21.5 cm")) == "21.5 cm"
