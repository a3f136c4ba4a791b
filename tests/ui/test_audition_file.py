"""Audition files: what is written is read back, and every fault is reported at once."""

from __future__ import annotations

import tomllib
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ui.audition_file import (
    AuditionFileError,
    ChosenCloth,
    WrittenAudition,
    audition_text,
    is_audition,
    read_audition,
)

words = st.text(st.characters(codec="utf-8", exclude_characters="\r"), max_size=20)
cloths = st.builds(ChosenCloth, words, words)


@given(
    written=st.builds(
        WrittenAudition,
        block=words.filter(lambda word: word.strip() and not word.lower().endswith(".toml")),
        seam_in=st.fractions(0, 1, max_denominator=999),
        cloths=st.dictionaries(words, cloths, max_size=4),
        patches=st.dictionaries(st.integers(0, 999_999), cloths, max_size=3),
    )
)
def test_written_and_read_back(tmp_path_factory: pytest.TempPathFactory, written: WrittenAudition) -> None:
    path = tmp_path_factory.getbasetemp() / "audition.toml"
    text = audition_text(written)
    path.write_text(text, encoding="utf-8", newline="")
    assert is_audition(text)
    assert read_audition(path) == written


def test_a_person_may_write_bare_names(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    path.write_text('audition = 1\nblock = "mine-block.toml"\n[cloth]\npetal = "clover field"\n', "utf-8")
    read = read_audition(path)
    assert read.cloths == {"petal": ChosenCloth("", "clover field")}
    assert read.block == str(tmp_path / "mine-block.toml"), "a block file is found beside its audition"
    assert read.seam_in == Fraction(1, 4)


def test_every_fault_is_reported(tmp_path: Path) -> None:
    path = tmp_path / "wrong.toml"
    path.write_text('audition = 2\nblok = "x"\nseam = "wide"\ncloth = 3\n[patches]\nlast = "y"\n', "utf-8")
    with pytest.raises(AuditionFileError) as caught:
        read_audition(path)
    text = str(caught.value)
    assert len(caught.value.faults) == 6
    for part in ("wrong.toml", 'Did you mean "block"?', "audition is 2", "block is missing", "seam: 'wide'"):
        assert part in text
    assert "cloth is not a table" in text
    assert '"last" is no patch number' in text


@pytest.mark.parametrize(
    "raw", [b"\xff\xfe\x00", b"audition = ", b" " * 1_000_001], ids=["no text", "cut", "huge"]
)
def test_what_is_no_audition_is_refused(tmp_path: Path, raw: bytes) -> None:
    path = tmp_path / "bad.toml"
    path.write_bytes(raw)
    with pytest.raises(AuditionFileError, match=r"bad\.toml") as caught:
        read_audition(path)
    assert caught.value.mend.endswith(".")


def test_control_signs_keep_the_text_legal() -> None:
    text = audition_text(WrittenAudition("a\x7f\x00\u2028", cloths={"l\neaf": ChosenCloth("k", 'q"')}))
    assert tomllib.loads(text)["block"] == "a\x7f\x00\u2028"
