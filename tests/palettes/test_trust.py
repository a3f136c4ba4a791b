from __future__ import annotations

from math import hypot

import numpy as np
import pytest

from palettes.lightness import luminance_of_lightness
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
