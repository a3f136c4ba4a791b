"""Cloth of the stash is renamed, taken out and put back by the command; nothing is lost by a slip."""

from __future__ import annotations

from pathlib import Path

import pytest

from swatches.solids import solid_swatch
from swatches.stash import Stash
from tests.ui.asking import assert_mistake, run

Capture = pytest.CaptureFixture[str]


@pytest.fixture
def stash(tmp_path: Path) -> Path:
    file = tmp_path / "own" / "stash.sqlite"
    for colour, name in (("#3a6a8a", "river"), ("#d8c8a0", "straw")):
        Stash(file).add(solid_swatch(colour, name=name))
    return file


def test_a_renamed_cloth_is_found_by_the_auditions_that_hold_it(stash: Path, capsys: Capture) -> None:
    kept = stash.parent / "star.toml"
    words = ("--stash", stash, "-q", "--to", stash.parent / "star.png")
    assert run(capsys, "draw", "ohio star", "point=river", *words, "--keep", kept)[0] == 0
    code, out, _ = run(capsys, "rename-cloth", "River", "brook", "--stash", stash)
    assert (code, out.splitlines()[0].split(";")[0]) == (0, '"river" is called "brook" from now on')
    code, out, _ = run(capsys, "cutting", kept, "--stash", stash)
    assert code == 0
    assert "brook" in out
    assert "missing" not in out


def test_a_cloth_taken_out_is_told_of_wherever_it_is_asked_for(stash: Path, capsys: Capture) -> None:
    kept = stash.parent / "star.toml"
    to = ("--stash", stash, "--to", stash.parent / "star.png")
    assert run(capsys, "draw", "ohio star", "point=river", *to, "--keep", kept)[0] == 0
    code, out, _ = run(capsys, "remove-cloth", "river", "--stash", stash)
    assert code == 0
    assert 'seamlight put-back "river"' in out
    assert "Taken out" in run(capsys, "cloths", "--stash", stash)[1]
    for words in (("draw", "ohio star", "point=river", *to), ("correct", "river", "--warm", "3", *to[:2])):
        code, _, err = run(capsys, *words)
        assert code == 2
        assert 'Mend: It was taken out of your stash; have it back with: seamlight put-back "river"' in err
    code, out, err = run(capsys, "draw", kept, *to)
    assert code == 0
    assert 'Missing: the cloth "river" for point is not on the shelf; plain grey stands in for it.' in err
    assert 'have it back with: seamlight put-back "river"' in err
    assert "river (missing) was not measured" in out
    assert run(capsys, "put-back", "river", "--stash", stash)[0] == 0
    assert "Missing" not in run(capsys, "draw", kept, *to)[2]


def test_gone_for_good(stash: Path, capsys: Capture) -> None:
    assert "gone for good" in run(capsys, "remove-cloth", "river", "--for-good", "--stash", stash)[1]
    assert run(capsys, "remove-cloth", "straw", "--stash", stash)[0] == 0
    assert "gone for good" in run(capsys, "remove-cloth", "straw", "--for-good", "--stash", stash)[1]
    for name in ("river", "straw"):
        code, _, err = run(capsys, "put-back", name, "--stash", stash)
        assert (code, err.splitlines()[1]) == (2, "Mend: Add that cloth again.")
    assert "Taken out" not in run(capsys, "cloths", "--stash", stash)[1]


@pytest.mark.parametrize(
    ("words", "what", "mend"),
    [
        (("rename-cloth", "river", "straw"), "already holds", "another name"),
        (("rename-cloth", "rivr", "brook"), 'no cloth called "rivr"', 'Did you mean "river"?'),
        (("rename-cloth", "river", " "), "is empty", "Give the cloth a name"),
        (("remove-cloth", "hay meadow"), "in your stash", "Choose one of: river, straw"),
        (("put-back", "river"), "no cloth called 'river' that was taken out", "Add that cloth again"),
    ],
)
def test_mistakes(
    stash: Path, tmp_path: Path, capsys: Capture, words: tuple[str, ...], what: str, mend: str
) -> None:
    place = tmp_path / "empty"
    place.mkdir()
    assert_mistake(capsys, place, [*words, "--stash", str(stash)], what=what, mend=mend)
    assert Stash(stash).names() == ("river", "straw")


def test_without_a_stash_nothing_is_begun(tmp_path: Path, capsys: Capture) -> None:
    for words in (("rename-cloth", "a", "b"), ("remove-cloth", "a"), ("put-back", "a")):
        assert_mistake(
            capsys, tmp_path, [*words, "--stash", "{}/new.sqlite"], what="There is no", mend="Add a cloth of"
        )
