"""Words of the user's stay words: no name of a cloth or of a role can become markup or code."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from blocks.blockfile import parse_block
from blocks.library import open_block
from cutting.rows import sheet_rows
from swatches.solids import solid_swatch
from ui.bench import draft, work_out
from ui.mistakes import Told
from ui.page_words import cutting_html, downloads_html, mistake_html, plain, seams_html

HOSTILE = [
    "<img src=x onerror=alert(1)>",
    "${alert(1)}",
    "{{constructor}}",
    "`x`",
    "\" onclick='x'",
    "</script>",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_plain_text_is_only_text(name: str) -> None:
    safe = plain(name)
    assert not set("<>\"'`${}") & set(safe)


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_names_in_every_part(name: str) -> None:
    text = 'name = "x"\nfinished = "4"\n[[step]]\nname = "s"\nmake = "square"\nfinished = "4"\ncloth = "ground"\n'
    block = draft(parse_block(text, source="x"), seam_in=Fraction(1, 4))
    worked = work_out(block, roles={"ground": solid_swatch("teal", name=name)})
    rows = sheet_rows(block.draft, worked.plans, names=worked.cloth_names())
    html = (
        cutting_html(worked, rows, notes=[name], stamps={})
        + seams_html(worked.readings())
        + mistake_html(Told(name, name))
    )
    assert name not in html
    assert "<img src=x" not in html
    assert "${" not in html
    assert "{{" not in html


def test_addresses_are_escaped_once() -> None:
    html = downloads_html("block=a&cloth=b%3Dc")
    assert 'href="/take/picture.png?block=a&amp;cloth=b%3Dc"' in html


def test_no_mistake_says_nothing() -> None:
    assert mistake_html(None) == ""


def test_how_sure_a_reading_is_stands_with_its_reason() -> None:
    block = draft(open_block("churn dash"), seam_in=Fraction(1, 4))
    sure, unsure = (
        [
            replace(solid_swatch(colour, name=colour), photo="one", colour_from=colour_from)
            for colour in ("#8a7a50", "#c0b088")
        ]
        for colour_from in ("stated", "grey steps")
    )
    told = [
        seams_html(work_out(block, roles={"dash": dash, "background": ground}).readings())
        for dash, ground in (sure, unsure)
    ]
    assert "Take " not in told[0]
    assert "as the reading, not one figure: the two come from one photograph" in told[1]
