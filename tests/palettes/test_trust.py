from __future__ import annotations

from math import hypot

import numpy as np
import pytest

from palettes.lightness import lightness, luminance_of_lightness
from palettes.meeting import Meeting
from palettes.reading import judge_edge
from palettes.thresholds import THRESHOLDS
from palettes.trust import doubt_between, doubt_of, trust_of


@pytest.mark.parametrize(
    ("reference", "note", "trust"),
    [
        ("stated", "Colours as the camera gave them, not measured.", "not measured"),
        ("stated", "exact: drawn in sRGB, from no photograph", "stated"),
        ("stated", "", "stated"),
        ("white paper", "", "white paper"),
        ("grey card", "", "grey card"),
        ("grey steps", "", "grey steps"),
        ("chart", "", "chart"),
        ("not measured", "", "not measured"),
        ("a hunch", "", "not measured"),
    ],
)
def test_trust_is_what_was_recorded(reference: str, note: str, trust: str) -> None:
    assert trust_of(reference, note=note) == trust


def test_less_beside_the_cloth_is_more_doubt() -> None:
    doubts = [
        doubt_of(trust)
        for trust in ("stated", "chart", "grey steps", "white paper", "grey card", "not measured")
    ]
    assert doubts == sorted(doubts)
    assert doubts[0] == 0 < doubts[1]


def test_two_photographs_doubt_more_than_one_and_one_swatch_not_at_all() -> None:
    both, why = doubt_between("not measured", "not measured")
    assert both == pytest.approx(hypot(THRESHOLDS.unmeasured_L, THRESHOLDS.unmeasured_L))
    assert "not match" in why
    one, why = doubt_between("not measured", "stated")
    assert 0 < one < both
    assert "one of the two" in why
    assert doubt_between("not measured", "not measured", one_cloth=True) == (0.0, "")
    assert doubt_between("stated", "stated") == (0.0, "")


def test_doubt_widens_the_share_and_says_so() -> None:
    """12 L* apart, each from a photograph of its own: anything from lost to clear."""
    first, second = (np.full((8, 3), float(luminance_of_lightness(L))) for L in (60, 72))
    doubt_L, doubt = doubt_between("not measured", "not measured")
    sure = judge_edge(first, second)
    unsure = judge_edge(first, second, meeting=Meeting(doubt_L=doubt_L, doubt=doubt))
    assert sure.share_least == sure.share_shows == sure.share_most
    assert sure.is_sure
    assert not sure.note
    assert unsure.share_shows == sure.share_shows
    assert unsure.share_least < 0.3 < 0.9 < unsure.share_most
    assert not unsure.is_sure
    assert unsure.note.startswith("Take ")
    assert "not measured" in unsure.note


def test_one_cloth_in_two_photographs_is_not_said_to_be_apart_for_sure() -> None:
    """Cream, a third of a stop over and under: 98 and 82 L* of one cloth."""
    over, under = (np.full((8, 3), float(luminance_of_lightness(L))) for L in (98.0, 82.4))
    doubt_L, doubt = doubt_between("not measured", "not measured")
    reading = judge_edge(over, under, meeting=Meeting(doubt_L=doubt_L, doubt=doubt))
    assert not reading.is_sure
    assert "may not match" in reading.note


def test_doubt_never_turns_the_cloths_round() -> None:
    near = [np.full((8, 3), float(luminance_of_lightness(L))) for L in (60, 62)]
    reading = judge_edge(*near, meeting=Meeting(doubt_L=5.0, doubt="so it is"))
    assert reading.share_least == pytest.approx(0, abs=1e-9)
    assert 0 < reading.share_shows < reading.share_most


def test_two_of_one_photograph_are_held_more_closely_and_it_is_said() -> None:
    for trust in ("grey steps", "white paper", "grey card", "not measured"):
        apart, _ = doubt_between(trust, trust)
        together, why = doubt_between(trust, trust, one_photo=True)
        assert 0 < together < apart
        assert "one photograph" in why
    assert doubt_between("chart", "chart", one_photo=True)[0] == doubt_between("chart", "chart")[0]
    # Two references in one photograph err each in its own way.
    assert doubt_between("chart", "not measured", one_photo=True) == doubt_between("chart", "not measured")


def test_what_one_photograph_leaves_in_doubt_is_what_spectra_show() -> None:
    """99 reflectances (CIE 224:2017) in two measured cameras under nine lamps, as the benchmark has them.

    The doubt is the 68th percentile of the error of the L* difference: one standard deviation, were it normal.
    """
    pytest.importorskip("colour")
    from benchmarks.photo_colour import pair_errors_L

    found = {name: float(np.quantile(errors, 0.68)) for name, errors in pair_errors_L().items()}
    assert found["grey steps"] == pytest.approx(THRESHOLDS.one_photo_grey_L, abs=0.1)
    # Light that differs by a tenth from one cloth to the other comes on top: 2.6 L* at L* 60.
    tenth_L = 60 - float(lightness(0.9 * luminance_of_lightness(60)))
    assert hypot(found["not measured"], tenth_L) == pytest.approx(THRESHOLDS.one_photo_unmeasured_L, abs=0.2)
    assert found["white paper"] == pytest.approx(THRESHOLDS.one_photo_paper_L, abs=0.1)
    assert found["grey card"] == pytest.approx(THRESHOLDS.one_photo_grey_card_L, abs=0.1)


def test_what_a_reference_leaves_in_doubt_is_what_spectra_show() -> None:
    """The same cloths, cameras and lamps: 19 of 20 errors stay within 1.645 of it on the worse side."""
    pytest.importorskip("colour")
    from benchmarks.photo_colour import errors_L

    for name, off in errors_L().items():
        worse = max(-float(np.quantile(off, 0.05)), float(np.quantile(off, 0.95)))
        if name == "not measured":
            # Its exposure may be off too, which comes with "over or under".
            assert worse / 1.645 < THRESHOLDS.unmeasured_L
        else:
            trust = trust_of(name.split(",")[0])
            assert worse / 1.645 == pytest.approx(doubt_of(trust), abs=0.1)
