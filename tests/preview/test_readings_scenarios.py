"""What goes wrong in life, as makers tell it: each read as the block would be."""

from __future__ import annotations

from math import cos, pi, sin

import numpy as np
import pytest

from blocks.edges import find_edges
from palettes.encodings import lin_to_srgb8
from palettes.viewing import ACROSS_TABLE, Viewing
from preview.audition import make_audition
from preview.readings import read_edges
from tests.palettes.judged_set import block_of, draw, light, lumps
from tests.preview.scenes import cloth, draft, plain, rectangle, shape, stay_places


def read(first, second, *, where="petal", viewing=ACROSS_TABLE):
    block, edges = block_of(where)
    audition = make_audition(block, roles={"motif": first, "ground": second}, places=stay_places(block))
    return read_edges(audition, edges, viewing=viewing)[0]


def test_a_red_bird_on_a_green_leaf_is_carried_by_hue_alone_and_vanishes_for_some():
    """L* 44 and 48, CIEDE2000 68; to deutan eyes 8 and 3 L*, to protan eyes 16 L*."""
    bird, leaf = plain(205, 25, 40), plain(30, 130, 60)
    found = read(bird, leaf).reading
    assert (found.first_L, found.second_L) == (pytest.approx(44.0, abs=0.1), pytest.approx(47.7, abs=0.1))
    assert found.dE00 == pytest.approx(68, abs=0.5)
    assert found.hue_alone
    assert "Colour alone" in found.reason
    deutan = read(bird, leaf, viewing=Viewing("from 6 feet", 72, eyes="deutan")).reading
    assert deutan.dE00 == pytest.approx(8, abs=0.5)
    assert deutan.diff_L == pytest.approx(3, abs=0.3)
    assert not deutan.hue_alone
    assert deutan.word_with_colour == "lost"
    protan = read(bird, leaf, viewing=Viewing("from 6 feet", 72, eyes="protan")).reading
    assert protan.diff_L == pytest.approx(16, abs=0.5)


def many_coloured():
    """Lumps of orange, teal, navy and cream, a quarter of each."""
    one, other = lumps(0.6, seed=4) > 0, lumps(0.6, seed=9) > 0
    tile = np.zeros((*one.shape, 3))
    for (a, b), colour in zip(
        ((1, 1), (1, 0), (0, 1), (0, 0)), ("#e07b1f", "#2f8f8a", "#22305c", "#f1e6cc"), strict=True
    ):
        tile[(one == a) & (other == b)] = light(colour)
    return cloth(lin_to_srgb8(tile), ppi=40, name="many colours")


def test_an_orange_petal_merges_with_the_orange_of_its_ground():
    found = read(plain(224, 123, 31), many_coloured()).reading
    assert found.merges == pytest.approx(0.25, abs=0.05)
    assert found.word != "clear"
    assert "merge" in found.reason
    assert any(word in found.reason for word in ("orange", "peru", "chocolate"))


def test_dots_as_large_as_the_leaf_compete_with_its_outline():
    """Half-inch dots and a leaf three quarters of an inch wide."""
    rim = [(4 + 0.375 * cos(2 * pi * i / 90), 4 + 1.2 * sin(2 * pi * i / 90)) for i in range(90)]
    laid = [rectangle(1, "ground", 0, 0, 8, 8), shape(2, "leaf", rim, layer=1)]
    block = draft([patch for patch, _ in laid], [piece for _, piece in laid], width=8, height=8)
    roles = {"ground": draw("dots #1c2a52 #f5f3ee 0.5 0.8"), "leaf": plain(96, 132, 86)}
    (found,) = read_edges(make_audition(block, roles=roles, places=stay_places(block)), find_edges(block))
    assert found.word == "soft"
    assert found.reading.share_false > 0.1
    plain_ground = {**roles, "ground": draw("#1c2a52")}
    (calm,) = read_edges(
        make_audition(block, roles=plain_ground, places=stay_places(block)), find_edges(block)
    )
    assert calm.word == "clear"


def test_a_broken_stem_says_how_much_of_it_is_gone():
    """Green on cream with three tenths of the same green: a strong pass on averages, yet broken."""
    found = read(plain(30, 130, 60), draw("leaves #f3ecd8 #1e823c 0.3 0.7"), where="stem").reading
    assert found.diff_L > 30
    assert found.word == "soft"
    assert 0.2 < found.share_lost < 0.55
    assert f"{100 * found.share_lost:.0f} % of the edge disappears" in found.reason


def test_two_calicoes_of_one_motif_size_within_five_of_value_read_as_one_cloth():
    found = read(draw("multi 52 0.4 warm"), draw("multi 50 0.5 cool"), where="seam").reading
    assert found.diff_L < 5
    assert found.one_cloth
    assert found.word == "lost"


def test_yellow_on_cream_is_weak():
    found = read(plain(240, 200, 40), plain(238, 226, 200)).reading
    assert (found.first_L, found.second_L) == (pytest.approx(81.8, abs=0.1), pytest.approx(90.2, abs=0.1))
    assert found.word != "clear"


def test_a_fine_red_and_white_check_is_a_light():
    found = read(draw("check #a51923 #f5f3ee 0.0625"), plain(30, 30, 60)).reading
    assert found.first_L == pytest.approx(75.6, abs=0.2)
    assert found.word == "clear"
