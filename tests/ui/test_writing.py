"""Files and folders appear whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from ui.mistakes import Mistake
from ui.writing import check_place, csv_text, filled_folder, write_whole


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    file = tmp_path / "list.txt"
    write_whole(file, "one\n")
    write_whole(file, "two é\n")
    assert file.read_text("utf-8") == "two é\n"
    with pytest.raises(UnicodeEncodeError):
        write_whole(file, "half\n" + "\ud800")
    assert file.read_text("utf-8") == "two é\n"
    assert [path.name for path in tmp_path.iterdir()] == ["list.txt"]


def test_a_folder_is_filled_at_the_end_or_left_alone(tmp_path: Path) -> None:
    with filled_folder(tmp_path / "out") as place:
        (place / "a.txt").write_text("a")
        assert not (tmp_path / "out").exists()
    assert (tmp_path / "out" / "a.txt").read_text() == "a"
    with pytest.raises(RuntimeError), filled_folder(tmp_path / "out") as place:  # noqa: PT012
        (place / "b.txt").write_text("b")
        raise RuntimeError
    assert [path.name for path in tmp_path.rglob("*")] == ["out", "a.txt"]


@pytest.mark.parametrize("name", ["x.jpg", "folder.png", "gone/x.png"])
def test_places_that_will_not_do(tmp_path: Path, name: str) -> None:
    (tmp_path / "folder.png").mkdir()
    with pytest.raises(Mistake) as caught:
        check_place(tmp_path / name, ends=(".png",))
    assert caught.value.mend.endswith(".")


def test_spreadsheets_run_nothing() -> None:
    text = csv_text([{"a": "=1+1", "b": "-2", "c": 3}])
    assert text == "a,b,c\r\n'=1+1,'-2,3\r\n"
    assert csv_text([]) == "\r\n"
