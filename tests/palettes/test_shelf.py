from __future__ import annotations

import numpy as np
import pytest

from palettes.pair_table import pair_shares
from palettes.shelf import rank_shelf, shelf_of
from tests.palettes.test_looks import look

SPECS = (
    "solid 30",
    "solid 55",
    "solid 92",
    "multi 50 0.5 warm",
    "multi 65 0.4 cool",
    "leaves #f3ecd8 #1e823c 0.3 0.7",
    "check #a51923 #f5f3ee 0.0625",
    "tonal 84 5 0.6",
    "tonal 32 5 0.5",
    "dots #1c2a52 #f5f3ee 0.05 0.25",
)


def looks():
    return [look(spec) for spec in SPECS]


@pytest.mark.parametrize("part", ["stem", "petal"])
def test_what_shows_is_near_the_table_of_spots(part: str) -> None:
    """A Gaussian for each cloth's lightness stands in for its spots: a few hundredths off."""
    shelf, every = shelf_of(looks()), looks()
    off = []
    for ground in every:
        exact = pair_shares(every, [ground], narrow=part == "stem")[:, 0]
        off.append(np.abs(rank_shelf(shelf, [ground], part).shows - exact))
    assert np.mean(off) < 0.04
    assert np.percentile(off, 90) < 0.12


def test_a_mid_green_unlike_the_grounds_own_comes_before_one_that_equals_it() -> None:
    """Of thirty greens against one ground print the best match to its own green is no good stem."""
    ground = look("leaves #f3ecd8 #2e7d46 0.45 0.7")
    lightnesses = np.linspace(25, 80, 29)
    greens = [look("#2e7d46")] + [look(f"lab {L:g} -30 20") for L in lightnesses]
    ranking = rank_shelf(shelf_of(greens), [ground], "stem")
    place = {int(cloth): rank for rank, cloth in enumerate(ranking.order)}
    mid = 1 + int(np.argmin(np.abs(lightnesses - 58)))
    assert ranking.merges[0] > 0.4
    assert ranking.merges[mid] < 0.05
    # Equally far from the ground's mean in value, but not of its own green.
    assert place[mid] < place[0] or ranking.shows[mid] < ranking.shows[0] - 0.2


def test_against_a_set_the_least_counts() -> None:
    shelf = shelf_of(looks())
    dark, light = look("solid 25"), look("solid 95")
    both = rank_shelf(shelf, [dark, light], "petal")
    each = [rank_shelf(shelf, [one], "petal").shows for one in (dark, light)]
    np.testing.assert_array_equal(both.shows, np.minimum(*each))
    assert SPECS[int(both.order[0])] in ("solid 55", "multi 65 0.4 cool", "check #a51923 #f5f3ee 0.0625")


def test_a_background_should_be_calm() -> None:
    shelf = shelf_of(looks())
    dark = look("solid 20")
    order = [SPECS[i] for i in rank_shelf(shelf, [dark], "background").order]
    assert order.index("tonal 84 5 0.6") < order.index("multi 65 0.4 cool")
    assert look(order[0]).busy < 0.05


def test_a_focus_print_lifts_the_cloths_that_go_with_it() -> None:
    focus = look("leaves #f3ecd8 #a51923 0.3 0.7")
    pair = [look("lab 50 50 25"), look("lab 50 -50 25")]
    alone = rank_shelf(shelf_of(pair), [look("solid 92")], "petal")
    beside = rank_shelf(shelf_of(pair), [look("solid 92")], "petal", focus=focus)
    assert (alone.harmony == 1).all()
    assert beside.harmony[0] > 0.7 > 0.1 > beside.harmony[1]
    assert beside.order.tolist() == [0, 1]


def test_nothing_to_read_against_is_refused_and_an_empty_shelf_is_not() -> None:
    with pytest.raises(ValueError, match="one cloth at least"):
        rank_shelf(shelf_of(looks()), [], "petal")
    empty = rank_shelf(shelf_of([]), [look("solid 20")], "petal", focus=look("solid 20"))
    assert len(empty.order) == 0
