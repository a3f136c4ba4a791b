"""Line drawings: true inches, exact seams, names that cannot break out, and the way back in."""

from __future__ import annotations

import shutil
import subprocess
import xml.etree.ElementTree as ET
from dataclasses import replace
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from blocks.blockfile import parse_block
from blocks.blocktext import block_text
from blocks.drafting import draft_block
from blocks.library import block_names, open_block
from blocks.polygons import area
from blocks.scaling import scale_block
from blocks.svg_in import parse_svg
from blocks.svg_out import line_drawing

F = Fraction
SPACE = "{http://www.w3.org/2000/svg}"
PIECED = [name for name in block_names() if not open_block(name).applique]
LAID = [name for name in block_names() if open_block(name).applique]


def close(number: Fraction, other: Fraction) -> bool:
    return abs(number - other) <= F(1, 10**6)


@pytest.mark.parametrize("name", PIECED)
def test_pieced_blocks_come_back_with_the_same_patches_and_roles(name):
    draft = draft_block(open_block(name))
    block = parse_svg(line_drawing(draft))
    again = draft_block(block)
    assert block.name == draft.name
    assert (again.finished_width_in, again.finished_height_in) == (
        draft.finished_width_in,
        draft.finished_height_in,
    )
    assert [patch.role for patch in again.patches] == [patch.role for patch in draft.patches]
    for patch, back in zip(draft.patches, again.patches, strict=True):
        assert all(
            any(close(x, u) and close(y, v) for u, v in back.outline)
            for x, y in without_straight(patch.outline)
        )
        assert abs(area(patch.outline) - area(back.outline)) < 1e-4
        if all((10**6 * n).denominator == 1 for point in patch.outline for n in point):
            assert set(back.outline) == set(without_straight(patch.outline))
    assert parse_block(block_text(block)) == block


def without_straight(outline):
    return [
        (x, y)
        for i, (x, y) in enumerate(outline)
        for (a, b), (c, d) in [(outline[i - 1], outline[(i + 1) % len(outline)])]
        if abs((x - a) * (d - y) - (y - b) * (c - x)) > F(1, 10**5)
    ]


@pytest.mark.parametrize("name", LAID)
def test_every_visible_part_is_drawn_with_its_role_and_number(name):
    draft = draft_block(open_block(name))
    root = ET.fromstring(line_drawing(draft))
    groups = {group.get("id"): group for group in root.iter(f"{SPACE}g")}
    assert list(groups) == ["ground", "applique", "numbers"]
    roles = {patch.number: (patch.role, patch.is_applique()) for patch in draft.patches}
    keys = []
    for group in ("ground", "applique"):
        for path in groups[group]:
            assert roles[int(path.get("data-number"))] == (path.get("data-role"), group == "applique")
            keys.append(path.get("id"))
    assert len(set(keys)) == len(keys)
    numbers = [text.text for text in groups["numbers"]]
    assert len(set(numbers)) == len(numbers)
    assert set(numbers) == {path.get("data-number") for path in root.iter(f"{SPACE}path")}


def test_seams_are_exact_and_the_page_is_in_inches():
    text = line_drawing(draft_block(open_block("churn dash")), numbers=False)
    root = ET.fromstring(text)
    assert (root.get("width"), root.get("height"), root.get("viewBox")) == ("9in", "9in", "0 0 9 9")
    assert 'd="M 3 0 L 6 0 L 6 1.5 L 3 1.5 Z"' in text
    assert "<text" not in text
    third = line_drawing(draft_block(scale_block(open_block("four patch"), width_in=F(20, 3))))
    assert 'width="6.666666667in"' in third
    assert "L 3.333333333 3.333333333" in third


def test_the_same_block_gives_the_same_drawing():
    first, second = (line_drawing(draft_block(open_block("orchard lantern"))) for _ in range(2))
    assert first == second
    assert first.endswith("</svg>\n")


HOSTILE = '"/><script>alert(1)</script><path d="'


def renamed(role: str, name: str = "Plain"):
    draft = draft_block(open_block("four patch"))
    patches = tuple(replace(patch, role=role) if patch.role == "dark" else patch for patch in draft.patches)
    return replace(draft, patches=patches, name=name)


def test_hostile_names_stay_names():
    root = ET.fromstring(line_drawing(renamed(HOSTILE, name=f"</title>{HOSTILE}")))
    assert {node.tag.removeprefix(SPACE) for node in root.iter()} == {"svg", "title", "g", "path", "text"}
    assert root.find(f"{SPACE}title").text == f"</title>{HOSTILE}"
    assert HOSTILE in {path.get("data-role") for path in root.iter(f"{SPACE}path")}


@given(st.text(max_size=30))
def test_any_role_is_written_and_read_as_far_as_xml_can(role):
    root = ET.fromstring(line_drawing(renamed(role, name=role)).encode())
    legal = "".join(
        sign
        if sign in "\t\n\r" or " " <= sign <= "\ud7ff" or "\ue000" <= sign <= "\ufffd" or sign > "\uffff"
        else "\ufffd"
        for sign in role
    )
    assert {path.get("data-role") for path in root.iter(f"{SPACE}path")} == {legal, "light"}


@pytest.mark.parametrize("role", [HOSTILE, "fill #123456", "path 3", "Lay&er <1>", "blüte 花"])
def test_roles_come_back_as_they_were(role):
    block = parse_svg(line_drawing(renamed(role)))
    assert {name for name, _ in block.roles} == {role, "light"}


@pytest.fixture(scope="module")
def browser():
    found = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if found is None:
        pytest.skip("no browser to read the drawing with")
    return found


def test_a_second_reader_draws_one_inch_as_one_inch(browser, tmp_path):
    """A browser shows 96 pixels to the inch: the seams of a nine patch of 3 in squares lie 288 apart."""
    draft = draft_block(scale_block(open_block("nine patch"), width_in=F(9)))
    drawing, page, picture = tmp_path / "nine.svg", tmp_path / "page.html", tmp_path / "nine.png"
    drawing.write_text(line_drawing(draft, numbers=False), encoding="utf-8")
    page.write_text('<body style="margin:48px"><img src="nine.svg" style="display:block">', encoding="utf-8")
    command = [
        browser,
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--hide-scrollbars",
        "--window-size=1000,1000",
    ]
    command += [f"--user-data-dir={tmp_path / 'profile'}", f"--screenshot={picture}", page.as_uri()]
    subprocess.run(command, check=True, capture_output=True, timeout=120)
    grey = np.asarray(Image.open(picture).convert("L"), dtype=float)
    for row in (grey[48 + 432, :], grey[:, 48 + 432]):
        # Each line is dark over a pixel or two: its place is the middle of its darkness.
        dark = 255 - row
        seams = [48 + 288 * k for k in range(4)]
        spots = [np.average(np.arange(s - 6, s + 6) + 0.5, weights=dark[s - 6 : s + 6]) for s in seams]
        assert spots[1] - seams[1] == pytest.approx(0, abs=0.25)
        assert spots[2] - spots[1] == pytest.approx(288, abs=0.25)
        assert spots[3] - spots[0] == pytest.approx(864, abs=1)
        assert dark[seams[1] + 6 : seams[2] - 6].sum() == 0
