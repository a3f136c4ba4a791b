"""Readings over many cuttings."""

from __future__ import annotations

import numpy as np
import pytest

from blocks.edges import find_edges
from preview.audition import make_audition
from preview.cuttings import cutting_places, read_cuttings
from preview.keeping import PaintCache
from preview.readings import read_edges
from tests.palettes.judged_set import draw
from tests.preview.scenes import cloth, draft, noise_cloth, plain, rectangle, stay_places
from tests.preview.test_readings import DARK, EDGES, LIGHT, three_patches


def audition_of(block, roles):
    return make_audition(block, roles=roles, places=stay_places(block))


def bloom_cloth():
    """A red flower 1.8 inches across in every 3 inches of white: 28 % of the cloth."""
    at = (np.arange(180) + 0.5) / 60 - 1.5
    inside = np.hypot(*np.meshgrid(at, at)) <= 0.9
    return cloth(np.where(inside[..., None], (165, 25, 35), (245, 243, 238)), ppi=60, name="bloom")


@pytest.mark.parametrize(("side", "low", "high"), [(2, 68, 95), (1, 36, 96), (3, 85, 85)])
def test_a_petal_cut_from_a_big_bloom_may_be_nearly_red_or_white(side, low, high):
    """28 % cover in a 3-inch repeat: a 2-inch square is 68 to 95 L*, a 1-inch square 36 to 96, a 3-inch always 85."""
    laid = [rectangle(1, "petal", 0, 0, side, side), rectangle(2, "ground", side, 0, 4 - side, side)]
    block = draft([patch for patch, _ in laid], [piece for _, piece in laid], width=4, height=side)
    (found,) = read_cuttings(
        audition_of(block, {"petal": bloom_cloth(), "ground": DARK}), find_edges(block), count=80
    )
    petal = found.first_L if found.first == 1 else found.second_L
    assert low - 1 <= petal.low <= petal.mean <= petal.high <= high + 1
    assert petal.high - petal.low >= 0.5 * (high - low) - 0.5


def test_a_solid_reads_the_same_however_it_is_cut():
    found = read_cuttings(
        audition_of(three_patches(), {"left": DARK, "middle": LIGHT, "right": DARK}), EDGES, count=5
    )
    for edge in found:
        assert edge.share_shows.low == pytest.approx(edge.share_shows.high, abs=1e-6)
        assert edge.words == (("clear", 1.0),)
        assert edge.is_sure


def test_a_stripe_beside_its_own_white_is_lost_or_clear_by_chance():
    striped = draw("stripe #f5f3ee #1c2a52 2 along 0")
    roles = {"left": striped, "middle": plain(245, 243, 238), "right": DARK}
    found = read_cuttings(audition_of(three_patches(), roles), EDGES, count=40)[0]
    words = dict(found.words)
    assert words["lost"] > 0.2
    assert words["clear"] > 0.2
    assert not found.is_sure
    assert found.share_shows.low < 0.1 < 0.9 < found.share_shows.high


def test_a_fussy_piece_stays_where_it_is():
    striped = draw("stripe #f5f3ee #1c2a52 2 along 0")
    block = three_patches()
    roles = {"left": striped, "middle": plain(245, 243, 238), "right": DARK}
    audition = audition_of(block, roles)
    found = read_cuttings(audition, EDGES, count=6, fussy={0, 1})[0]
    as_laid = next(each for each in read_edges(audition, EDGES) if {each.first, each.second} == {1, 2})
    assert found.fixed
    assert found.share_shows.low == pytest.approx(as_laid.reading.share_shows)
    assert found.share_shows.high == pytest.approx(as_laid.reading.share_shows)


def test_the_cuttings_can_be_seen_and_read_one_by_one():
    block = three_patches()
    roles = {
        "left": noise_cloth(1),
        "middle": noise_cloth(2, repeats=False, inches=6),
        "right": noise_cloth(3),
    }
    audition = audition_of(block, roles)
    found = read_cuttings(audition, EDGES, count=3, seed=7)
    shares = []
    for places in cutting_places(audition, EDGES, count=3, seed=7):
        seen = read_edges(make_audition(block, roles=roles, places=places), EDGES, cache=PaintCache())
        shares.append([each.reading.share_shows for each in sorted(seen, key=lambda each: each.first)])
    means = np.mean(shares, axis=0)
    for edge, mean in zip(found, means, strict=True):
        assert edge.share_shows.mean == pytest.approx(mean, abs=2e-3)


def test_the_seed_decides():
    audition = audition_of(
        three_patches(), {"left": noise_cloth(1), "middle": noise_cloth(2), "right": noise_cloth(3)}
    )
    assert read_cuttings(audition, EDGES, count=4, seed=1) == read_cuttings(audition, EDGES, count=4, seed=1)
    assert read_cuttings(audition, EDGES, count=4, seed=1) != read_cuttings(audition, EDGES, count=4, seed=2)


def test_no_cutting_is_refused():
    audition = audition_of(three_patches(), {"left": DARK, "middle": LIGHT, "right": DARK})
    assert read_cuttings(audition, ()) == ()
    with pytest.raises(ValueError, match="at least 1"):
        read_cuttings(audition, EDGES, count=0)
