from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest

from palettes.choosing import ChoiceError, choose_cloths
from palettes.colours import parse_colour
from palettes.encodings import srgb8_to_lin
from palettes.hues import FAMILIES, allowed_in_families, allowed_near, hue_family
from palettes.lightness import lab_from_lin
from palettes.pair_table import pair_shares, pair_table
from palettes.reading import judge_edge
from palettes.searching import alike_roles
from tests.palettes.test_looks import look


def brute_force(allowed, tables, *, repeat):
    """Every choice there is, with the least share of each."""
    roles, cloths = allowed.shape
    found = {}
    for each in product(range(cloths), repeat=roles):
        if all(allowed[role, cloth] for role, cloth in enumerate(each)) and (
            repeat or len(set(each)) == roles
        ):
            found[each] = min((table[each[a], each[b]] for (a, b), table in tables.items()), default=1.0)
    return found


def random_case(seed):
    rng = np.random.default_rng(seed)
    roles, cloths = int(rng.integers(2, 5)), int(rng.integers(4, 7))
    pairs = [pair for pair in combinations(range(roles), 2) if rng.random() < 0.8] or [(0, 1)]
    # Few levels make ties, which a search by halving must not trip over.
    tables = {
        pair: rng.integers(0, 8, (cloths, cloths)) / 8 if seed % 2 else rng.random((cloths, cloths))
        for pair in pairs
    }
    allowed = rng.random((roles, cloths)) < 0.8
    return allowed, tables


@pytest.mark.parametrize("seed", range(40))
def test_the_best_ten_are_those_of_trying_everything(seed):
    allowed, tables = random_case(seed)
    repeat = seed % 3 == 0
    every = brute_force(allowed, tables, repeat=repeat)
    if not every:
        with pytest.raises(ChoiceError):
            choose_cloths(allowed, tables, repeat=repeat)
        return
    found = choose_cloths(allowed, tables, repeat=repeat)
    apart = min(2, int((allowed.sum(axis=1) > 1).sum()))
    groups = alike_roles(allowed, tables, None)

    def differs(each, other):
        new = [cloth not in {other[mate] for mate in groups[role]} for role, cloth in enumerate(each)]
        return sum(new) >= apart

    before = []
    for choice in found:
        left = {each: least for each, least in every.items() if all(differs(each, other) for other in before)}
        assert choice.is_proven
        assert choice.weakest == max(left.values()) == every[choice.cloths]
        assert choice.cloths in left
        a, b = choice.weakest_pair
        assert tables[a, b][choice.cloths[a], choice.cloths[b]] == choice.weakest
        before.append(choice.cloths)
    if len(found) < 10 and apart:
        assert not any(all(differs(each, other) for other in before) for each in every)


@pytest.mark.parametrize("seed", range(12))
def test_roles_that_are_alike_make_no_second_choice_by_changing_cloths(seed):
    rng = np.random.default_rng(seed)
    table = rng.random((6, 6))
    table = (table + table.T) / 2
    allowed = np.ones((3, 6), bool)
    tables = dict.fromkeys(combinations(range(3), 2), table)
    assert alike_roles(allowed, tables, None) == (frozenset({0, 1, 2}),) * 3
    found = choose_cloths(allowed, tables, differ=1)
    sets = sorted(
        ((min(table[a, b] for a, b in combinations(each, 2)), each) for each in combinations(range(6), 3)),
        reverse=True,
    )
    assert [choice.weakest for choice in found] == pytest.approx([least for least, _ in sets[:10]])
    assert len({frozenset(choice.cloths) for choice in found}) == 10


def test_a_fixed_role_keeps_its_cloth_and_liking_breaks_ties():
    table = np.ones((5, 5))
    allowed = np.ones((3, 5), bool)
    allowed[0] = np.arange(5) == 2
    liking = np.zeros((3, 5))
    liking[1, 4] = liking[2, 3] = 1
    best = choose_cloths(allowed, {(0, 1): table, (1, 2): table}, liking=liking)[0]
    assert best.cloths == (2, 4, 3)


def test_no_cloth_for_a_role_is_told():
    allowed = np.ones((2, 3), bool)
    allowed[1] = False
    with pytest.raises(ChoiceError, match="role 2 of 2") as told:
        choose_cloths(allowed, {(0, 1): np.ones((3, 3))})
    assert told.value.mend
    with pytest.raises(ChoiceError, match="too few"):
        choose_cloths(np.ones((3, 2), bool), {(0, 1): np.ones((2, 2))})


@pytest.mark.parametrize(
    "tables", [{(0, 0): np.ones((3, 3))}, {(0, 5): np.ones((3, 3))}, {(0, 1): np.ones((2, 3))}]
)
def test_tables_that_do_not_fit_are_refused(tables):
    with pytest.raises(ValueError, match="table"):
        choose_cloths(np.ones((2, 3), bool), tables)


def test_the_table_agrees_with_an_edge_of_independent_spots():
    looks = [look(spec) for spec in ("solid 30", "multi 50 0.5 warm", "leaves #f3ecd8 #1e823c 0.3 0.7")]
    table = pair_table(looks)
    rng = np.random.default_rng(0)
    for one, other in combinations(range(3), 2):
        spots = [luminous(each.spots_lab[rng.permutation(256)]) for each in (looks[one], looks[other])]
        edge = judge_edge(*spots)
        expected = max(0, edge.share_shows - 0.35 * (looks[one].busy + looks[other].busy))
        assert table[one, other] == pytest.approx(expected, abs=0.04)
    np.testing.assert_allclose(table, table.T)
    assert table[0, 0] == 0


def luminous(lab):
    from palettes.lightness import lin_from_lab

    return lin_from_lab(lab)


def test_colour_helps_in_the_table_too():
    red, green = look("#cd1928"), look("#1e823c")
    assert pair_shares([red], [green])[0, 0] < 0.2
    assert pair_shares([red], [green], with_colour=True)[0, 0] > 0.9


@pytest.mark.parametrize(
    ("colour", "family"),
    [
        ("crimson", "red"),
        ("orange", "orange"),
        ("coral", "orange"),
        ("gold", "yellow"),
        ("forest green", "green"),
        ("teal", "teal"),
        ("royal blue", "blue"),
        ("purple", "violet"),
        ("hot pink", "pink"),
        ("linen", "neutral"),
        ("grey", "neutral"),
    ],
)
def test_families(colour, family):
    lab = lab_from_lin(srgb8_to_lin(parse_colour(colour)))
    assert hue_family(lab) == family
    assert family in FAMILIES


def test_a_role_may_keep_to_its_family_or_all_to_a_palette():
    looks = [look("#1e823c"), look("#cd1928"), look("solid 90")]
    allowed = allowed_in_families(looks, [{"green"}, None, {"red", "neutral"}])
    assert allowed.tolist() == [[True, False, False], [True, True, True], [False, True, True]]
    near = allowed_near(looks, [looks[1].mean_lab, (92, 0, 0)], roles=2)
    assert near.tolist() == [[False, True, True]] * 2
