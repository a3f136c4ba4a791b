"""Settings as written: what can be sewn is read, every fault is named with its line."""

from __future__ import annotations

from fractions import Fraction as F

import pytest

from blocks.blockfile import BlockFileError
from blocks.library import open_block
from blocks.quilt import set_quilt
from blocks.settingfile import parse_setting, read_setting
from blocks.steps import Part

TEXT = """
name = "Orchard Path"
blocks = ["sawtooth star", "orchard lantern turned 90"]
down = 2
across = 3

[sashing]
cloth = "path"
finished = "1 1/2"
cornerstones = "heart"

[[border]]
cloth = "edge"
finished = "4"
corners = "mitred"

[binding]
cloth = "edge"
"""


def test_a_whole_setting_is_read_and_sewn():
    name, setting = parse_setting(TEXT)
    assert name == "Orchard Path"
    assert setting.rows[1] == (Part("orchard lantern", 1), Part("sawtooth star"), Part("orchard lantern", 1))
    blocks = {block: open_block(block) for block in ("sawtooth star", "orchard lantern")}
    quilt = set_quilt(setting, blocks, seam_in=F(1, 4), name=name)
    assert (quilt.finished_width_in, quilt.finished_height_in) == (47, F(67, 2))


def test_on_point_fills_in_between():
    _, setting = parse_setting('setting="on point"\nblocks=["a","b"]\ndown=3\nacross=2\ntriangles="t"')
    assert (setting.down, setting.across) == (3, 2)
    assert setting.between == ((Part("b"),), (Part("b"),))


def test_every_fault_is_named_with_its_line():
    text = (
        TEXT.replace('finished = "1 1/2"', 'finished = "wide"')
        .replace('"mitred"', '"rounded"')
        .replace("down = 2", "down = 0")
    )
    with pytest.raises(BlockFileError) as caught:
        parse_setting(text, source="path.toml")
    places = [fault.where.split(", ")[1] for fault in caught.value.faults]
    assert places == ["line 4", "line 9", "line 15"]


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("rows = 3", "will not do"),
        ('rows = [["a"], ["a", "b"]]', "equally long"),
        ('rows = [["a turned 45"]]', "quarter turn"),
        ('setting = "round"\nrows = [["a"]]', '"round"'),
        ('setting = "on point"\nrows = [["a"]]', "triangles"),
        ('rows = [["a"]]\nsashing = 2', "sashing"),
        ('rows = [["a"]]\nsash = 2', "not a field"),
        ("rows = [[", "not TOML"),
    ],
)
def test_single_faults(text, words):
    with pytest.raises(BlockFileError, match=words):
        parse_setting(text)


def test_a_file_that_is_not_there(tmp_path):
    with pytest.raises(BlockFileError, match="cannot be read"):
        read_setting(tmp_path / "none.toml")
