from __future__ import annotations

from fractions import Fraction
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from cutting.strips import Blank, cut_strips

F = Fraction

SIDES = st.builds(F, st.integers(1, 48), st.sampled_from([1, 2, 3, 5, 7, 8])).filter(lambda side: side <= 20)
BLANKS = st.lists(st.tuples(SIDES, SIDES), min_size=1, max_size=40).map(
    lambda sizes: [Blank(key, width, height) for key, (width, height) in enumerate(sizes)]
)


def alike(width: F, height: F, many: int) -> list[Blank]:
    return [Blank(key, width, height) for key in range(many)]


def length(blanks: list[Blank], usable: int | F) -> F:
    return sum((strip.height_in for strip in cut_strips(blanks, usable_in=F(usable))), F(0))


def test_an_exact_fit_loses_no_piece() -> None:
    (strip,) = cut_strips(alike(F(5), F(5), 8), usable_in=F(40))
    assert len(strip.blanks) == 8
    assert strip.used_in() == 40
    assert len(cut_strips(alike(F(5), F(5), 9), usable_in=F(40))) == 2


def test_thirds_fifths_and_sevenths_fit_exactly() -> None:
    for parts in (3, 5, 6, 7, 9, 11, 13):
        (strip,) = cut_strips(alike(F(40, parts), F(2), parts), usable_in=F(40))
        assert strip.used_in() == 40


def test_a_hair_too_wide_does_not_fit() -> None:
    hair = F(1, 10**12)
    assert len(cut_strips(alike(F(5) + hair, F(5), 8), usable_in=F(40))) == 2


def test_pieces_of_one_height_share_strips() -> None:
    blanks = [Blank(0, F(30), F(4)), Blank(1, F(10), F(4)), Blank(2, F(20), F(4)), Blank(3, F(20), F(4))]
    strips = cut_strips(blanks, usable_in=F(40))
    assert [[blank.key for blank in strip.blanks] for strip in strips] == [[0, 1], [2, 3]]


def test_a_short_strip_is_cut_from_the_ends_of_taller_ones() -> None:
    blanks = [Blank(0, F(12), F(12)), *(Blank(key, F(2), F(4)) for key in range(1, 31))]
    (strip,) = cut_strips(blanks, usable_in=F(40))
    # 14 to a strip of 28 in; three such strips, one below the other, beside the 12 in square.
    assert [len(end.blanks) for end in strip.ends] == [14, 14, 2]
    assert [end.top_in for end in strip.ends] == [0, 4, 8]
    assert {end.left_in for end in strip.ends} == {12}
    assert strip.reach_in() == 40


def test_a_strip_stays_if_one_of_its_pieces_has_no_other_place() -> None:
    blanks = [Blank(0, F(30), F(6)), Blank(1, F(8), F(3)), Blank(2, F(11), F(3))]
    tall, short = cut_strips(blanks, usable_in=F(40))
    assert not tall.ends
    assert [blank.key for blank in short.blanks] == [2, 1]


@settings(max_examples=60, deadline=None)
@given(blanks=BLANKS, usable=st.integers(20, 45))
def test_every_blank_has_its_own_place_within_the_cloth(blanks: list[Blank], usable: int) -> None:
    strips = cut_strips(blanks, usable_in=F(usable), left_in=F(1))
    seats = [seat for strip in strips for seat in strip.seats()]
    assert sorted(blank.key for blank, _, _ in seats) == list(range(len(blanks)))
    total = length(blanks, usable)
    for blank, left, top in seats:
        assert left >= 1
        assert left + blank.width_in <= usable + 1
        assert top >= 0
        assert top + blank.height_in <= total
    for (one, x, y), (two, u, v) in combinations(seats, 2):
        apart = (
            x + one.width_in <= u or u + two.width_in <= x or y + one.height_in <= v or v + two.height_in <= y
        )
        assert apart


@settings(max_examples=60, deadline=None)
@given(blanks=BLANKS, usable=st.integers(20, 45))
def test_no_more_cloth_is_cut_than_is_given(blanks: list[Blank], usable: int) -> None:
    area = sum((blank.width_in * blank.height_in for blank in blanks), F(0))
    total = length(blanks, usable)
    assert area <= total * usable
    # Never more than a strip of its own for every piece.
    assert total <= sum((blank.height_in for blank in blanks), F(0))


@settings(max_examples=40, deadline=None)
@given(width=SIDES, height=SIDES, many=st.integers(1, 120), usable=st.integers(20, 45))
def test_equal_pieces_follow_the_trade_arithmetic(width: F, height: F, many: int, usable: int) -> None:
    per_strip = usable // width
    assert length(alike(width, height, many), usable) == -(-many // per_strip) * height
