"""What is said about a mistake, and what is not a user's mistake."""

from __future__ import annotations

from pathlib import Path

import pytest

from blocks.lengths import LengthError
from ui.mistakes import Mistake, closest, tell


def test_a_mistake_says_what_and_how_to_mend() -> None:
    told = tell(LengthError("three", "is not a length"))
    assert told is not None
    assert told.lines().splitlines()[0] == "'three' is not a length."
    assert told.lines().splitlines()[1].startswith("Mend: Write a length such as")


def test_a_fault_of_the_program_is_not_told_as_a_mistake() -> None:
    assert tell(ValueError("shapes do not match")) is None
    assert tell(KeyError("petal")) is None


def test_file_errors_are_told(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError) as missing:
        (tmp_path / "gone.jpg").read_bytes()
    with pytest.raises(IsADirectoryError) as folder:
        tmp_path.read_bytes()
    assert "gone.jpg is not there" in str(tell(missing.value))
    assert "is a folder" in str(tell(folder.value))


def test_names_cannot_move_the_cursor() -> None:
    told = tell(Mistake("\x1b[2Jcloth\r is not here", mend="Name\tanother."))
    assert told is not None
    assert told.what.isprintable()
    assert told.mend == "Name another."


def test_several_faults_keep_their_lines() -> None:
    told = tell(Mistake("first\nsecond", mend="Mend each."))
    assert told is not None
    assert told.what.splitlines() == ["first", "second"]


def test_the_closest_names() -> None:
    assert closest("petl", ["petal", "leaf"]) == 'Did you mean "petal"?'
    assert closest("PETAL", ["petal", "leaf"]) == 'Did you mean "petal"?'
    assert closest("zzz", ["petal", "leaf"]) == "Choose one of: leaf, petal."
    assert closest("zzz", []) == "There is none to choose from."
