"""Paper found on cloth by itself or beside clicks: truth is where the simulator laid it (benchmarks/sim)."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import cv2
import numpy as np
import pytest

from benchmarks.paper import bare_photo, paper_photo
from benchmarks.sim.paper_shot import paper_corners, paper_shot
from swatches.card_find import FoundCard, find_card
from swatches.card_plane import CardError
from swatches.known_sizes import A4_PAPER, CARD, LETTER_PAPER, KnownSize
from swatches.measure import measure_photo
from swatches.paper_find import find_paper, snap_paper
from swatches.rectangle_shape import shape_off
from swatches.references import Paper


@pytest.mark.parametrize("number", [7, 14, 26, 39, 70])
def test_paper_is_found_on_pale_cloth_and_prints_that_no_limit_was_settled_on(number: int) -> None:
    row = paper_photo(number)
    assert row["found"]
    assert row["auto_pct"] < 0.3
    assert row["clicks_pct"] is not None
    assert row["clicks_pct"] < 0.5


@pytest.mark.parametrize("number", [2, 15])
def test_no_paper_is_found_on_bare_cloth(number: int) -> None:
    assert not bare_photo(number)


def test_paper_whose_edges_are_lost_is_refused_and_takes_clicks(tmp_path: Path) -> None:
    shot, thing = paper_shot(63)
    with pytest.raises(CardError, match="No sheet of A4 was found") as refused:
        find_paper(shot.rgb, thing=thing)
    assert "Mark its four corners" in refused.value.mend
    path = tmp_path / "photo.jpg"
    path.write_bytes(shot.jpeg)
    truth = shot.to_photo(shot.ref["paper"]) + 0.5
    clicked = tuple((float(x) + 2, float(y) - 2) for x, y in truth)
    found = measure_photo(path, name="cloth", reference=Paper("A4", clicked), repeat="as it is")  # type: ignore[arg-type]
    near = np.hypot(*(np.array(found.marks_px[0])[:, None] - truth[None]).transpose(2, 0, 1)).min(axis=0)
    assert near.max() < 8


def _white_sheet(ratio: float) -> np.ndarray:
    picture = np.full((900, 1200, 3), (150, 120, 90), np.uint8)
    high = 420
    picture[200 : 200 + high, 250 : 250 + round(high * ratio)] = 236
    noise = np.random.default_rng(2).normal(0, 1.5, picture.shape)
    return np.asarray(np.clip(cv2.GaussianBlur(picture, (0, 0), 0.8) + noise, 0, 255), dtype=np.uint8)


@pytest.mark.parametrize("number", [1, 5, 9, 13, 17, 30])
def test_paper_is_not_taken_for_a_card(number: int) -> None:
    # Most of such photographs of A4 once were: its sides are as long as those of a card at a slant.
    with pytest.raises(CardError, match="No card was found"):
        find_card(paper_shot(number)[0].rgb)


@pytest.mark.parametrize(("find", "thing"), [(find_paper, LETTER_PAPER), (find_card, CARD)])
def test_a_sheet_or_card_with_a_corner_outside_is_not_seen_whole(
    find: Callable[..., FoundCard], thing: KnownSize
) -> None:
    half = np.array([float(thing.long_in / thing.short_in), 1.0]) * 200
    turn = np.array([[np.cos(0.1), np.sin(0.1)], [-np.sin(0.1), np.cos(0.1)]])
    corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half @ turn + (600, 450)
    large = np.full((900, 1200, 3), (150, 120, 90), np.uint8)
    cv2.fillPoly(large, [np.rint(corners * 16).astype(np.int32)], (236, 236, 236), cv2.LINE_AA, 4)
    noise = np.random.default_rng(2).normal(0, 1.5, large.shape)
    picture = np.asarray(np.clip(cv2.GaussianBlur(large, (0, 0), 0.8) + noise, 0, 255), dtype=np.uint8)
    assert len(find(picture, thing=thing).corners_px) == 4
    cut = np.ascontiguousarray(picture[:, round(corners[:, 0].min()) + 4 :])
    with pytest.raises(CardError, match="a corner of it lies outside the picture") as refused:
        find(cut, thing=thing)
    assert "Photograph all of it" in refused.value.mend


def test_a_sheet_between_two_shapes_is_taken_for_the_nearer() -> None:
    between = _white_sheet(1.335)
    assert len(find_paper(between, thing=LETTER_PAPER).corners_px) == 4
    with pytest.raises(CardError, match="but a sheet of Letter"):
        find_paper(between, thing=A4_PAPER)


def test_a_white_sheet_of_another_shape_is_not_taken_for_this_one() -> None:
    assert find_paper(_white_sheet(297 / 210), thing=A4_PAPER).sure > 0.9
    assert find_paper(_white_sheet(11 / 8.5), thing=LETTER_PAPER).sure > 0.9
    for thing, ratio in ((A4_PAPER, 11 / 8.5), (LETTER_PAPER, 297 / 210), (A4_PAPER, 85.6 / 53.98)):
        with pytest.raises(CardError) as refused:
            find_paper(_white_sheet(ratio), thing=thing)
        other = "Letter" if thing is A4_PAPER else "A4"
        assert (f"but a sheet of {other}" in str(refused.value)) is (ratio < 1.5)


def test_a_smaller_sheet_that_lies_on_a_white_cloth_is_the_paper() -> None:
    picture = _white_sheet(297 / 210).astype(np.float32)
    picture[300:510, 350:647] = (214, 218, 226)
    found = find_paper(np.asarray(picture, dtype=np.uint8), thing=A4_PAPER)
    assert np.ptp(np.array(found.corners_px)[:, 0]) == pytest.approx(297, abs=2)


def test_marked_corners_in_a_cross_are_no_sheet() -> None:
    shot, thing = paper_shot(14)
    truth = shot.to_photo(shot.ref["paper"]) + 0.5
    crossed = [(float(truth[i][0]), float(truth[i][1])) for i in (0, 2, 1, 3)]
    assert snap_paper(shot.rgb, crossed, thing=thing) is None


def test_the_shape_of_a_tilted_sheet_is_told_from_another() -> None:
    # A camera 20 degrees aslant, 28 mm lens of 35 mm film: focal length 0.65 diagonals.
    turn = cv2.Rodrigues(np.radians([14.0, 14.0, 5.0]))[0]
    for ratio, fits in ((297 / 210, True), (11 / 8.5, False), (4 / 3, False)):
        flat = paper_corners(np.zeros(2), np.array([ratio, 1.0]), 10.0)
        seen = np.column_stack([flat, np.zeros(4)]) @ turn.T + (0.1, -0.05, 2.2)
        corners = seen[:, :2] / seen[:, 2:] * 0.65 * 2500 + (1000, 750)
        assert (shape_off(corners, thing=A4_PAPER, shape=(1500, 2000)) < 0.025) is fits
