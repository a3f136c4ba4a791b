"""Photographs of real cloth come in through the command; files that are none are refused in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from ui.command import main
from ui.shelf import Shelf

SHARED = Path(__file__).resolve().parents[2] / ".." / "shared"


@pytest.fixture
def shared() -> Path:
    if not (SHARED / "cloth").is_dir():
        pytest.skip("the folder of real cloth is not here")
    return SHARED


def test_real_cloth_comes_in(shared: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    stash = tmp_path / "stash.sqlite"
    photo = shared / "cloth" / "gingham_acg_fabric055_red.jpg"
    words = [
        "add-cloth",
        str(photo),
        "--name",
        "red gingham",
        "--photo-ppi",
        "150",
        "--stash",
        str(stash),
        "-q",
    ]
    assert main(words) == 0
    assert "as typed" in capsys.readouterr().out
    swatch = Shelf(stash).find("red gingham")
    assert swatch.ppi == 150
    assert not swatch.repeats


@pytest.mark.parametrize("name", ["print_morris_strawberry_thief_1883.jpg"])
def test_a_card_straightens_and_what_is_no_card_is_refused(
    shared: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str
) -> None:
    words = [
        "add-cloth",
        str(shared / "cloth" / name),
        "--name",
        "x",
        "--stash",
        str(tmp_path / "s.sqlite"),
        "-q",
    ]
    assert main([*words, "--card", "10,10", "11,10", "11,11", "10,11"]) == 2
    assert "Mend: " in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
