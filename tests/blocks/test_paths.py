from __future__ import annotations

from contextlib import suppress
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from blocks.curves import Arc, Bezier, CurveError, flatten
from blocks.paths import PathError, parse_path

F = Fraction


def corners(text):
    return [[(str(x), str(y)) for x, y in flatten(stroke)] for stroke in parse_path(text)]


@pytest.mark.parametrize(
    ("long", "short"),
    [
        ("M 0 0 L 4 0 L 4 4 Z", "M0 0h4v4z"),
        ("M 1.5 0.5 L 2 0 L 3 0", "m1.5.5.5-.5 1 0"),
        ("M 1 1 L 2 3 L 4 4", "m1 1 1 2 2 1"),
        ("M 1,1 L 20,3", "M1,1,2e1,30E-1"),
        ("M 0 0 L 5 0 L 5 5 Z M 0 0 L -1 0", "M0 0H5V5ZH-1"),
        ("M 0 0 Q 1 2 2 0 Q 3 -2 4 0", "M0 0Q1 2 2 0T4 0"),
        ("M 0 0 C 0 1 1 2 2 2 C 3 2 4 1 4 0", "M0 0C0 1 1 2 2 2S4 1 4 0"),
        ("M 0 0 C 0 0 1 2 2 2", "M0 0S1 2 2 2"),
        ("M 0 0 Q 0 0 2 2", "M0 0T2 2"),
        ("M 0 0 A 1 1 0 0 1 2 0", "M0 0a1 1 0 012 0"),
        ("M 0 0 L 2 0", "M0 0A0 1 0 0 1 2 0"),
        ("M 0 0 L 2 0", "M9 9M0 0H2M5 5"),
        ("M 0 0 L 1 0", "M0 0L0 0L1 0"),
    ],
)
def test_short_forms_say_the_same(long, short):
    assert [flatten(stroke) for stroke in parse_path(short)] == [
        flatten(stroke) for stroke in parse_path(long)
    ]


def test_numbers_are_exact():
    (stroke,) = parse_path("M0.1 0L.3 1e-1")
    assert stroke.segments == (Bezier(((F(1, 10), F(0)), (F(3, 10), F(1, 10)))),)
    (stroke,) = parse_path("M0 0A2-1 30 1 0 1 1")
    assert stroke.segments == (
        Arc((F(0), F(0)), (F(1), F(1)), (F(2), F(1)), F(30), large=True, clockwise=False),
    )


def test_strokes_and_closing():
    strokes = parse_path("M0 0H1V1zM3 3h1")
    assert [stroke.closed for stroke in strokes] == [True, False]
    assert corners("M0 0H1V1zM3 3h1") == [[("0", "0"), ("1", "0"), ("1", "1")], [("3", "3"), ("4", "3")]]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "the path is empty"),
        ("   ", "the path is empty"),
        ("L 1 1", "begins with M"),
        ("M 1 1", "draws nothing"),
        ("M 0 0 L 1", "a number was expected"),
        ("M 0 0 L 1,", "a number was expected"),
        ("M 0 0 L 1 2 3", "a number was expected"),
        ("M 0 0 X 1 2", "a command"),
        ("M 0 0 L 1 2;", "a command"),
        ("M 0 0 L 1. 2", "a number was expected"),
        ("M 0 0 A 1 1 0 2 0 3 3", "a flag"),
        ("M 0 0 L 1e9 2", "more than 1000 in"),
        ("M 0 0 l 900 0 900 0", "more than 1000 in"),
        ("M 0 0 L 1e-30 2", "too long"),
        ("M 0 0 L 0." + "3" * 40 + " 2", "too long"),
        ("M 0 0 L ٣ ٣", "a number was expected"),
        ("M 0 0" + " L 1 1" * 5000, "signs"),
    ],
)
def test_faults_say_where_and_what(text, told):
    with pytest.raises(PathError, match=told) as caught:
        parse_path(text)
    assert str(caught.value).startswith("after ")
    assert caught.value.mend


@given(st.text(alphabet="MmLlHhVvCcSsQqTtAaZz0123456789.,-+ e\n", max_size=40))
def test_any_text_is_read_or_refused(text):
    with suppress(PathError, CurveError):
        for stroke in parse_path("M1 1" + text):
            points = flatten(stroke)
            assert len(points) > 1
            assert points[0] == stroke.segments[0].start
