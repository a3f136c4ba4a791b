"""Readings of blocks whose edges can be judged beforehand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest

from blocks.motion import shift
from blocks.values import Edge
from palettes.encodings import decode, luminance, srgb8_to_lin
from palettes.lightness import lightness
from palettes.viewing import ACROSS_ROOM, ACROSS_TABLE, IN_HAND
from preview.audition import make_audition
from preview.keeping import PaintCache
from preview.readings import headline, read_distances, read_edges
from preview.seen_cloth import look_at, see_cloth
from tests.palettes.judged_set import draw
from tests.preview.scenes import arc_stem, cloth, draft, noise_cloth, plain, rectangle, stay_places

DARK, LIGHT, MIDDLE = plain(40, 40, 60), plain(240, 235, 220), plain(60, 60, 82)


def three_patches():
    pairs = [
        rectangle(1, "left", 0, 0, 2, 4),
        rectangle(2, "middle", 2, 0, 1, 4),
        rectangle(3, "right", 3, 0, 1, 4),
    ]
    return draft([p for p, _ in pairs], [c for _, c in pairs])


def upright(first, second, x, *, wanted=True):
    """A seam walked upward, so that the right-hand patch is the one further right."""
    return Edge(
        first, second, "seam", (((Fraction(x), Fraction(4)), (Fraction(x), Fraction(0))),), 4.0, wanted
    )


EDGES = (upright(2, 1, 2), upright(3, 2, 3))


def read(block, roles, edges=EDGES, **more):
    return read_edges(make_audition(block, roles=roles, places=stay_places(block)), edges, **more)


def test_dark_against_light_is_clear_and_dark_against_near_dark_is_not():
    found = read(
        three_patches(), {"left": DARK, "middle": LIGHT, "right": MIDDLE}, (*EDGES, upright(2, 1, 2))
    )
    assert [reading.word for reading in found] == ["clear"] * 3
    weak, strong = read(three_patches(), {"left": LIGHT, "middle": DARK, "right": MIDDLE})
    assert (weak.first, weak.second) == (3, 2)
    assert (weak.first_role, weak.second_role) == ("right", "middle")
    assert (weak.first_cloth, weak.second_cloth) == (MIDDLE.name, DARK.name)
    assert weak.word != "clear"
    assert strong.word == "clear"
    assert strong.reading.share_shows > weak.reading.share_shows
    assert weak.length_in == 4.0


def test_mean_lightness_is_that_of_the_cloth():
    weak, _ = read(three_patches(), {"left": LIGHT, "middle": DARK, "right": MIDDLE})
    for swatch, found in ((MIDDLE, weak.reading.first_L), (DARK, weak.reading.second_L)):
        truth = lightness(luminance(decode(swatch.tile_srgb8[0, 0] / 255)))
        assert found == pytest.approx(float(truth), abs=0.02)


def test_edges_that_need_not_read_come_last_however_weak():
    edges = (upright(2, 1, 2, wanted=False), upright(3, 2, 3))
    first, last = read(three_patches(), {"left": DARK, "middle": DARK, "right": LIGHT}, edges)
    assert first.wanted
    assert not last.wanted
    assert last.word == "lost"


def test_a_cloth_against_itself_is_lost_and_the_headline_names_it():
    found = read(three_patches(), {"left": LIGHT, "middle": DARK, "right": DARK})
    assert found[0].word == "lost"
    assert found[0].reading.share_shows == pytest.approx(0, abs=1e-6)
    text = headline(found)
    assert text.startswith("Of 2 edges that should read, 1 is lost and 0 soft.")
    assert f"patch 3 (right, {DARK.name}) against patch 2 (middle, {DARK.name})" in text


def test_the_headline_of_a_block_that_reads_or_need_not():
    clear = read(three_patches(), {"left": DARK, "middle": LIGHT, "right": DARK})
    assert headline(clear) == "All of the 2 edges that should read are clear."
    idle = read(
        three_patches(), {"left": DARK, "middle": LIGHT, "right": DARK}, (upright(2, 1, 2, wanted=False),)
    )
    assert headline(idle) == "No edge of this block needs to read."


def test_what_counts_is_the_cloth_as_placed_not_the_cloth_as_a_whole():
    """Bands two inches wide: where they meet a light patch is a matter of where the piece was cut."""
    bands = np.zeros((40, 80, 3), np.uint8)
    bands[:, :40] = (235, 232, 220)
    bands[:, 40:] = (40, 45, 70)
    banded = cloth(bands, ppi=20, name="bands")
    block = three_patches()
    roles = {"left": banded, "middle": LIGHT, "right": DARK}
    words = []
    for dx in (0, 2):
        # Patch 1 spans 1/4 to 9/4 of its piece; its right-hand seam then lies on light, or on dark.
        places = stay_places(block) | {0: shift(Fraction(dx) - Fraction(1, 2), 0)}
        found = read_edges(make_audition(block, roles=roles, places=places), EDGES[:1])
        words.append(found[0].word)
    assert words == ["lost", "clear"]


def test_a_fine_check_reads_as_its_mean_from_across_the_table():
    line = np.arange(60) // 2 % 2
    board = np.where((line[:, None] ^ line[None, :])[..., None], (250, 250, 250), (10, 10, 10))
    checked = cloth(board, ppi=60, name="check")
    grey = plain(186, 186, 186)
    found = read(three_patches(), {"left": grey, "middle": checked, "right": LIGHT}, EDGES[:1])
    assert found[0].reading.share_shows < 0.05
    assert found[0].reading.diff_L < 2


def test_a_stem_is_read_along_its_curve_on_both_sides():
    ground = rectangle(1, "ground", 0, 0, 4, 4)
    stem = arc_stem(2, "stem", 4, 4, 3, 0.25, layer=1)
    block = draft([ground[0], stem[0]], [ground[1], stem[1]])
    outline = stem[0].outline
    half = len(outline) // 2
    edge = Edge(2, 1, "applique", (outline[:half], outline[half:]), 9.4, True)
    clear = read(block, {"ground": LIGHT, "stem": DARK}, (edge,))[0]
    assert clear.kind == "applique"
    assert clear.word == "clear"
    assert clear.reading.share_shows > 0.99
    lost = read(block, {"ground": LIGHT, "stem": LIGHT}, (edge,))[0]
    assert lost.reading.share_shows < 1e-6


def test_every_viewing_distance_gives_finite_figures_on_busy_cloth():
    roles = {
        "left": noise_cloth(1),
        "middle": noise_cloth(2, repeats=False, inches=1),
        "right": noise_cloth(3),
    }
    for viewing in (IN_HAND, ACROSS_TABLE, ACROSS_ROOM):
        for found in read(three_patches(), roles, viewing=viewing):
            figures = [
                found.reading.share_shows,
                found.reading.diff_L,
                found.reading.dE00,
                found.reading.first_L,
            ]
            assert np.isfinite(figures).all()
            assert found.reading.reason


def test_the_order_is_the_same_every_time():
    roles = {"left": noise_cloth(1), "middle": noise_cloth(2), "right": noise_cloth(3)}
    once, again = read(three_patches(), roles), read(three_patches(), roles, EDGES[::-1])
    assert once == again
    assert replace(once[0], wanted=False) != once[0]


@pytest.mark.parametrize("repeats", [True, False])
def test_seen_cloth_is_the_slow_mean_of_the_blurred_cloth(repeats):
    swatch = noise_cloth(8, ppi=40, inches=3, repeats=repeats)
    seen = see_cloth(swatch, viewing=ACROSS_TABLE, radius_in=1 / 8)
    light = srgb8_to_lin(swatch.tile_srgb8).astype(np.float64)
    points = np.array([(1.5, 1.5), (1.21, 2.03), (2.0, 0.9)])
    found, known = look_at(seen, points)
    assert known.all()
    # Offsets drawn from the eye's Gaussian and from what it compares, looked up one by one.
    rng = np.random.default_rng(0)
    count = 60_000
    spots = rng.normal(0, 1 / 16, (count, 2)) + rng.normal(0, ACROSS_TABLE.sigma_in, (count, 2))
    for point, got in zip(points, found, strict=True):
        column, row = np.floor((point + spots) * 40).astype(int).T
        np.testing.assert_allclose(got, light[row, column].mean(axis=0), atol=0.01)


def test_seen_cloth_knows_where_a_photograph_ends_and_wraps_where_cloth_goes_on():
    swatch = noise_cloth(8, ppi=40, inches=3)
    photo = noise_cloth(8, ppi=40, inches=3, repeats=False)
    points = np.array([(0.4, 0.7), (3.4, -2.3)])
    wrapped, known = look_at(see_cloth(swatch, viewing=IN_HAND, radius_in=1 / 16), points)
    np.testing.assert_allclose(wrapped[0], wrapped[1], atol=1e-4)
    assert known.all()
    _, known = look_at(see_cloth(photo, viewing=IN_HAND, radius_in=1 / 16), points)
    assert known.tolist() == [True, False]


LEAFY = "leaves #f3ecd8 #1e823c 0.3 0.7"


def test_where_the_edge_is_lost_lies_on_the_edge_and_is_as_long_as_the_loss():
    roles = {"left": draw(LEAFY), "middle": plain(30, 130, 60), "right": draw(LEAFY)}
    found = next(each for each in read(three_patches(), roles) if {each.first, each.second} == {1, 2})
    assert found.lost_stretches
    for line in found.lost_stretches:
        x, y = np.array(line).T
        np.testing.assert_allclose(x, 2, atol=1e-9)
        assert ((y >= -1e-9) & (y <= 4 + 1e-9)).all()
        assert len(line) > 2
    lost_in = sum(np.hypot(*np.diff(np.array(line), axis=0).T).sum() for line in found.lost_stretches)
    doubtful = np.mean(np.array(found.reading.chances) < 0.5)
    assert lost_in == pytest.approx(4 * doubtful, abs=1e-6)
    # Places where the ground's own leaves meet the green: about its three tenths.
    assert 0.1 < doubtful < 0.6


def test_a_ground_that_holds_the_stems_own_green_is_named():
    roles = {"left": draw(LEAFY), "middle": plain(30, 130, 60), "right": draw(LEAFY)}
    found = read(three_patches(), roles)[0].reading
    assert found.merges == pytest.approx(0.3, abs=0.04)
    assert found.diff_L > 30
    assert found.word == "soft"
    assert "the left" in found.reason or "the right" in found.reason
    assert "green in common" in found.reason


def test_two_prints_of_like_motifs_and_value_are_one_cloth_whatever_their_hues():
    roles = {"left": draw("multi 50 0.5 warm"), "middle": draw("multi 50 0.5 cool"), "right": LIGHT}
    found = next(each for each in read(three_patches(), roles) if {each.first, each.second} == {1, 2})
    assert found.reading.one_cloth
    assert "one cloth" in found.reading.reason
    assert found.reading.dE00 > 20


def test_cloths_from_unmeasured_photographs_are_read_with_a_doubt():
    unsure = [
        replace(plain(*codes, name=name), colour_from="not measured")
        for codes, name in (((120, 120, 120), "one"), ((150, 150, 150), "two"))
    ]
    found = read(three_patches(), {"left": unsure[0], "middle": unsure[1], "right": unsure[0]})[0].reading
    assert "not measured" in found.note
    assert found.share_least < found.share_shows < found.share_most


def test_a_cloth_corrected_by_eye_is_not_taken_for_itself():
    """The correction keeps the key; what was seen of the cloth before must not be seen again."""
    kept, block = PaintCache(), three_patches()
    plain_key = replace(plain(90, 90, 90, name="dull"), key="dull")
    lifted = replace(plain(200, 200, 200, name="dull"), key="dull")
    found = []
    for middle in (plain_key, lifted):
        roles = {"left": DARK, "middle": middle, "right": LIGHT}
        audition = make_audition(block, roles=roles, places=stay_places(block))
        found.append({each.first: each.reading for each in read_edges(audition, EDGES, cache=kept)})
    assert found[1][2].first_L - found[0][2].first_L > 30


def test_several_ways_of_looking_are_read_at_once_and_each_as_alone():
    roles = {"left": noise_cloth(1), "middle": noise_cloth(2), "right": noise_cloth(3)}
    viewings = (IN_HAND, ACROSS_TABLE, replace(ACROSS_TABLE, eyes="protan"))
    audition = make_audition(three_patches(), roles=roles, places=stay_places(three_patches()))
    together = read_distances(audition, EDGES, viewings=viewings)
    for viewing, found in zip(viewings, together, strict=True):
        assert found == read_edges(audition, EDGES, viewing=viewing)


def test_a_kept_reading_is_the_same_as_a_fresh_one():
    kept = PaintCache()
    block = three_patches()
    for middle in (noise_cloth(2), noise_cloth(5), noise_cloth(2)):
        roles = {"left": noise_cloth(1), "middle": middle, "right": noise_cloth(3)}
        audition = make_audition(block, roles=roles, places=stay_places(block))
        assert read_edges(audition, EDGES, cache=kept) == read_edges(audition, EDGES)


def test_a_block_without_edges_has_no_readings():
    assert read(three_patches(), {"left": DARK, "middle": DARK, "right": DARK}, ()) == ()
