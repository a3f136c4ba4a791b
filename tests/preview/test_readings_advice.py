"""Remedies for weak edges, and which patch goes first."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from blocks.edges import find_edges
from palettes.shares import Places
from palettes.threads import Thread
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.advice import remedies
from preview.audition import make_audition
from preview.first_to_go import first_to_go
from preview.outline import best_outline, outline_share
from preview.readings import read_edges
from tests.palettes.judged_set import draw
from tests.preview.scenes import arc_stem, draft, plain, rectangle, stay_places
from tests.preview.test_readings import DARK, EDGES, LIGHT, three_patches

MIDDLE = plain(48, 48, 69)
"""Half a value step lighter than DARK."""

STRIPED = draw("stripe #f5f3ee #1c2a52 2 along 0")
STASH = (plain(150, 40, 60, name="berry"), plain(62, 62, 84, name="slate"), plain(245, 240, 230, name="milk"))


def weak_case(roles):
    block = three_patches()
    audition = make_audition(block, roles=roles, places=stay_places(block))
    return audition, read_edges(audition, EDGES)[0]


def test_a_cloth_from_the_stash_is_read_as_it_would_lie():
    audition, weak = weak_case({"left": LIGHT, "middle": DARK, "right": MIDDLE})
    found = {each.way: each for each in remedies(audition, EDGES, weak, stash=STASH)}
    other = found["another cloth"]
    assert (other.role, other.cloth.name) == ("right", "milk")
    assert "right" in other.words
    assert "milk" in other.words
    assert other.before == weak.reading.share_shows
    changed = make_audition(
        three_patches(),
        roles={"left": LIGHT, "middle": DARK, "right": other.cloth},
        places=stay_places(three_patches()),
    )
    after = next(each for each in read_edges(changed, EDGES) if each.first == 3).reading.share_shows
    assert other.after == pytest.approx(after)
    assert (other.before_word, other.after_word) == ("lost", "clear")


def test_a_ground_that_would_lose_its_other_edge_is_not_taken():
    """Against the light left patch a milk-white middle would vanish: berry is the ground that serves both."""
    audition, weak = weak_case({"left": LIGHT, "middle": DARK, "right": MIDDLE})
    ground = {each.way: each for each in remedies(audition, EDGES, weak, stash=STASH)}["another ground"]
    assert (ground.role, ground.cloth.name) == ("middle", "berry")
    assert ground.weakest_after > 0.4


def test_ways_come_in_their_order_and_only_where_they_help():
    audition, weak = weak_case({"left": plain(245, 243, 238), "middle": STRIPED, "right": DARK})
    ways = [each.way for each in remedies(audition, EDGES, weak, stash=STASH)]
    order = ["another cloth", "turned cut", "re-placed cut", "another ground", "outline stitch"]
    assert ways == [way for way in order if way in ways]
    assert "re-placed cut" in ways
    for each in remedies(audition, EDGES, weak, stash=STASH):
        assert each.after > each.before


def test_a_cut_from_elsewhere_reads_as_promised():
    audition, weak = weak_case({"left": plain(245, 243, 238), "middle": STRIPED, "right": DARK})
    found = {each.way: each for each in remedies(audition, EDGES, weak)}["re-placed cut"]
    block = three_patches()
    moved = make_audition(
        block,
        roles={"left": plain(245, 243, 238), "middle": STRIPED, "right": DARK},
        places={**stay_places(block), found.piece: found.place},
    )
    after = {(each.first, each.second): each.reading.share_shows for each in read_edges(moved, EDGES)}
    assert after[weak.first, weak.second] == pytest.approx(found.after, abs=1e-6)
    assert min(after.values()) == pytest.approx(found.weakest_after, abs=1e-6)


def test_a_one_way_print_is_not_turned():
    audition, weak = weak_case(
        {"left": plain(245, 243, 238), "middle": replace(STRIPED, one_way=True), "right": DARK}
    )
    assert "turned cut" not in [each.way for each in remedies(audition, EDGES, weak)]


def test_an_edge_of_another_block_is_refused():
    audition, weak = weak_case({"left": LIGHT, "middle": DARK, "right": MIDDLE})
    with pytest.raises(ValueError, match="no edge"):
        remedies(audition, EDGES, replace(weak, first=9))


def edge_of(first, second):
    sides = [np.tile(np.array(light, dtype=float), (20, 1)) for light in (first, second)]
    return Places(sides[0], sides[1], None, None, np.zeros(1, np.intp))


def test_an_outline_rescues_two_cloths_of_one_colour():
    same = edge_of((0.5, 0.5, 0.5), (0.5, 0.5, 0.5))
    dark, alike = Thread("soot", "#101010"), Thread("mist", "#bcbcbc")
    assert outline_share(same, dark, viewing=ACROSS_TABLE) > 0.8
    assert outline_share(same, alike, viewing=ACROSS_TABLE) < 0.05
    assert best_outline(same, (alike, dark), viewing=ACROSS_TABLE)[0] is dark


def test_an_outline_fades_with_distance_and_never_takes_away():
    same, apart = edge_of((0.5,) * 3, (0.5,) * 3), edge_of((0.9,) * 3, (0.02,) * 3)
    dark = Thread("soot", "#101010")
    shares = [outline_share(same, dark, viewing=Viewing("far", feet * 12)) for feet in (2, 6, 12, 40)]
    assert shares == sorted(shares, reverse=True)
    assert outline_share(apart, dark, viewing=ACROSS_TABLE) > 0.99


def stem_block(width):
    ground, stem = rectangle(1, "ground", 0, 0, 4, 4), arc_stem(2, "stem", 4, 4, 3, width, layer=1)
    block = draft([ground[0], stem[0]], [ground[1], stem[1]])
    return block, find_edges(block)


def test_a_thin_stem_goes_before_a_thick_one():
    """A stem seen no wider than the blur of the eye is mixed with its ground: an eighth goes before a half."""
    goes = []
    for width in (0.125, 0.5):
        block, edges = stem_block(width)
        roles = {"ground": plain(200, 200, 200), "stem": plain(120, 120, 120)}
        (going,) = first_to_go(make_audition(block, roles=roles, places=stay_places(block)), edges)
        assert (np.diff(going.shares) < 1e-6).all()
        assert going.words[0] == "clear"
        goes.append(going.goes_at_feet or 99)
    assert goes[0] < goes[1]


def test_a_quarter_inch_stem_is_not_lost_by_its_width_at_ten_feet():
    block, edges = stem_block(0.25)
    roles = {"ground": LIGHT, "stem": DARK}
    (going,) = first_to_go(make_audition(block, roles=roles, places=stay_places(block)), edges, feet=(10,))
    assert going.words == ("clear",)
    assert going.goes_at_feet is None


def test_what_is_lost_from_the_start_comes_first():
    block = three_patches()
    audition = make_audition(
        block, roles={"left": LIGHT, "middle": DARK, "right": MIDDLE}, places=stay_places(block)
    )
    found = first_to_go(audition, EDGES)
    assert (found[0].first, found[0].second) == (3, 2)
    assert found[0].goes_at_feet == 2
    assert found[1].goes_at_feet is None
