"""The pages for makers say what the code does: every example works, every unit and word is there."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest

from blocks.blockfile import parse_block
from blocks.drafting import draft_block
from blocks.stepfile import KINDS
from ui.bench import draft_making
from ui.making import find_making, widened

DOCS = Path(__file__).resolve().parents[1] / "docs"
SETTINGS = re.findall(r"```toml\n(.*?)```", (DOCS / "set-a-quilt.md").read_text(encoding="utf-8"), flags=re.S)
PAGE = (DOCS / "write-a-block.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"```toml\n(.*?)```", PAGE, flags=re.S)


def test_the_example_is_a_working_block():
    draft = draft_block(parse_block(EXAMPLES[0]))
    assert len(draft.patches) == 9
    assert any("mirror images: make 1" in note for note in draft.notes)


def test_the_example_with_its_appliqué_works_too():
    text = EXAMPLES[0].replace('cup = "under the petals"', 'cup = "under the petals"\nstem = "s"\nleaf = "l"')
    draft = draft_block(parse_block(text + EXAMPLES[1] + EXAMPLES[2]))
    assert sum(patch.is_applique() for patch in draft.patches) == 4
    assert draft.wanted == (("leaf", "stem", False),)
    assert not [note for note in draft.notes if "tuck shows" in note]


@pytest.mark.parametrize("text", SETTINGS, ids=lambda text: text.splitlines()[0])
def test_every_setting_can_be_sewn(text, tmp_path):
    file = tmp_path / "quilt.toml"
    file.write_text(text, encoding="utf-8")
    making = widened(find_making(str(file)), width_in=Fraction(9))
    assert len(draft_making(making, seam_in=Fraction(1, 4)).edges) > 40


@pytest.mark.parametrize("kind", KINDS)
def test_every_unit_is_explained(kind):
    assert f'`"{kind}"`' in PAGE
